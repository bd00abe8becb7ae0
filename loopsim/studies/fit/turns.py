"""Bends and ends of tubes: too tight, too close together, the wrong way out of a port."""

import math
from collections.abc import Iterator

from loopsim.build import Placement
from loopsim.geometry import Bend, Path, Spot
from loopsim.parts import Part, Tube, TubeRun
from loopsim.studies.fit.drawing import Drawing, DrawnRun
from loopsim.studies.results import Finding
from loopsim.studies.sentence import datum

__all__ = ["turn_findings"]

# Cosines of the angle between a port's facing and the tube that leaves it.
_SIDEWAYS = math.cos(math.radians(60.0))  # beyond it a tube would have to kink where it sits on its fitting
_BACKWARD = math.cos(math.radians(95.0))
_WORTH_SAYING_MM = 0.5
_SHORTEST_MM = 0.1  # a run between ports that touch has no direction


def turn_findings(drawing: Drawing) -> Iterator[Finding]:
    """Bends below the tube's least radius, corners too close for theirs, runs that leave a port not by its front."""
    parts, placements = drawing.build.parts_by_id, drawing.layout.placements
    for drawn in drawing.runs:
        if any(_is_tight(bend, drawn.tube) for bend in drawn.path.bends):
            name = drawing.name_of(drawn.run)
            yield from drawn.path.keep("tight bends", _tight_bends, drawn.path, drawn.run, drawn.tube, name)
        for reference, at_end in ((drawn.run.start, False), (drawn.run.end, True)):
            part_id, _, port = reference.partition(".")
            part, placement = parts[part_id], placements[part_id]
            straight = drawn.path.keep(f"exit {at_end}", _straightness, drawn.path, at_end, part, port, placement)
            if straight < _SIDEWAYS and not _has_elbow(drawn, at_end):
                yield _bad_exit(drawing, drawn, reference, at_end, straight < _BACKWARD)


def _is_tight(bend: Bend, tube: Tube) -> bool:
    return bend.radius_mm < max(bend.wanted_mm, tube.least_radius_mm) - 1e-6


def _tight_bends(path: Path, run: TubeRun, tube: Tube, name: str) -> tuple[Finding, ...]:
    """What is said of a run's bends; kept with its path, as sentences take longer than the check."""
    tight = [bend for bend in path.bends if _is_tight(bend, tube) and run.corners[bend.corner].turn == "bend"]
    return tuple(found for bend in tight for found in _bend(path, run, tube, bend, name))


def _bend(path: Path, run: TubeRun, tube: Tube, bend: Bend, name: str) -> Iterator[Finding]:
    at, where = path.spots[bend.corner + 1], f"{name}, corner {bend.corner + 1}"
    radius = datum(round(bend.radius_mm), "mm")
    cramped = bend.radius_mm < bend.wanted_mm - 1e-6
    if bend.wanted_mm > 0 and bend.radius_mm < tube.least_radius_mm - 1e-6:
        why = "there is no room for more" if cramped else "as drawn"
        text = f"{where}: radius {radius} ({why}), {tube.name} kinks below {datum(tube.least_radius_mm, 'mm')}"
        yield Finding("tight_bend", run.id, text, False, *_wider(bend, tube.least_radius_mm), at)
    elif bend.radius_mm < bend.wanted_mm - _WORTH_SAYING_MM:
        text = f"{where}: there is room for a radius of {radius} only, {datum(bend.wanted_mm, 'mm')} was asked for"
        remedy = "move the corners further apart, or ask for a smaller radius"
        yield Finding("close_corners", run.id, text, True, remedy, "fitting_radius", at)


def _wider(bend: Bend, least: float) -> tuple[str, str]:
    """What makes a bend wide enough."""
    if bend.radius_mm < bend.wanted_mm - 1e-6:
        return "move the corners further apart, or use an elbow there", "elbow"
    return f"set a radius of {datum(least, 'mm')} or more", "least_radius"


def _bad_exit(drawing: Drawing, drawn: DrawnRun, reference: str, at_end: bool, is_backward: bool) -> Finding:
    part, port = drawing.build.port(reference)
    how = "backward" if is_backward else "sideways"
    text = f"{drawing.name_of(drawn.run)} leaves {part.name}, {port.words}, {how}"
    remedy = "turn the part, or lead the tube out of the port's front first"
    remedy += "" if is_backward else "; an elbow right at the port does as well"
    told = drawn.run.id, text, False, remedy, "reroute", drawn.path.spots[-1 if at_end else 0], (part.id,)
    return Finding("backward_exit", *told) if is_backward else Finding("sideways_exit", *told)


def _has_elbow(drawn: DrawnRun, at_end: bool) -> bool:
    """True if a fitting turns the tube right at its port."""
    spots, corners = drawn.path.spots, drawn.run.corners
    port, corner = (spots[-1], spots[-2]) if at_end else spots[:2]
    return bool(corners) and corners[-1 if at_end else 0].turn != "bend" and math.dist(port, corner) <= _SHORTEST_MM


def _straightness(path: Path, at_end: bool, part: Part, port: str, placement: Placement) -> float:
    """Cosine of the angle between the stretch at one end of a path and the facing of the port that it is on."""
    facing = placement.place_of(part).direction(part.ports[port].facing_deg)
    return _cosine(facing, path.spots[::-1] if at_end else path.spots)


def _cosine(facing: Spot, spots: tuple[Spot, ...]) -> float:
    """Cosine of the angle between a port's facing and the first stretch that has a length; 1 without one."""
    for spot in spots[1:]:
        length = math.dist(spots[0], spot)
        if length > _SHORTEST_MM:
            return sum(a * (b - c) for a, b, c in zip(facing, spot, spots[0], strict=True)) / length
    return 1.0

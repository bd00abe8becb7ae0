"""What a layout's drawing shows by itself, before anything is solved."""

from collections.abc import Iterator

from loopsim import elements
from loopsim.build import Build, Layout
from loopsim.geometry import Bend, Spot
from loopsim.parts import Part, Pump, Supply, Tube, TubeRun
from loopsim.studies.results import Finding

__all__ = ["findings"]


def findings(build: Build, layout_name: str | None = None) -> tuple[Finding, ...]:
    """Open ports, a missing pump or reservoir, bends that are too tight, what is too high or outside the enclosure.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    layout = build.layout(layout_name)
    return (
        *_missing(build, layout),
        *(finding for run in layout.runs for finding in _run_findings(build, layout, run)),
        *(finding for part_id in layout.placements for finding in _fit_findings(build, layout, part_id)),
        *_levelled(build, layout),
        *_open_ports(build, layout),
    )


def _missing(build: Build, layout: Layout) -> Iterator[Finding]:
    if not layout.placed:
        yield Finding("empty", None, "nothing is placed yet: begin with a reservoir and a pump", quiet=True)
        return
    parts = [build.part(part_id) for part_id in layout.placements]
    if not any(isinstance(part, Pump) for part in parts):
        yield Finding("no_pump", None, "there is no pump, so nothing flows", quiet=True)
    if all(part.surface_mm is None and part.held_pressure_pa is None for part in parts):
        yield Finding(
            "no_reservoir",
            None,
            "there is no free surface, so only pressure differences are known, not pressures",
            True,
        )


def _levelled(build: Build, layout: Layout) -> Iterator[Finding]:
    """Pumps whose curve had to be levelled: where the raw one rises, the flow may be unsteady."""
    for part_id in layout.placements:
        pump = build.part(part_id)
        if isinstance(pump, Pump) and any(
            isinstance(path.element, elements.Pump) and path.element.law.levelled for path in pump.flow_paths
        ):
            text = (
                f"{pump.name}: its curve rises or is flat in places; it was levelled there, real flow may be unsteady"
            )
            yield Finding("levelled_curve", part_id, text)


def _open_ports(build: Build, layout: Layout) -> Iterator[Finding]:
    joined = {end for run in layout.runs for end in (run.start, run.end)}
    for part_id in layout.placements:
        part = build.part(part_id)
        free = [name for name in part.ports if f"{part_id}.{name}" not in joined]
        if free:
            words = "1 port open" if len(free) == 1 else f"{len(free)} ports open"
            yield Finding("open_port", part_id, f"{part.name}: {words} ({', '.join(free)})", quiet=True)


def _run_findings(build: Build, layout: Layout, run: TubeRun) -> Iterator[Finding]:
    path, tube, name = build.run_path(layout, run), build.tube(run.tube), build.run_name(run)
    for bend in path.bends:
        rounded = bend.wanted_mm > 0
        if rounded and bend.radius_mm < tube.least_radius_mm - 1e-6:
            yield Finding("tight_bend", run.id, _tight_words(name, bend, tube))
    lid, half = build.enclosure.clear_height_mm, tube.outer_mm / 2
    if max(path.heights_mm) + half > lid:
        yield Finding(
            "too_high",
            run.id,
            f"the tube from {name} reaches {max(path.heights_mm) + half:.0f} mm, the lid is at {lid:g} mm",
        )
    if min(path.heights_mm) - half < 0:
        yield Finding(
            "too_low", run.id, f"the tube from {name} would pass {half - min(path.heights_mm):.0f} mm into the floor"
        )


def _tight_words(name: str, bend: Bend, tube: Tube) -> str:
    why = "there is no room for more" if bend.radius_mm < bend.wanted_mm - 1e-6 else "as drawn"
    return (
        f"the tube from {name}, corner {bend.corner + 1}: radius {bend.radius_mm:.0f} mm ({why}), "
        f"{tube.name} kinks below {tube.least_radius_mm:g} mm"
    )


def _fit_findings(build: Build, layout: Layout, part_id: str) -> Iterator[Finding]:
    part, placement = build.part(part_id), layout.placement(part_id)
    if isinstance(part, Supply) and part.stands == "outside":
        return
    top, lid = placement.height_mm + part.height_mm, build.enclosure.clear_height_mm
    if top > lid + 1e-9:
        yield Finding("too_high", part_id, f"{part.name} reaches {top:g} mm, the lid is at {lid:g} mm")
    if placement.height_mm < 0:
        yield Finding("too_low", part_id, f"{part.name} stands {-placement.height_mm:g} mm below the floor")
    if not all(_inside(build, corner) for corner in _corners(part, layout)):
        yield Finding("outside", part_id, f"{part.name} stands partly outside the enclosure")


def _corners(part: Part, layout: Layout) -> list[Spot]:
    return part.outline.corners(layout.placement(part.id).place_of(part))


def _inside(build: Build, spot: Spot) -> bool:
    slack = 1e-6
    return (
        -slack <= spot.x_mm <= build.enclosure.length_mm + slack
        and -slack <= spot.y_mm <= build.enclosure.width_mm + slack
    )

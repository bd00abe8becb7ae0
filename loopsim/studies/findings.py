"""What a layout's drawing shows by itself, before anything is solved."""

import math
from collections.abc import Iterator
from functools import cache

from loopsim import elements
from loopsim.build import Build, Layout
from loopsim.build.free_ports import free_ports
from loopsim.curves import DropCurve, DropPoint, HeadCurve
from loopsim.errors import MediumError
from loopsim.fields import record_types
from loopsim.parts import Part, Pump
from loopsim.studies.fan_direction import fans_against_their_sheet
from loopsim.studies.fit import fit
from loopsim.studies.fit.as_joined import as_joined
from loopsim.studies.fit.closing import driven_open_ports
from loopsim.studies.results import Finding
from loopsim.studies.sentence import datum

__all__ = ["findings"]

# Common practice, no source: pumps of such loops give some 1 to 15 m, and no part of them is as narrow as 0.03 m3/h.
_LARGEST_HEAD_M = 100.0
_LEAST_KV = 0.03


def findings(build: Build, layout_name: str | None = None) -> tuple[Finding, ...]:
    """What is missing or at odds, whether it fits (see `loopsim.studies.fit`), levelled curves, open ports.

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
    found: tuple[Finding, ...] = build.keep(f"findings of {layout.name}", lambda: _found(build, layout))
    return found


def _found(build: Build, layout: Layout) -> tuple[Finding, ...]:
    """One drawing is solved for every load case and every stopped pump; what it shows stays the same."""
    return (
        *_unknown_coolants(build),
        *as_joined(build, layout, _of_parts),
        *fit(build, layout.name),
        *as_joined(build, layout, _of_curves_and_ports),
        *fans_against_their_sheet(build, layout),
    )


def _of_parts(build: Build, layout: Layout) -> Iterator[Finding]:
    yield from _missing(build, layout)
    yield from _drawn_levels(build, layout)
    yield from _tubes_without_wall(build, layout)


def _of_curves_and_ports(build: Build, layout: Layout) -> Iterator[Finding]:
    yield from _levelled(build, layout)
    yield from _swapped(build, layout)
    yield from _open_ports(build, layout)


def _missing(build: Build, layout: Layout) -> Iterator[Finding]:
    if not layout.placed:
        yield Finding("empty", None, "nothing is placed yet: begin with a reservoir and a pump", quiet=True)
        return
    parts = [build.part(part_id) for part_id in layout.placements]
    if not any(isinstance(part, Pump) for part in parts):
        yield Finding("no_pump", None, "there is no pump, so nothing flows", quiet=True)
    if not any(part.is_vessel for part in parts):
        yield Finding(
            "no_reservoir",
            None,
            "there is no free surface, so only pressure differences are known, not pressures",
            True,
        )


def _unknown_coolants(build: Build) -> Iterator[Finding]:
    """Coolants that cannot be worked with: water with glycol in it, or a temperature out of range."""
    for coolant in build.coolants:
        try:
            _ = coolant.state
        except MediumError as error:
            yield Finding("coolant", None, f"coolant {coolant.id!r}: {error}")


def _drawn_levels(build: Build, layout: Layout) -> Iterator[Finding]:
    """Levels as typed that no liquid could have, or from which every port draws air."""
    for part in (build.part(part_id) for part_id in layout.placements):
        if part.surface_mm is None or not part.ports:
            continue
        lowest, highest = part.level_range_mm
        drawn = f"{part.name}: its level of {datum(part.surface_mm, 'mm')} stands"
        if part.surface_mm > highest:
            text = (
                f"{drawn} above the underside of its lid at {datum(highest, 'mm')}; lower the level or make it higher"
            )
            yield Finding("drawn_level", part.id, text)
        elif part.surface_mm < lowest:
            text = f"{drawn} below the top of its lowest port at {datum(lowest, 'mm')}: it draws air; raise the level"
            yield Finding("drawn_level", part.id, text)


def _tubes_without_wall(build: Build, layout: Layout) -> Iterator[Finding]:
    """Tubes no wider outside than inside, each said once, at its first run."""
    first = {run.tube: run.id for run in reversed(layout.runs)}
    for tube, run_id in ((build.tube(name), run_id) for name, run_id in first.items()):
        if tube.outer_mm <= tube.bore_mm:
            bore, outer = datum(tube.bore_mm, "mm"), datum(tube.outer_mm, "mm")
            text = f"{tube.name}: its bore of {bore} leaves no wall in {outer} outside"
            yield Finding("no_wall", run_id, text)


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


def _swapped(build: Build, layout: Layout) -> Iterator[Finding]:
    """Curves so far from any part of such a loop that two of their columns were likely swapped."""
    for part in (build.part(part_id) for part_id in layout.placements):
        for curve in (getattr(part, name) for name in _curve_fields(type(part))):
            if isinstance(curve, HeadCurve) and curve.points[0].head_m > _LARGEST_HEAD_M:
                begins = datum(curve.points[0].head_m, "m")
                text = f"{part.name}: its curve begins at {begins}: are flow and head swapped?"
                yield Finding("swapped", part.id, text)
            elif isinstance(curve, DropCurve) and _kv(curve.points[-1]) < _LEAST_KV:
                most = curve.points[-1]
                cost, flow = datum(most.dp_kpa, "kpa"), datum(most.flow_l_h, "l_h")
                text = f"{part.name}: it costs {cost} at {flow}: are flow and drop swapped?"
                yield Finding("swapped", part.id, text)


@cache
def _curve_fields(kind: type[Part]) -> tuple[str, ...]:
    """Fields of a kind that may hold a curve of head or drop."""
    curves = {HeadCurve, DropCurve}
    return tuple(name for name, info in kind.model_fields.items() if curves.intersection(record_types(info.annotation)))


def _kv(point: DropPoint) -> float:
    """Flow of water at 1 bar, by the square law [m3/h]."""
    return point.flow_l_h / 1000.0 * math.sqrt(100.0 / point.dp_kpa)


def _open_ports(build: Build, layout: Layout) -> Iterator[Finding]:
    """Ports still to be joined; those from which a pump would push the coolant are said as a warning already."""
    driven = driven_open_ports(build, layout)
    for part_id, (free, _) in free_ports(build, layout).items():
        waiting = [name for name in free if name not in driven.get(part_id, ())]
        if waiting:
            words = "1 port open" if len(waiting) == 1 else f"{len(waiting)} ports open"
            names = ", ".join(waiting).replace("_", " ")
            yield Finding("open_port", part_id, f"{build.part(part_id).name}: {words} ({names})", quiet=True)

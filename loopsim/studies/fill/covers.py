"""Home-made vessels and plates of clear plastic under test pressure: lids, walls and floors."""

from collections.abc import Iterator

from loopsim.build import Build
from loopsim.parts import Reservoir
from loopsim.studies.fill.cover_results import CoverAdvice, CoverCheck, CoverVerdict
from loopsim.studies.fill.leak_sheet import leak_sheet
from loopsim.studies.fill.lid import ACRYLIC, POLYCARBONATE, ClearPlastic, LidLoad, lid_load, strip_load
from loopsim.studies.fill.seals import Home, fitting_walls, screwed_lid
from loopsim.studies.sentence import datum, quantity
from loopsim.units import from_si, to_si

__all__ = ["covers"]

LASTS, HOLDS = 2.0, 4.0  # margins asked for: against stress that may stand for years, against short strength

_PLATES = (
    "plate theory (Timoshenko and Woinowsky-Krieger); strength from published sheet values of acrylic, from memory of "
    "polycarbonate; the margins are common practice"
)


def covers(
    build: Build, layout_name: str | None = None, pressure: float | None = None, standing: float = 0.0
) -> tuple[CoverAdvice, ...]:
    """Advice on every reservoir and channel plate of a layout.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    pressure : float, optional
        Gauge, of the test; that of the leak test sheet if not given [Pa].
    standing : float
        Gauge pressure that stands for years, of a sealed loop when hot [Pa].

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    layout = build.layout(layout_name)
    pressure = leak_sheet(build, layout.name).pressure if pressure is None else pressure
    parts = (build.part(each) for each in layout.placements)
    return tuple(_advice(part, pressure, standing) for part in parts if isinstance(part, Home))


def _advice(part: Home, pressure: float, standing: float) -> CoverAdvice:
    cover = part.cover
    checks = () if cover.material == "something else" else tuple(_checks(part, pressure, standing))
    guess = cover.known_by == "guess"
    return CoverAdvice(part.id, part.name, cover.material, pressure, standing, guess, checks)


def _checks(part: Home, pressure: float, standing: float) -> Iterator[CoverCheck]:
    plastic = POLYCARBONATE if part.cover.material == "polycarbonate" else ACRYLIC
    yield from _plates(part, pressure, plastic)
    if standing > 0:
        yield from _plates(part, standing, plastic, lasting=True)
    if part.cover.held == "screwed":
        yield from screwed_lid(part, pressure, plastic)
    if part.cover.fitting_thread_mm is not None:
        yield from fitting_walls(part, part.cover.fitting_thread_mm)


def _plates(part: Home, pressure: float, plastic: ClearPlastic, lasting: bool = False) -> Iterator[CoverCheck]:
    """Lid, walls and floor, all edges free to turn: the safe side where they are glued."""
    for what, load, thickness in _loads(part, pressure, plastic):
        yield _plate_check(f"{what}, for years" if lasting else what, load, thickness, pressure, plastic, lasting)


def _loads(part: Home, pressure: float, plastic: ClearPlastic) -> Iterator[tuple[str, LidLoad, float]]:
    lid, (span, width) = _lid(part)
    if isinstance(part, Reservoir):
        wall = to_si(part.wall_mm, "mm")
        outside = (part.length_mm, part.width_mm, part.height_mm)
        length, across, height = (to_si(each - 2 * part.wall_mm, "mm") for each in outside)
        if min(span, width, lid) > 0:
            yield "lid", lid_load(span, width, lid, pressure, plastic), lid
        if min(length, across, height, wall) > 0:
            yield "longest wall", lid_load(max(length, across), height, wall, pressure, plastic), wall
            yield "floor", lid_load(length, across, wall, pressure, plastic), wall
        return
    channel, depth = to_si(part.channel_width_mm, "mm"), to_si(part.channel_depth_mm, "mm")
    floor, wall = to_si(part.channel_height_mm, "mm") - depth / 2, to_si(part.channel_wall_mm, "mm")
    glued = part.cover.held == "glued"
    if lid > 0 and glued:
        yield "lid over a channel", strip_load(channel, lid, pressure, plastic), lid
    if min(span, width, lid) > 0:
        yield "lid, bond let go" if glued else "lid", lid_load(span, width, lid, pressure, plastic), lid
    if floor > 0:
        yield "floor under a channel", strip_load(channel, floor, pressure, plastic), floor
    yield "channel wall", strip_load(depth, wall, pressure, plastic, "both edges" if glued else "one edge"), wall


def _lid(part: Home) -> tuple[float, tuple[float, ...]]:
    """Thickness and sides [m]."""
    return to_si(part.lid_thickness_mm, "mm"), tuple(to_si(each, "mm") for each in part.lid_spans_mm)


def _plate_check(
    what: str, load: LidLoad, thickness: float, pressure: float, plastic: ClearPlastic, lasting: bool
) -> CoverCheck:
    asked = plastic.long_time / LASTS if lasting else max(plastic.long_time / LASTS, plastic.strength / HOLDS)
    margin = asked / load.stress
    verdict: CoverVerdict = "fine" if load.lasting_margin >= LASTS else "for the test only" if margin >= 1 else "change"
    stress, bend = quantity(load.stress, "mpa", 1), quantity(load.deflection, "mm", 2)
    thick = "" if load.is_stiff else "; it bends by more than half its thickness, where this is on the safe side"
    sentence = (
        f"{what}: {datum(from_si(thickness, 'mm'), 'mm')} of {plastic.name} at {quantity(pressure, 'bar', 2)} bends "
        f"by {bend} and bears {stress}: its strength is {load.short_margin:.1f} times that, what may stand for years "
        f"{load.lasting_margin:.1f} times, where {LASTS:g} are asked for{thick}"
    )
    sinks = "leave more gas above the cold coolant" if lasting else "lower the test pressure"
    remedy = {
        "fine": "",
        "for the test only": "keep it under pressure for the test only, or make it thicker or its span smaller",
        "change": f"make it thicker, its span smaller, or {sinks}",
    }[verdict]
    return CoverCheck(what, stress, f"at most {quantity(asked, 'mpa', 1)}", margin, verdict, sentence, remedy, _PLATES)

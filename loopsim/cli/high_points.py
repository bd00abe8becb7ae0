"""`loopsim highpoints`: where air stays in a full loop, and what frees it."""

from typing import Annotated, Any

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, File, LayoutName, part_ids, print_answer
from loopsim.cli.tables import console, fixed, new_table, numbers, say
from loopsim.network import LEVEL, Tilt
from loopsim.studies.fill import AirMap, HighPoint, TiltPlan, TiltStep, air_map, tilt_plan
from loopsim.studies.fill.drain import tilt_words
from loopsim.studies.fill.places import millilitres
from loopsim.studies.sentence import marked
from loopsim.units import from_si

__all__ = ["highpoints"]


def highpoints(
    file: File,
    layout: LayoutName = None,
    stop: Annotated[list[str] | None, typer.Option(help="id or name of a pump without power; may stand often")] = None,
    tilt: Annotated[
        float, typer.Option(help="degrees to which the machine can be held to any side: the tilts that free most air")
    ] = 0.0,
    as_json_: AsJson = False,
) -> None:
    """Say where air collects in a full loop, whether the flow clears it, and which tilts let it out."""
    loaded = build.load(file)
    found = air_map(studies.operating_point(loaded, layout, part_ids(loaded, stop or ())))
    tilts = tilt_plan(loaded, layout, Tilt(tilt, tilt)) if Tilt(tilt, tilt) != LEVEL else None
    print_answer(_as_json(found, tilts) if as_json_ else None, lambda: _as_text(found, tilts))


def _as_text(found: AirMap, tilts: TiltPlan | None) -> None:
    out = console()
    columns = numbers("at most {ml}", "up to {mm}", "flow {m_s}", "stays below", "clears above")
    table = new_table("", ("high point", False), *columns, ("running", False))
    for point in found.points:
        table.add_row(Text(point.at.name), *_cells(point), point.verdict)
    out.print(table)
    for point in found.points:
        say(out, f"  {marked(point.sentence)}.")
    for number, step in enumerate(tilts.steps if tilts is not None else (), start=1):
        say(out, _tilt_line(number, step))
    if tilts is not None:
        left, trapped = millilitres(tilts.left), millilitres(tilts.trapped)
        say(out, f"Pumps off: {left} of {trapped} stay whatever the tilt.")
    for each in found.sources:
        out.print(Text(f"  source: {each}"))


def _tilt_line(number: int, step: TiltStep) -> str:
    spills = f"; first close {', '.join(step.spills)}" if step.spills else ""
    return f"Tilt {number}: {tilt_words(step.tilt)} lets out {millilitres(step.freed)}{spills}."


def _cells(point: HighPoint) -> list[str]:
    spread = (point.stays_below, point.clears_above)
    judged = [fixed(each or None, 2, "m_s") for each in spread]  # where nothing flows no speed is judged by
    return [fixed(point.gas, 1, "ml"), fixed(point.height, 0, "mm"), fixed(point.speed, 2, "m_s"), *judged]


def _as_json(found: AirMap, tilts: TiltPlan | None) -> dict[str, Any]:
    return {
        "stopped": sorted(found.stopped),
        "capacity_ml": _ml(found.capacity),
        "high_points": [_point(each) for each in found.points],
        "tilts": None
        if tilts is None
        else {
            "trapped_ml": _ml(tilts.trapped),
            "left_ml": _ml(tilts.left),
            "steps": [
                {"tilt_deg": list(step.tilt), "freed_ml": _ml(step.freed), "spills": list(step.spills)}
                for step in tilts.steps
            ],
        },
        "sources": list(found.sources),
    }


def _point(point: HighPoint) -> dict[str, Any]:
    return {
        "at": point.at.place,
        "name": point.at.name,
        "height_mm": _mm(point.height),
        "sill_mm": _mm(point.sill),
        "air_ml": _ml(point.gas),
        "blind_ml": _ml(point.blind),
        "verdict": point.verdict,
        "speed_m_s": rounded(point.speed, 4),
        "stays_below_m_s": rounded(point.stays_below, 4),
        "clears_above_m_s": rounded(point.clears_above, 4),
        "eotvos": rounded(point.eotvos, 3),
        "ends_in": point.ends_in,
        "caught_at": point.caught_at,
        "cap": point.cap,
        "text": point.sentence,
    }


def _ml(volume: float) -> float:
    return float(rounded(from_si(volume, "ml"), 4))


def _mm(length: float) -> float:
    return float(rounded(from_si(length, "mm"), 4))

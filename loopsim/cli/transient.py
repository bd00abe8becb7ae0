"""`loopsim transient`: how warm it gets, and when, after switching on or after parts have stopped."""

from typing import Annotated, Any

import numpy as np
import typer
from numpy.typing import NDArray
from rich.table import Table
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, part_ids, print_answer
from loopsim.cli.tables import console, fixed, label, new_table, numbers, say
from loopsim.studies import Boiling, Transient
from loopsim.studies.sentence import datum
from loopsim.studies.words import duration

__all__ = ["transient"]

FloatArray = NDArray[np.float64]

_ROWS = (0, 10, 20, 30, 60, 120, 180, 300, 600, 1200, 1800, 3600, 7200, 14400, 28800)  # times of the table [s]


def transient(
    file: File,
    layout: LayoutName = None,
    case: CaseName = None,
    stop: Annotated[
        list[str] | None,
        typer.Option(help="id or name of a pump or fan that stops at first; may stand several times"),
    ] = None,
    minutes: Annotated[float, typer.Option(help="how long to follow it")] = 60.0,
    from_cold: Annotated[
        bool, typer.Option("--from-cold", help="start at the room's temperature, as it does where nothing stops")
    ] = False,
    as_json_: AsJson = False,
) -> None:
    """Follow the temperatures in time: after parts have stopped, or from cold; says when a limit is reached."""
    loaded = build.load(file)
    found = studies.transient(loaded, layout, case, part_ids(loaded, stop or ()), minutes, from_cold or not stop)
    print_answer(_as_json(found) if as_json_ else None, lambda: _as_text(found))


def _as_text(found: Transient) -> None:
    out = console()
    say(out, f"{found.build.name}, {found.layout.name}, {found.case.name}; room at {datum(found.room, 'c')}")
    out.print(_course(found))
    out.print(_limits(found))
    say(out, found.sentence)


def _course(found: Transient) -> Table:
    """Temperatures at round times, and at the end."""
    columns = {
        **{each.name: each.temperature for each in found.components},
        "warmest coolant": _warmest(found),
        **{f"air, {name}": course for name, course in found.spaces.items()},
    }
    made = new_table(f"Temperatures, {label('c')}", ("after", True), *((name, True) for name in columns))
    end = float(found.time[-1])
    for time in [*(float(each) for each in _ROWS if each < end), end]:
        row = (fixed(float(np.interp(time, found.time, course)), 1, "c") for course in columns.values())
        made.add_row(duration(time) if time else "0", *row)
    return made


def _warmest(found: Transient) -> FloatArray:
    return np.asarray(np.max([*found.streams.values(), *found.vessels.values()], axis=0))


def _limits(found: Transient) -> Table:
    columns = numbers("heat W", "limit {c}", "reaches it after", "alone in", "whole loop in")
    made = new_table("Limits", ("component", False), *columns)
    for each in found.components:
        times = ("-" if time is None else duration(time) for time in (each.crosses, each.shortest, each.longest))
        made.add_row(Text(each.name), fixed(each.heat, 0), fixed(each.limit, 0, "c"), *times)
    return made


def _as_json(found: Transient) -> dict[str, Any]:
    """Arrays go with `time_s`; a time that never comes is null."""
    return {
        "build": found.build.name,
        "layout": found.layout.name,
        "case": found.case.name,
        "stopped": sorted(found.stopped),
        "from_cold": found.from_cold,
        "room_c": found.room,
        "time_s": _listed(found.time),
        "components": [
            {
                "part": each.part,
                "name": each.name,
                "heat_w": round(each.heat, 6),
                "limit_c": each.limit,
                "cooled_by": each.cooled_by,
                "temperature_c": _listed(each.temperature),
                "reaches_limit_s": _seconds(each.crosses),
                "alone_s": _seconds(each.shortest),
                "whole_loop_s": _seconds(each.longest),
            }
            for each in found.components
        ],
        "coolant_c": {name: _listed(course) for name, course in (*found.streams.items(), *found.vessels.items())},
        "air_c": {name: _listed(course) for name, course in found.spaces.items()},
        "crossings": [
            {"time_s": _seconds(each.time), "part": each.part, "name": each.name, "limit_c": each.limit}
            for each in found.crossings
        ],
        "boils": None if found.boils is None else _boiling(found.boils),
        "time_to_limit_s": _seconds(found.time_to_limit),
        "settled_s": _seconds(found.settled),
        "heat_imbalance": found.course.imbalance,
        "sentence": found.sentence,
    }


def _boiling(boils: Boiling) -> dict[str, Any]:
    return {
        "time_s": _seconds(boils.time),
        "part": boils.part,
        "name": boils.name,
        "temperature_c": round(boils.temperature, 3),
    }


def _listed(values: FloatArray) -> list[float]:
    return [round(float(value), 4) for value in values]


def _seconds(time: float | None) -> float | None:
    return None if time is None else round(time, 3)

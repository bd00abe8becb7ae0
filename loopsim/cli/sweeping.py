"""`loopsim sweep`: one or two numbers run through a range."""

import math
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.long_work import Advance, Cluster, Jobs, TableFile, progress, unfinished
from loopsim.cli.rounding import in_its_unit
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, Stop, part_ids, print_answer
from loopsim.cli.tables import console, fixed, new_table
from loopsim.studies import Parameter, SweepPoint, Variation, Workers

__all__ = ["sweep"]

# Figures of the table with their short headings.
_SHOWN = {
    "flow_l_h": "flow L/h",
    "margin_k": "margin K",
    "coolant_rise_k": "rise K",
    "highest_pressure_kpa": "pressure kPa",
    "sound_dba": "dB(A)",
    "mains_w": "mains W",
}


def sweep(
    file: File,
    vary: Annotated[
        list[str],
        typer.Option(help="item.field=from:to:n, as pump_a.speed_percent=40:100:7; once or twice", show_default=False),
    ],
    layout: LayoutName = None,
    case: CaseName = None,
    stop: Stop = None,
    jobs: Jobs = None,
    cluster: Cluster = "",
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="where to write all figures: .csv; what was cut short is taken up again"),
    ] = None,
    as_json_: AsJson = False,
) -> None:
    """Run one or two numbers of a build through a range and solve flow, heat and air at every point."""
    loaded = build.load(file)
    stopped = part_ids(loaded, stop or ())
    variations = [Variation.from_text(each) for each in vary]
    parameters = studies.varied(loaded, variations, layout, case)
    points = studies.each_point(
        loaded, variations, layout, case, stopped, Workers(jobs, cluster), keep_in=unfinished(output)
    )
    with progress("points", math.prod(len(each.values) for each in variations)) as advance:
        if output is None:
            found = list(_counted(points, advance))
        else:
            _write(output, parameters, _counted(points, advance))
    if output is not None:
        print(output)
        return
    print_answer(_as_json(parameters, found) if as_json_ else None, lambda: _as_text(parameters, found))


def _counted(points: Iterable[SweepPoint], advance: Advance) -> Iterator[SweepPoint]:
    for point in points:
        advance(1)
        yield point


def _write(output: Path, parameters: Sequence[Parameter], points: Iterable[SweepPoint]) -> None:
    """Every point as soon as it is solved; those before the first with figures wait for it to name the columns."""
    references = [each.reference for each in parameters]
    keys: list[str] = []
    waiting: list[SweepPoint] = []
    with TableFile(output) as table:
        for point in points:
            waiting.append(point)
            if not keys and point.figures:
                keys = list(point.figures)
                table.begin([*references, *keys])
            if keys:
                table.add_rows([_row(each, keys) for each in waiting])
                waiting.clear()
        if not keys:
            table.begin(references)
            table.add_rows([_row(each, keys) for each in waiting])


def _row(point: SweepPoint, keys: Sequence[str]) -> list[float | str]:
    shown = _figures(point)
    return [*point.values, *("" if (value := shown.get(key)) is None else value for key in keys)]


def _figures(point: SweepPoint) -> dict[str, float | None]:
    """Figures in the units that their keys end in."""
    return {key: None if value is None else in_its_unit(key, value) for key, value in point.figures.items()}


def _as_json(parameters: Sequence[Parameter], points: Sequence[SweepPoint]) -> dict[str, Any]:
    varied = [each.reference for each in parameters]
    return {
        "varied": varied,
        "points": [dict(zip(varied, point.values, strict=True)) | _figures(point) for point in points],
    }


def _as_text(parameters: Sequence[Parameter], points: Sequence[SweepPoint]) -> None:
    out = console()
    columns = [*(each.heading for each in parameters), *_SHOWN.values(), "warmest"]
    table = new_table("", *((column, column != "warmest") for column in columns))
    for point in points:
        shown = _figures(point)
        numbers = (fixed(shown.get(key), 0 if key == "flow_l_h" else 1) for key in _SHOWN)
        table.add_row(*(f"{value:g}" for value in point.values), *numbers, Text(point.warmest or "-"))
    out.print(table)

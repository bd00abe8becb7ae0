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
from loopsim.cli.tables import console, fixed, label, new_table, numbers, read
from loopsim.studies import Parameter, SweepPoint, Variation, Workers
from loopsim.studies.sentence import bare_datum
from loopsim.units import unit_of

__all__ = ["sweep"]

# Figures of the table with their short headings.
_SHOWN = {
    "flow_l_h": "flow {l_h}",
    "margin_k": "margin {k}",
    "coolant_rise_k": "rise {k}",
    "highest_pressure_kpa": "pressure {kpa}",
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
    varied = [(_heading(each), True) for each in parameters]
    table = new_table("", *varied, *numbers(*_SHOWN.values()), ("warmest", False))
    for point in points:
        values = (_value(value, each.field.unit) for value, each in zip(point.values, parameters, strict=True))
        solved = (fixed(point.figures.get(key), 0 if key == "flow_l_h" else 1, unit_of(key) or "") for key in _SHOWN)
        table.add_row(*values, *solved, Text(point.warmest or "-"))
    out.print(table)


def _heading(parameter: Parameter) -> str:
    unit = parameter.field.unit
    return f"{parameter.name} {parameter.field.label}{f', {label(unit)}' if unit else ''}"


def _value(value: float, unit: str | None) -> str:
    return read(bare_datum(value, unit)) if unit else f"{value:g}"

"""`loopsim sweep`: one or two numbers run through a range."""

import csv
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated, Any, TextIO

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, print_answer
from loopsim.cli.tables import console, fixed, new_table
from loopsim.errors import FileError
from loopsim.studies import Parameter, SweepPoint, Variation
from loopsim.units import from_si, unit_of

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
    stop: Annotated[list[str] | None, typer.Option(help="id of a pump or fan without power")] = None,
    output: Annotated[Path | None, typer.Option("--output", "-o", help="where to write all figures: .csv")] = None,
    as_json_: AsJson = False,
) -> None:
    """Run one or two numbers of a build through a range and solve flow, heat and air at every point."""
    loaded = build.load(file)
    variations = [Variation.from_text(each) for each in vary]
    parameters = studies.varied(loaded, variations, layout, case)
    points = studies.each_point(loaded, variations, layout, case, stop or ())
    if output is not None:
        _write(output, parameters, points)
        print(output)
        return
    found = list(points)
    print_answer(_as_json(parameters, found) if as_json_ else None, lambda: _as_text(parameters, found))


def _write(output: Path, parameters: Sequence[Parameter], points: Iterator[SweepPoint]) -> None:
    """Every point as soon as it is solved, so that what was found stays if the rest is cut short."""
    try:
        with output.open("w", newline="", encoding="utf-8") as file:
            _write_rows(file, parameters, points)
    except OSError as error:
        raise FileError(f"{output.name}: cannot be written ({error.strerror})") from error


def _write_rows(file: TextIO, parameters: Sequence[Parameter], points: Iterator[SweepPoint]) -> None:
    """Points before the first with figures wait for it, as it says what columns there are."""
    writer, waiting = csv.writer(file), []
    keys: list[str] = []
    for point in points:
        waiting.append(point)
        if not keys and point.figures:
            keys = list(point.figures)
            writer.writerow([*(each.reference for each in parameters), *keys])
        if keys:
            writer.writerows(_row(each, keys) for each in waiting)
            waiting.clear()
            file.flush()
    if not keys:
        writer.writerow([each.reference for each in parameters])
        writer.writerows(_row(each, keys) for each in waiting)


def _row(point: SweepPoint, keys: Sequence[str]) -> list[float | str]:
    shown = _figures(point)
    return [*point.values, *("" if (value := shown.get(key)) is None else value for key in keys)]


def _figures(point: SweepPoint) -> dict[str, float | None]:
    """Figures in the units that their keys end in."""
    return {key: None if value is None else _shown(key, value) for key, value in point.figures.items()}


def _shown(key: str, value: float) -> float:
    unit = unit_of(key)
    return float(rounded(from_si(value, unit) if unit else value, 6))


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
        warmest = point.heat.warmest if point.heat else None
        numbers = (fixed(shown.get(key), 0 if key == "flow_l_h" else 1) for key in _SHOWN)
        table.add_row(*(f"{value:g}" for value in point.values), *numbers, Text(warmest.name if warmest else "-"))
    out.print(table)

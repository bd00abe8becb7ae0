"""`loopsim tolerance`: how far the answer can be trusted."""

import csv
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, part_ids, print_answer
from loopsim.cli.tables import console, fixed, new_table
from loopsim.errors import FileError
from loopsim.studies import Band, Chunk, Tolerance
from loopsim.units import UNITS, from_si, unit_of

__all__ = ["tolerance"]

_RANKED = 5  # inputs of the table that tells which matters most
_DIGITS = {"l_h": 0}
_LABELS = {"flow_l_h": "flow", "margin_k": "margin of the warmest", "coolant_rise_k": "coolant above the room"}


def tolerance(
    file: File,
    draws: Annotated[int, typer.Option("-n", "--draws", help="how many machines are drawn")] = 10_000,
    seed: Annotated[int, typer.Option(help="the same seed gives the same draws")] = 0,
    layout: LayoutName = None,
    case: CaseName = None,
    stop: Annotated[list[str] | None, typer.Option(help="id or name of a pump or fan without power")] = None,
    jobs: Annotated[int, typer.Option(help="processes that work at once; the answer is the same")] = 1,
    output: Annotated[Path | None, typer.Option("--output", "-o", help="where to write every draw: .csv")] = None,
    as_json_: AsJson = False,
) -> None:
    """Draw every curve, bore and load within its tolerance: bands, share within limits, which input matters most."""
    loaded = build.load(file)
    stopped = part_ids(loaded, stop or ())
    with ExitStack() as stack:
        on_chunk = None if output is None else _writer(output, stack)
        found = studies.tolerance(loaded, layout, case, stopped, draws, seed, on_chunk=on_chunk, jobs=jobs)
    print_answer(_as_json(found) if as_json_ else None, lambda: _as_text(found))


def _writer(output: Path, stack: ExitStack) -> Callable[[Chunk], None]:
    """What appends each chunk to a table, so that memory holds one of them."""
    try:
        file = stack.enter_context(output.open("w", newline="", encoding="utf-8"))
    except OSError as error:
        raise FileError(f"{output.name}: cannot be written ({error.strerror})") from error
    rows = csv.writer(file)

    def write(chunk: Chunk) -> None:
        if chunk.number == 0:
            rows.writerow(chunk.figures)
        columns = ([_shown(key, value) for value in values.tolist()] for key, values in chunk.figures.items())
        rows.writerows(zip(*columns, strict=True))

    return write


def _shown(key: str, value: float) -> float:
    unit = unit_of(key)
    return float(rounded(from_si(value, unit) if unit else value, 6))


def _as_json(found: Tolerance) -> dict[str, Any]:
    return {
        "layout": found.heat.point.layout.name,
        "case": found.heat.case.name,
        "draws": found.draws,
        "seed": found.seed,
        "within": rounded(found.within, 6),
        "within_error": rounded(found.within_error, 6),
        "bands": [_band(each) for each in found.bands],
        "inputs": [{"key": each.key, "name": each.name, "relative_tolerance": each.tolerance} for each in found.inputs],
        "first_order": {
            key: [{"key": each.input.key, "share": rounded(each.share, 4)} for each in shares]
            for key, shares in found.shares.items()
        },
        "sentence": found.sentence,
    }


def _band(band: Band) -> dict[str, Any]:
    values = {name: getattr(band, name) for name in ("middle", "mean", "deviation", "low", "median", "high")}
    known = {name: _shown(band.key, value) if abs(value) < float("inf") else None for name, value in values.items()}
    return {"key": band.key, **known}


def _as_text(found: Tolerance) -> None:
    out = console()
    out.print(Text(f"{found.heat.point.layout.name}, {found.heat.case.name}: {found.draws:,} draws, seed {found.seed}"))
    headings = ("middle", "mean", "deviation", "2.5 %", "median", "97.5 %")
    table = new_table("", ("figure", False), *((heading, True) for heading in headings))
    for band in found.bands:
        values = (band.middle, band.mean, band.deviation, band.low, band.median, band.high)
        unit = unit_of(band.key) or ""
        cells = (fixed(_shown(band.key, value), _DIGITS.get(unit, 1)) for value in values)
        label = _LABELS.get(band.key, band.key.removesuffix(f", temperature_{unit}"))
        table.add_row(Text(f"{label}, {UNITS[unit].label}" if unit else label), *cells)
    out.print(table)
    if found.within is not None and found.within_error is not None:
        share, error = found.within * 100, found.within_error * 100
        out.print(Text(f"All limits hold in {share:.1f} % of the draws, give or take {error:.1f}."))
    for key, shares in found.shares.items():
        ranked = ", ".join(f"{each.input.name} {each.share * 100:.0f} %" for each in shares[:_RANKED] if each.share > 0)
        if ranked:
            out.print(Text(f"Of the variance of {_LABELS[key]} each explains by itself: {ranked}."))
    out.print(Text(found.sentence))

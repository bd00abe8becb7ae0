"""`loopsim tolerance`: how far the answer can be trusted."""

from contextlib import ExitStack
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.long_work import Cluster, Jobs, TableFile, progress, unfinished
from loopsim.cli.rounding import in_its_unit, rounded
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, Stop, part_ids, print_answer
from loopsim.cli.tables import console, label, new_table, read, say
from loopsim.studies import Band, Tolerance, Workers
from loopsim.studies.chunks import Columns
from loopsim.studies.sentence import figure
from loopsim.studies.tolerance.words import digits_of, label_of
from loopsim.units import unit_of

__all__ = ["tolerance"]

_RANKED = 5  # inputs of the table that tells which matters most


def tolerance(
    file: File,
    draws: Annotated[int, typer.Option("-n", "--draws", help="how many machines are drawn")] = 10_000,
    seed: Annotated[int, typer.Option(help="the same seed gives the same draws")] = 0,
    layout: LayoutName = None,
    case: CaseName = None,
    stop: Stop = None,
    jobs: Jobs = None,
    cluster: Cluster = "",
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="where to write every draw: .csv; what was cut short is taken up again"),
    ] = None,
    as_json_: AsJson = False,
) -> None:
    """Draw every curve, bore and load within its tolerance: bands, share within limits, which input matters most."""
    loaded = build.load(file)
    stopped = part_ids(loaded, stop or ())
    with ExitStack() as stack:
        advance = stack.enter_context(progress("draws", draws))
        table = stack.enter_context(TableFile(output)) if output is not None else None

        def on_chunk(figures: Columns) -> None:
            if table is not None:
                table.add(figures)
            advance(len(figures["flow_l_h"]))

        found = studies.tolerance(
            loaded, layout, case, stopped, draws, seed,
            on_chunk=on_chunk, workers=Workers(jobs, cluster), keep_in=unfinished(output),
        )  # fmt: skip
    print_answer(_as_json(found) if as_json_ else None, lambda: _as_text(found))


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
    known = {name: value for name, value in values.items() if abs(value) < float("inf")}
    return {"key": band.key, **{name: in_its_unit(band.key, known[name]) if name in known else None for name in values}}


def _heading(key: str) -> str:
    unit = unit_of(key)
    return f"{label_of(key)}, {label(unit)}" if unit else label_of(key)


def _written(value: float, unit: str | None) -> str:
    """A value in SI with as many digits as a band tells."""
    return read(figure(value, unit, digits_of(unit))) if unit else f"{value:.1f}"


def _as_text(found: Tolerance) -> None:
    out = console()
    out.print(Text(f"{found.heat.point.layout.name}, {found.heat.case.name}: {found.draws:,} draws, seed {found.seed}"))
    headings = ("middle", "mean", "deviation", "2.5 %", "median", "97.5 %")
    table = new_table("", ("figure", False), *((heading, True) for heading in headings))
    for band in found.bands:
        values = (band.middle, band.mean, band.low, band.median, band.high)
        unit = unit_of(band.key)
        middle, mean, *ends = (_written(value, unit) for value in values)
        spread = _written(band.deviation, "k" if unit == "c" else unit)
        table.add_row(Text(_heading(band.key)), middle, mean, spread, *ends)
    out.print(table)
    if found.within is not None and found.within_error is not None:
        share, error = found.within * 100, found.within_error * 100
        out.print(Text(f"All limits hold in {share:.1f} % of the draws, give or take {error:.1f}."))
    for key, shares in found.shares.items():
        ranked = ", ".join(f"{each.input.name} {each.share * 100:.0f} %" for each in shares[:_RANKED] if each.share > 0)
        if ranked:
            out.print(Text(f"Of the variance of {label_of(key)} each explains by itself: {ranked}."))
    say(out, found.sentence)

"""`loopsim quiet`: the slowest speeds that hold every limit."""

from typing import Annotated, Any, Literal

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, print_answer
from loopsim.cli.tables import console, fixed, new_table, numbers, say
from loopsim.studies import Quiet, QuietPoint
from loopsim.studies.quiet import whole_percent
from loopsim.units import from_si

__all__ = ["quiet"]


def quiet(
    file: File,
    layout: LayoutName = None,
    case: CaseName = None,
    survive: Annotated[
        Literal["pump"] | None, typer.Option(help="limits must hold with any single one stopped too")
    ] = None,
    margin: Annotated[float, typer.Option(help="that every component must keep to its limit, in kelvin")] = 0.0,
    as_json_: AsJson = False,
) -> None:
    """Find the quietest speeds of pumps and fans that hold every limit, and what more margin costs in sound."""
    found = studies.quiet(build.load(file), layout, case, survive == "pump", margin)
    print_answer(_as_json(found) if as_json_ else None, lambda: _as_text(found))


def _as_json(found: Quiet) -> dict[str, Any]:
    return {
        "groups": [
            {"name": group.name, "parts": list(group.parts), "least_percent": _percent(group.least)}
            for group in found.groups
        ],
        "survive": "pump" if found.survive else None,
        "margin_k": found.wanted,
        "now": _point(found.now),
        "best": None if found.best is None else _point(found.best),
        "curve": [_point(point) for point in found.curve],
        "sentence": found.sentence,
    }


def _point(point: QuietPoint) -> dict[str, Any]:
    return {
        "speeds_percent": [_percent(speed) for speed in point.speeds],
        "sound_dba": rounded(point.sound, 3),
        "margin_k": rounded(point.margin, 4) if point.settles else None,
    }


def _percent(share: float) -> float:
    return float(rounded(from_si(share, "percent"), 4))


def _as_text(found: Quiet) -> None:
    out = console()
    columns = [*((f"{group.name}, %", True) for group in found.groups), *numbers("sound dB(A)", "margin {k}")]
    table = new_table("", ("", False), *columns)
    for name, point in [("now", found.now), *(("", point) for point in found.curve)]:
        speeds = (str(whole_percent(speed)) for speed in point.speeds)
        table.add_row(Text(name), *speeds, fixed(point.sound, 1), fixed(point.margin, 1, "k") if point.settles else "-")
    out.print(table)
    say(out, found.sentence)

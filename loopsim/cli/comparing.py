"""`loopsim compare`: layouts side by side."""

from pathlib import Path
from typing import Annotated, Any

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.build import FILE_ENDING, Build
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, print_answer
from loopsim.cli.tables import console, fixed, label, new_table, say
from loopsim.studies import ComparedRow, Comparison
from loopsim.studies.sentence import marked
from loopsim.units import from_si

__all__ = ["compare"]

_BEST = "*"


def compare(
    files: Annotated[list[Path], typer.Argument(help=f"builds, ending {FILE_ENDING}", show_default=False)],
    layout: Annotated[
        list[str] | None, typer.Option("--layout", help="name of a layout; may stand several times; all if not given")
    ] = None,
    base: Annotated[
        str | None, typer.Option("--base", help="layout to tell the others against; the first if not given")
    ] = None,
    as_json_: AsJson = False,
) -> None:
    """Set two to six layouts side by side: what differs in the drawing, and in what each gives."""
    loaded = [build.load(file) for file in files]
    found = studies.compare([each for one in loaded for each in _chosen(one, layout, len(loaded))], base)
    print_answer(_as_json(found) if as_json_ else None, lambda: _as_text(found))


def _chosen(loaded: Build, names: list[str] | None, files: int) -> list[tuple[Build, str]]:
    """Layouts of one file: those named (of several files those that it has); without names all that are drawn."""
    if not names:
        return [(loaded, each.name) for each in loaded.layouts if each.placed]
    known = names if files == 1 else [name for name in names if name in loaded.layouts_by_name]
    return [(loaded, name) for name in known]


def _as_json(found: Comparison) -> dict[str, Any]:
    return {
        "layouts": [
            {"name": name, "build": owner.name, "layout": layout.name, "drawing": list(words)}
            for name, (owner, layout), words in zip(found.names, found.subjects, found.drawing, strict=True)
        ],
        "base": found.names[found.base],
        "rows": [_row(row, found.base) for row in found.rows],
    }


def _row(row: ComparedRow, base: int) -> dict[str, Any]:
    return {
        "key": row.key,
        "label": row.label,
        "unit": row.unit or None,
        "better": row.better or None,
        "values": [_shown(value, row.unit) for value in row.values],
        "against_base": [_shown(value, row.unit) for value in row.against(base)],
        "best": sorted(row.best),
    }


def _shown(value: float | None, unit: str) -> float | None:
    if value is None:
        return None
    return float(rounded(from_si(value, unit) if unit else value, 6))


def _as_text(found: Comparison) -> None:
    out = console()
    table = new_table("", ("", False), *((name, True) for name in found.names))
    for row in found.rows:
        table.add_row(Text(_heading(row)), *(_cell(row, number, found.base) for number in range(len(found.names))))
    out.print(table)
    out.print(Text(f"{_BEST} best of its row; in brackets the difference from {found.names[found.base]}."))
    for name, words in zip(found.names, found.drawing, strict=True):
        if words:
            say(out, f"{name}: {', '.join(map(marked, words))}.")


def _cell(row: ComparedRow, number: int, base: int) -> Text:
    value, difference = row.values[number], row.against(base)[number]
    digits = 0 if value is None else row.decimals(value)
    shown = f"{_BEST if number in row.best else ''}{fixed(value, digits, row.unit)}"
    differs = fixed(difference, digits, row.unit)
    if number == base or difference is None or not float(differs):
        return Text(shown)
    return Text(f"{shown} ({'+' if difference > 0 else ''}{differs})")


def _heading(row: ComparedRow) -> str:
    return f"{row.label}, {label(row.unit)}" if row.unit else row.label

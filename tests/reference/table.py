"""The README's table of published checks, made from what a run compared.

``python -m tests.reference.table`` runs the tests of this folder and writes the table.
"""

import re
import sys
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path

import pytest

from .case import CASES, Comparison, source_of

__all__ = ["in_readme", "table", "write"]

README = Path(__file__).parents[2] / "README.md"
BEGIN, END = "<!-- verification table -->", "<!-- end of verification table -->"
HEAD = ("what", "source", "printed", "ours", "tolerance", "values")


def table(comparisons: Iterable[Comparison]) -> list[tuple[str, ...]]:
    """One row per case: of all its values the one that comes closest to its tolerance."""
    by_case: dict[str, list[Comparison]] = defaultdict(list)
    for each in comparisons:
        by_case[each.case].append(each)
    return [_row(by_case[case]) for case in CASES if case in by_case]


def _row(found: list[Comparison]) -> tuple[str, ...]:
    """Rounded before they are ranked, so that a tie falls the same way on every machine."""
    closest = max(found, key=lambda each: round(each.used_up, 3))
    record = CASES[closest.case]
    entry = record["expected"][closest.name]
    unit = entry.get("si_unit", entry["unit"])
    cells = (
        f"{record['title']}: {_words(closest.name)}",
        source_of(record),
        f"{_number(closest.expected)} {'' if unit.startswith('-') else unit}",
        _number(closest.got if abs(closest.got) > 1e-3 * closest.tolerance else 0.0),
        f"{100 * entry['rel_tol']:g} %" if "rel_tol" in entry else f"± {closest.tolerance:.2g}",
        str(len({(each.name, each.place) for each in found})),
    )
    return tuple(cell.replace("|", r"\|").strip() for cell in cells)


def _number(value: float) -> str:
    """Four significant digits: the rest would differ from machine to machine."""
    return f"{float(f'{value:.4g}'):g}"


def _words(name: str) -> str:
    """A value's name in the file, such as "dp_at_0p3", for people."""
    return re.sub(r"(?<=\d)p(?=\d)", ".", name).replace("_", " ")


def in_readme() -> list[tuple[str, ...]]:
    """The rows that the README shows now."""
    lines = README.read_text(encoding="utf-8").partition(BEGIN)[2].partition(END)[0].splitlines()
    rows = [line for line in lines if line.startswith("|")][2:]
    return [tuple(cell.strip() for cell in re.split(r"(?<!\\)\|", row)[1:-1]) for row in rows]


def write(rows: list[tuple[str, ...]]) -> None:
    """Put the rows between the README's markers."""
    before, _, rest = README.read_text(encoding="utf-8").partition(BEGIN)
    lines = ["| " + " | ".join(row) + " |" for row in (HEAD, ("---",) * len(HEAD), *rows)]
    after = rest.partition(END)[2]
    README.write_text(f"{before}{BEGIN}\n" + "\n".join(lines) + f"\n{END}{after}", encoding="utf-8")


def _run_and_write() -> int:
    from tests.reference.case import COMPARISONS  # the copy that the tests fill

    here = Path(__file__).parent
    failed = pytest.main([str(here), "-q", f"--ignore={here / 'test_table.py'}"])
    if not failed:
        write(table(COMPARISONS))
    return int(failed)


if __name__ == "__main__":
    sys.exit(_run_and_write())

"""Rows from a spreadsheet or a text: what a builder pastes into a table of points."""

import re

__all__ = ["rows_from"]


def rows_from(text: str, columns: int) -> list[list[str]]:
    """Cells of a pasted text, row by row; lines of headings without any figure are left out.

    Cells are parted by tabs or semicolons, else by spaces, else by commas; so a comma is a decimal comma wherever
    something else parts the cells.

    Raises
    ------
    ValueError
        With a sentence, if there is no row, or a row has fewer or more cells than the table has columns.
    """
    lines = [line for line in text.splitlines() if any(sign.isdigit() for sign in line)]
    if not lines:
        raise ValueError("what was pasted holds no rows of figures")
    rows = [_cells(line) for line in lines]
    for number, row in enumerate(rows, 1):
        if len(row) != columns:
            raise ValueError(f"row {number} of what was pasted has {len(row)} cells, must be {columns}")
    return rows


def _cells(line: str) -> list[str]:
    if "\t" in line or ";" in line:
        return [cell.strip() for cell in re.split(r"[\t;]", line.strip())]
    words = line.split()
    if len(words) > 1:
        return [word.strip(",") for word in words if word != ","]
    return [cell.strip() for cell in line.split(",")]

"""The sheet of keys: what the menus say, and what only hands in the plan need, on one page."""

from collections.abc import Iterator
from html import escape

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

__all__ = ["key_sheet"]

_COLUMNS = 2

# What no menu can say: keys that are held, typed into a gesture, or belong to a view.
_MORE: dict[str, tuple[tuple[str, str], ...]] = {
    "In the plan": (
        ("arrows", "move what is selected by 1 mm; with Shift by 10"),
        ("a number, Enter", "height of what is selected, or of corners to come; with a unit if you like"),
        ("PgDown, PgUp", "the next part, run or note; in a gesture, the next port"),
        ("arrows, Enter", "in a gesture: move the pointer by the grid; click"),
        ("Shift while pulling a tube", "the shortest clear way"),
        ("Alt while dragging", "free of grid and ports; one part of a group"),
        ("comma", "the corner before"),
        ("+, -, F", "larger, smaller, all of the plan"),
        ("S held", "the flow with the selected pump stopped"),
        ("Enter, double click", "on a part: to its data; on a note: write it anew"),
        ("Space held", "move the sheet"),
        ("Esc", "give up what is under way; let go of the selection"),
    ),
    "Elsewhere": (
        ("Up, Down", "in the heights: lift the part by 1 mm; with Shift by 10"),
        ("Left, Right", "in the heights and in plots: the part before or after"),
        ("arrows", "in the drawer, in lists, in a map: one on"),
        ("double click", "in the heights: begin there; beside the parts, as usual again"),
        ("double click", "on a size written in the plan, on a layout's tab: type another"),
        ("Tab, Shift+Tab", "to the next or the last field"),
        ("Esc", "in a field: take back what was typed"),
    ),
}


def key_sheet(bar: QMenuBar) -> str:
    """Every key of a menu bar and of the plan, as rich text."""
    groups = [*_of_menus(bar), *_MORE.items()]
    columns = _in_columns([(title, tuple(rows)) for title, rows in groups if rows])
    cells = "".join(f"<td width='50%' style='padding-right: 20px'>{column}</td>" for column in columns)
    return f"<table width='100%'><tr>{cells}</tr></table>"


def _of_menus(bar: QMenuBar) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    for action in bar.actions():
        yield _words(action), list(_rows(action.menu()))


def _rows(menu: QMenu) -> Iterator[tuple[str, str]]:
    for action in menu.actions():
        if action.menu() is not None:
            yield from _rows(action.menu())
        elif action.shortcuts():
            yield action.shortcut().toString(QKeySequence.SequenceFormat.NativeText), _words(action)


def _words(action: QAction) -> str:
    return action.text().replace("&", "").removesuffix("...")


def _in_columns(groups: list[tuple[str, tuple[tuple[str, str], ...]]]) -> list[str]:
    """The groups one below the other, in columns of about the same height."""
    share = sum(len(rows) + 2 for _, rows in groups) / _COLUMNS
    columns, filled = [""] * _COLUMNS, 0.0
    for title, rows in groups:
        middle = filled + (len(rows) + 2) / 2
        columns[min(_COLUMNS - 1, int(middle / share))] += _group(title, rows)
        filled += len(rows) + 2
    return columns


def _group(title: str, rows: tuple[tuple[str, str], ...]) -> str:
    start = "<tr><td width='42%' style='padding-right: 10px'>"
    lines = "".join(f"{start}<b>{escape(keys)}</b></td><td>{escape(words)}</td></tr>" for keys, words in rows)
    return f"<h4>{escape(title)}</h4><table width='100%' cellspacing='2'>{lines}</table>"

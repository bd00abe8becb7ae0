"""A page for each part kind: what it is, what its numbers mean, and where to get them."""

from html import escape

from PySide6.QtWidgets import QWidget

from app.text_page import show_text
from loopsim.fields import FieldDescription
from loopsim.parts import Part, Tube

__all__ = ["page_of", "show_help"]

_WIDTH = 640
_TUBE = "tube"
_ABOUT_TUBE = (
    "What runs are cut from: its bore decides the flow, its outside what crosses and fits, its least radius how "
    "tightly it may be laid."
)

_BY_SHAPE = {
    "points": "from the maker's data sheet, read off its curve (copy the table and paste it), or measured on the bench",
    "record": "as for each of its values",
    "number": "from the data sheet, or measured on the part",
    "choice": "by looking at the part",
    "switch": "by looking at the part",
    "text": "as you like",
}
_BY_UNIT = {
    "mm": "with a caliper or a rule, or from the dimensioned drawing",
    "ml": "by filling the part from a measuring cup and weighing what goes in",
    "w": "from the data sheet, or with a power meter at the supply while it runs",
    "c": "from the data sheet, as the highest that is allowed in steady running",
    "g": "on a scale",
    "dba": "from the data sheet, at the distance that it states",
}


def page_of(part: Part | Tube) -> str:
    """The page of a part's kind, as rich text."""
    kind = type(part)
    fields = kind.fields()
    rows = "".join(_row(field) for field in fields)
    classes = ", ".join(escape(name) for name in kind.classes)
    usual = (
        f"<p><b>Usual sizes</b>: {classes}. Their values are guesses, and are marked as such.</p>" if classes else ""
    )
    title, about = (_TUBE, _ABOUT_TUBE) if isinstance(part, Tube) else (part.title, part.help)
    return (
        f"<h3>{escape(title.capitalize())}</h3><p>{escape(about)}</p>{usual}"
        "<h4>Its numbers, and where to get them</h4>"
        f"<table cellspacing='0' cellpadding='4'>{rows}</table>"
        "<p>A value that is not known may stay a guess: say so under where it comes from, with its tolerance. Results "
        "that rest on guesses say so, and carry a band. Where two sources differ, trust what was measured.</p>"
    )


def _row(field: FieldDescription) -> str:
    unit = f" [{field.unit_label}]" if field.unit_label else ""
    allowed = f" Allowed: {field.allowed}." if field.shape == "number" and field.allowed != "a number" else ""
    columns = ", ".join(
        f"{each.label} [{each.unit_label}]" if each.unit_label else each.label for each in field.columns
    )
    table = f" Columns: {columns}." if field.shape == "points" and columns else ""
    says = f"{field.help[:1].upper()}{field.help[1:]}.".replace("..", ".")
    return (
        f"<tr><td><b>{escape(field.label)}</b>{escape(unit)}</td>"
        f"<td>{escape(says)}{escape(table)}{escape(allowed)}<br><i>Where from</i>: {escape(_source(field))}.</td></tr>"
    )


def _source(field: FieldDescription) -> str:
    if field.shape == "number" and field.unit in _BY_UNIT:
        return _BY_UNIT[field.unit]
    return _BY_SHAPE[field.shape]


def show_help(part: Part | Tube, parent: QWidget) -> None:
    """Show the page over a window, until it is closed."""
    show_text((_TUBE if isinstance(part, Tube) else part.title).capitalize(), page_of(part), parent, _WIDTH)

"""How lines of several layouts are told apart: by colour, by stroke, and by the name that each bears."""

from typing import NamedTuple

from PySide6.QtCore import Qt

__all__ = ["Stroke", "stroke_of"]

Dash = Qt.PenStyle


class Stroke(NamedTuple):
    """Role of the colour of the line, role of that of its name, and its dashes."""

    role: str
    text_role: str
    dash: Qt.PenStyle


_STROKES = (
    Stroke("liquid", "liquid_text", Dash.SolidLine),
    Stroke("rust", "rust_text", Dash.DashLine),
    Stroke("ink", "ink", Dash.DashDotLine),
    Stroke("amber", "amber_text", Dash.DotLine),
    Stroke("good", "good_text", Dash.DashDotDotLine),
    Stroke("soft_ink", "soft_ink", Dash.DashLine),
)


def stroke_of(number: int) -> Stroke:
    """The stroke of a layout by its number, from 0 to 5."""
    return _STROKES[number % len(_STROKES)]

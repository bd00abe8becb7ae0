"""What is drawn on a layout besides its parts: notes, and a picture below."""

from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim.fields import Record, choice, number, switch, text
from loopsim.parts import ID_PATTERN

__all__ = ["Background", "Note"]


class Note(Record):
    """Words on the plan, with an arrow to what they speak of."""

    # Defaults are checked too: half an arrow is none.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)

    id: str = text("id", "short name for files, small letters, digits and _", pattern=ID_PATTERN)
    text: str = text("note", "what it says")
    x_mm: float = number("x", "where it stands, along the front edge")
    y_mm: float = number("y", "where it stands, away from the front edge")
    to_x_mm: float | None = number("arrow to x", "where its arrow points; empty: no arrow", None)
    to_y_mm: float | None = number("arrow to y", "where its arrow points; empty: no arrow", None)

    @field_validator("to_y_mm")
    @classmethod
    def _whole_arrow(cls, y: float | None, info: ValidationInfo) -> float | None:
        if (info.data.get("to_x_mm") is None) != (y is None):
            raise ValueError("an arrow needs x and y, got one of them; give both or none")
        return y


class Background(Record):
    """A picture or drawing under the plan, to sketch over."""

    source: str = text("source", "path of the file beside the build, or the picture itself as a data: address")
    kind: Literal["picture", "DXF", "SVG"] = choice("kind", "what the source is", "picture")
    mm_per_unit: float = number("scale", "millimetres for one pixel or drawing unit", 1.0, above=0.0)
    x_mm: float = number("x", "where its lower left corner lies, along the front edge", 0.0)
    y_mm: float = number("y", "where its lower left corner lies, away from the front edge", 0.0)
    rotation_deg: float = number("rotation", "counter-clockwise about that corner", 0.0)
    dim_percent: float = number("dimmed", "0 as it is, 100 not to be seen", 60.0, least=0.0, most=100.0)
    locked: bool = switch("locked", "it stays where it is while you draw", True)

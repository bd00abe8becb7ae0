"""The room that there is: the enclosure, the openings in its walls, and what must be kept free in it."""

from functools import cached_property
from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim.fields import Record, choice, number, points, text
from loopsim.geometry import Outline, Place, Spot
from loopsim.geometry.polygon import crossing_edges
from loopsim.parts import ID_PATTERN

__all__ = ["Enclosure", "PlanPoint", "Reserved", "WallOpening"]

Wall = Literal["front", "right", "back", "left", "floor", "lid"]
_FEWEST_CORNERS = 3


class PlanPoint(Record):
    """A place in plan."""

    x_mm: float = number("x", "along the front edge")
    y_mm: float = number("y", "away from the front edge")


class WallOpening(Record):
    """A hole or grille in a wall, the floor or the lid of the enclosure."""

    name: str = text("opening", "what you call it")
    kind: Literal["hole", "grille"] = choice("kind", "for tubes and cables, or for air", "hole")
    wall: Wall = choice("wall", "the wall it goes through; seen from the front edge", "back")
    along_mm: float = number("along", "its middle: x in front, back, floor and lid; y in the walls left and right")
    up_mm: float = number("up", "its middle: height above the floor; in floor and lid its y")
    length_mm: float = number("length", "of the opening, along", 20.0, above=0.0)
    tall_mm: float = number("tall", "of the opening, up; in floor and lid along y", 20.0, above=0.0)
    part: str | None = text("part", "id of the part that stands for its air, if any", None, pattern=ID_PATTERN)


class Enclosure(Record):
    """The room there is."""

    # Defaults are checked too: an outline may contradict the size.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)

    length_mm: float = number("length", "inside, along the front edge", 600.0, above=0.0)
    width_mm: float = number("width", "inside, from front to back", 400.0, above=0.0)
    clear_height_mm: float = number("clear height", "inside, from floor to lid", 100.0, above=0.0)
    outline: tuple[PlanPoint, ...] = points(
        "outline", "corners of the inside in plan, in order, within length and width; empty: the whole rectangle", ()
    )
    openings: tuple[WallOpening, ...] = points("openings", "holes and grilles in its walls, floor and lid", ())

    @field_validator("outline")
    @classmethod
    def _is_a_room(cls, outline: tuple[PlanPoint, ...], info: ValidationInfo) -> tuple[PlanPoint, ...]:
        if outline and len(outline) < _FEWEST_CORNERS:
            raise ValueError(f"an outline has at least three corners, got {len(outline)}; leave it empty for the size")
        for number_, corner in enumerate(outline, 1):
            _check_within(number_, corner, info.data)
        crossed = crossing_edges([(corner.x_mm, corner.y_mm) for corner in outline]) if outline else None
        if crossed is not None:
            raise ValueError(f"the edges after corners {crossed[0] + 1} and {crossed[1] + 1} cross; give them in order")
        return outline

    @field_validator("openings")
    @classmethod
    def _openings_differ(cls, openings: tuple[WallOpening, ...]) -> tuple[WallOpening, ...]:
        names = [opening.name for opening in openings]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise ValueError(f"two openings are called {twice!r}; each needs a name of its own")
        return openings

    @cached_property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Corners of the inside in plan, in order [mm]."""
        if self.outline:
            return tuple((corner.x_mm, corner.y_mm) for corner in self.outline)
        return ((0.0, 0.0), (self.length_mm, 0.0), (self.length_mm, self.width_mm), (0.0, self.width_mm))


class Reserved(Record):
    """A space in the enclosure with a rule of its own."""

    # Defaults are checked too: the top may contradict the bottom.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)

    name: str = text("space", "what you call it: drive bay, cable way, board")
    rule: Literal["keep clear", "electronics below"] = choice(
        "rule", "nothing may be placed there; or it holds electronics, and no joint may sit above them", "keep clear"
    )
    x_mm: float = number("x", "its middle, along the front edge")
    y_mm: float = number("y", "its middle, away from the front edge")
    length_mm: float = number("length", "along its own x", 100.0, above=0.0)
    width_mm: float = number("width", "across", 100.0, above=0.0)
    rotation_deg: float = number("rotation", "counter-clockwise", 0.0)
    low_mm: float = number("from", "height of its underside above the floor", 0.0)
    high_mm: float | None = number("to", "height of its top above the floor; empty: up to the lid", None)

    @field_validator("high_mm")
    @classmethod
    def _has_a_height(cls, high: float | None, info: ValidationInfo) -> float | None:
        low = info.data.get("low_mm", 0.0)
        if high is not None and high <= low:
            raise ValueError(f"must be above its underside ({low:g} mm), got {high:g} mm")
        return high

    def top_mm(self, enclosure: Enclosure) -> float:
        """Height of its top: as given, or the lid's."""
        return enclosure.clear_height_mm if self.high_mm is None else self.high_mm

    @property
    def place(self) -> Place:
        """Where it is, as a place of the geometry."""
        return Place(self.x_mm, self.y_mm, self.low_mm, self.rotation_deg)

    @property
    def corners(self) -> list[Spot]:
        """The four corners of its underside, counter-clockwise."""
        return Outline(self.length_mm, self.width_mm, 0.0).corners(self.place)


def _check_within(number_: int, corner: PlanPoint, sizes: dict[str, float]) -> None:
    for axis, value, size in (("x", corner.x_mm, "length_mm"), ("y", corner.y_mm, "width_mm")):
        most = sizes.get(size, float("inf"))
        if not 0.0 <= value <= most:
            raise ValueError(f"corner {number_}: {axis} must be 0 to {most:g} mm, the size of the room, got {value:g}")

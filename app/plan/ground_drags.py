"""What a hand does to the ground: walls, openings, reserved spaces and the drawing below."""

import math

from PySide6.QtCore import Qt

from app import figures
from app.plan.coordinates import snapped
from app.plan.gesture import Drag, Pointer
from app.plan.surface import Surface
from loopsim.build import Background, Build, Enclosure, Reserved, edits, ground_edits
from loopsim.build.edits import Edit

__all__ = ["MoveBackground", "MoveOpening", "MoveSpace", "MoveWall", "ResizeSpace", "lies_at", "resized"]

_LEAST_MM = 10.0


class _GroundDrag(Drag):
    """A drag that always starts from the build it found."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self.build, self.layout = plan.document.build, plan.document.layout

    def drag(self, at: Pointer) -> None:
        self.do(lambda: self.edit(at))

    def edit(self, at: Pointer) -> Edit:
        """The edit that leads from the build at the start to where the pointer is."""
        raise NotImplementedError

    def finish(self, at: Pointer) -> None:
        if self.is_refused:
            self.is_over = True
            return
        super().finish(at)


class MoveWall(_GroundDrag):
    """Moves corners of the room, all of one wall or a single one; a box whose far walls move stays a box."""

    def __init__(self, plan: Surface, corners: tuple[int, ...]) -> None:
        super().__init__(plan)
        self._corners = corners
        room = self.build.enclosure
        ends = [room.corners[number] for number in corners]
        is_wall = len(ends) == 2
        self._moves_x = not is_wall or abs(ends[0][0] - ends[1][0]) < 0.05 or abs(ends[0][1] - ends[1][1]) >= 0.05
        self._moves_y = not is_wall or abs(ends[0][1] - ends[1][1]) < 0.05 or abs(ends[0][0] - ends[1][0]) >= 0.05

    def edit(self, at: Pointer) -> Edit:
        room, (dx, dy) = self.build.enclosure, self.shift_mm(at)
        moved = [*room.corners]
        for number in self._corners:
            x, y = moved[number]
            moved[number] = (
                max(0.0, snapped(x + dx, at.is_free)) if self._moves_x else x,
                max(0.0, snapped(y + dy, at.is_free)) if self._moves_y else y,
            )
        if not room.outline and 2 in self._corners:  # the far corner, or one of the two walls that meet there
            return resized(self.build, max(moved[2][0], _LEAST_MM), max(moved[2][1], _LEAST_MM))
        return ground_edits.set_outline(self.build, moved)

    def finish(self, at: Pointer) -> None:
        super().finish(at)
        if self.plan.is_fitted:
            self.plan.fit()

    def words(self) -> str:
        room = self.plan.document.build.enclosure
        return figures.lengths_mm((room.length_mm, room.width_mm))


def resized(build: Build, length_mm: float, width_mm: float) -> Edit:
    """Another length and width of the room; an outline is stretched with it."""
    room = build.enclosure
    x, y = length_mm / room.length_mm, width_mm / room.width_mm
    values = {name: getattr(room, name) for name in Enclosure.model_fields}
    sizes = {"length_mm": length_mm, "width_mm": width_mm}
    outline = tuple(
        {"x_mm": min(length_mm, round(corner.x_mm * x, 3)), "y_mm": min(width_mm, round(corner.y_mm * y, 3))}
        for corner in room.outline
    )
    edit = edits.change_build(build, enclosure={**values, **sizes, "outline": outline})
    return edit._replace(text="Resize the enclosure")


class MoveSpace(_GroundDrag):
    """Moves a reserved space."""

    def __init__(self, plan: Surface, name: str) -> None:
        super().__init__(plan)
        self._space = next(each for each in self.layout.reserved if each.name == name)

    def edit(self, at: Pointer) -> Edit:
        (dx, dy), space = self.shift_mm(at), self._space
        to = {"x_mm": snapped(space.x_mm + dx, at.is_free), "y_mm": snapped(space.y_mm + dy, at.is_free)}
        edit = ground_edits.change_reserved(self.build, self.layout.name, space.name, **to)
        return edit._replace(text=f"Move {space.name}")


class ResizeSpace(MoveSpace):
    """Pulls one corner of a reserved space; the opposite one stays."""

    def __init__(self, plan: Surface, name: str, corner: int) -> None:
        super().__init__(plan, name)
        spots = self._space.corners
        self._stays = spots[(corner + 2) % 4]
        self._along = math.radians(self._space.rotation_deg)

    def edit(self, at: Pointer) -> Edit:
        x, y = (snapped(each, at.is_free) for each in at.mm)
        dx, dy = x - self._stays.x_mm, y - self._stays.y_mm
        cos, sin = math.cos(self._along), math.sin(self._along)
        size = abs(dx * cos + dy * sin), abs(dy * cos - dx * sin)
        values = {
            "x_mm": round(self._stays.x_mm + dx / 2, 3),
            "y_mm": round(self._stays.y_mm + dy / 2, 3),
            "length_mm": max(round(size[0], 3), 1.0),
            "width_mm": max(round(size[1], 3), 1.0),
        }
        edit = ground_edits.change_reserved(self.build, self.layout.name, self._space.name, **values)
        return edit._replace(text=f"Resize {self._space.name}")

    def words(self) -> str:
        return _size_words(self.plan.document.layout.reserved, self._space.name)


def _size_words(spaces: tuple[Reserved, ...], name: str) -> str:
    return next((figures.lengths_mm((each.length_mm, each.width_mm)) for each in spaces if each.name == name), "")


class MoveOpening(_GroundDrag):
    """Slides an opening along its wall, or about in floor and lid."""

    def __init__(self, plan: Surface, name: str) -> None:
        super().__init__(plan)
        self._opening = next(each for each in self.build.enclosure.openings if each.name == name)

    def edit(self, at: Pointer) -> Edit:
        (dx, dy), opening, room = self.shift_mm(at), self._opening, self.build.enclosure
        is_side = opening.wall in ("left", "right")
        most = room.width_mm if is_side else room.length_mm
        along = snapped(opening.along_mm + (dy if is_side else dx), at.is_free)
        values = {"along_mm": min(max(along, opening.length_mm / 2), most - opening.length_mm / 2)}
        if opening.wall in ("floor", "lid"):
            values["up_mm"] = snapped(opening.up_mm + dy, at.is_free)
        edit = ground_edits.change_opening(self.build, opening.name, **values)
        return edit._replace(text=f"Move {opening.name}")

    def words(self) -> str:
        openings = self.plan.document.build.enclosure.openings
        along = (each.along_mm for each in openings if each.name == self._opening.name)
        return next((f"at {figures.length_mm(each)}" for each in along), "")


class MoveBackground(_GroundDrag):
    """Moves the drawing below."""

    def edit(self, at: Pointer) -> Edit:
        (dx, dy), lies = self.shift_mm(at), self.layout.background
        to = {"x_mm": round(lies.x_mm + dx, 1), "y_mm": round(lies.y_mm + dy, 1)}
        return ground_edits.change_background(self.build, self.layout.name, **to)._replace(
            text="Move the drawing below"
        )


def lies_at(background: Background, width: float, height: float, x_mm: float, y_mm: float) -> bool:
    """True if a place in plan is on the drawing below."""
    turn = math.radians(background.rotation_deg)
    dx, dy = x_mm - background.x_mm, y_mm - background.y_mm
    along, up = dx * math.cos(turn) + dy * math.sin(turn), dy * math.cos(turn) - dx * math.sin(turn)
    return 0 <= along <= width * background.mm_per_unit and 0 <= up <= height * background.mm_per_unit

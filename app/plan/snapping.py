"""What a place in the plan is drawn to: ports in line, edges of other parts, the grid; and the line that says so."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter

from app.plan.coordinates import snapped, to_scene
from app.plan.part_item import pen
from app.theme import Theme
from loopsim.build import Build, Layout, Placement
from loopsim.parts import Part

__all__ = ["PORT_PX", "Guide", "Mark", "Snapping", "edge_marks", "marks_of", "paint_guides", "port_marks"]

Point = tuple[float, float]

PORT_PX = 6.0  # reach of a port's line
_EDGE_PX = 3.0  # reach of an edge: less than a port's, since there are more of them
_NEAREST = 6  # parts whose edges count: those of far ones would be everywhere
_SAME_AXIS = 0.3  # share of a facing across an axis up to which it counts as along it


class Mark(NamedTuple):
    """A line across one axis of the plan that others may line up with."""

    axis: int  # 0: a value of x; 1: of y
    value: float
    at: Point  # what it goes through
    what: str
    is_port: bool


class Guide(NamedTuple):
    """A mark that something has been drawn to, and where that is."""

    mark: Mark
    to: Point

    @property
    def words(self) -> str:
        """What it lines up with."""
        return f"in line with {self.mark.what}"

    def moved(self, dx_mm: float, dy_mm: float) -> "Guide":
        """The same after what was drawn to it has moved on."""
        return self._replace(to=(self.to[0] + dx_mm, self.to[1] + dy_mm))


class Snapping:
    """Marks of what stands still.

    Parameters
    ----------
    marks : iterable of Mark
    pixel_mm : float
        Size of a pixel of the screen [mm].
    """

    def __init__(self, marks: Iterable[Mark], pixel_mm: float) -> None:
        self._marks: tuple[list[Mark], list[Mark]] = ([], [])
        self._pixel = pixel_mm
        for mark in marks:
            self._marks[mark.axis].append(mark)

    def shift(
        self, axis: int, moving: Sequence[Mark], by: float, on_grid: float, near: Point
    ) -> tuple[float, Guide | None]:
        """How far to move along an axis when the hand has moved by `by`, and what is in line then.

        `moving` are the marks of what is moved, where it stood. A port that comes into line with another one goes
        before the grid, to which `on_grid` would lead; an edge only where it is nearer. Of several in one line, the
        one nearest to `near` is told of.
        """
        best: tuple[tuple[bool, float, float], float, Guide] | None = None
        to_grid = abs(on_grid - by)
        for own in (mark for mark in moving if mark.axis == axis):
            for still in self._marks[axis]:
                away = abs(own.value + by - still.value)
                is_near = away <= self._reach(still) and (still.is_port or away < to_grid)
                if is_near and own.is_port is still.is_port:
                    rank = (not still.is_port, round(away, 6), abs(still.at[1 - axis] - near[1 - axis]))
                    if best is None or rank < best[0]:
                        best = rank, still.value - own.value, Guide(still, own.at)
        return (on_grid, None) if best is None else best[1:]

    def place(self, at: Point, axes: Sequence[int] = (0, 1)) -> tuple[Point, tuple[Guide, ...]]:
        """The place near `at` that is in line with ports, or else on the grid, and the lines it is drawn to."""
        place, guides = [*at], []
        for axis in axes:
            near = [mark for mark in self._marks[axis] if abs(mark.value - at[axis]) <= self._reach(mark)]
            nearest = min(near, key=lambda mark: self._rank(mark, at), default=None)
            place[axis] = nearest.value if nearest else snapped(at[axis])
            if nearest:
                guides.append(nearest)
        return (place[0], place[1]), tuple(Guide(mark, (place[0], place[1])) for mark in guides)

    @staticmethod
    def _rank(mark: Mark, at: Point) -> tuple[bool, float, float]:
        """Ports before edges, then what is nearer across the line, then along it."""
        away = round(abs(mark.value - at[mark.axis]), 6)
        return not mark.is_port, away, abs(mark.at[1 - mark.axis] - at[1 - mark.axis])

    def _reach(self, mark: Mark) -> float:
        return (PORT_PX if mark.is_port else _EDGE_PX) * self._pixel


def port_marks(part: Part, placement: Placement) -> Iterator[Mark]:
    """The lines on which the ports of a part look: a tube along one of them leads straight in."""
    place, spots = placement.place_of(part), placement.port_spots(part)
    for name, port in part.ports.items():
        direction = place.direction(port.facing_deg)
        spot = spots[name]
        for axis in (0, 1):
            if abs(direction[axis]) < _SAME_AXIS:
                yield Mark(axis, spot[axis], spot[:2], f"{part.name}, {port.words}", True)


def edge_marks(part: Part, placement: Placement) -> Iterator[Mark]:
    """Edges and middle of a part."""
    corners, middle = part.outline.corners(placement.place_of(part)), (placement.x_mm, placement.y_mm)
    for axis in (0, 1):
        values = [corner[axis] for corner in corners]
        for value, what in (
            (min(values), "an edge of "),
            (max(values), "an edge of "),
            (middle[axis], "the middle of "),
        ):
            yield Mark(axis, value, _on(placement, axis, value), f"{what}{part.name}", False)


def marks_of(
    build: Build, layout: Layout, without: frozenset[str] = frozenset(), near: Point | None = None
) -> Iterator[Mark]:
    """Ports of all parts that stay, and the edges of those nearest to a place."""
    staying = [each for each in layout.placed if each.part not in without]
    for placement in staying:
        yield from port_marks(build.part(placement.part), placement)
    if near is None:
        return
    nearest = sorted(staying, key=lambda each: (each.x_mm - near[0]) ** 2 + (each.y_mm - near[1]) ** 2)
    for placement in nearest[:_NEAREST]:
        yield from edge_marks(build.part(placement.part), placement)


def paint_guides(painter: QPainter, guides: Iterable[Guide], theme: Theme) -> None:
    """A thin line from what is lined up to what it is lined up with, in the scene."""
    painter.setPen(pen(theme.liquid, 1.0, Qt.PenStyle.DashLine))
    for guide in guides:
        at, to = [*guide.mark.at], [*guide.to]
        at[guide.mark.axis] = to[guide.mark.axis] = guide.mark.value
        painter.drawLine(to_scene(*at), to_scene(*to))


def _on(placement: Placement, axis: int, value: float) -> Point:
    return (value, placement.y_mm) if axis == 0 else (placement.x_mm, value)

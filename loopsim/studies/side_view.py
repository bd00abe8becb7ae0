"""The enclosure seen from one of its edges: what stands where, how high, and what hides what."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout, Placement
from loopsim.geometry import Box
from loopsim.parts import Part
from loopsim.studies.fit.drawing import Drawing

__all__ = ["Edge", "SideBox", "SideTube", "SideView", "side_view"]

FloatArray = NDArray[np.float64]
Edge = Literal["front", "right", "back", "left"]
What = Literal["part", "reserved", "opening", "level"]


@dataclass(frozen=True, slots=True)
class SideBox:
    """A part, reserved space, wall opening or liquid level as a rectangle of the view.

    Attributes
    ----------
    id, name : str
        Of a reserved space or opening both are its name.
    what : str
        ``"part"``, ``"reserved"``, ``"opening"`` (in the wall that one looks through) or ``"level"`` (no height).
    left_mm, right_mm : float
        Across the view, from its left side.
    low_mm, high_mm : float
        Above the floor.
    depth_mm : float
        From the edge that one looks from to its nearest point.
    """

    id: str
    name: str
    what: What
    left_mm: float
    right_mm: float
    low_mm: float
    high_mm: float
    depth_mm: float


@dataclass(frozen=True, eq=False)
class SideTube:
    """A tube as a line of the view.

    Attributes
    ----------
    id, name : str
    line_mm : ndarray, shape (n, 2)
        Centre line, bends included: across the view, and height.
    outer_mm : float
        Outside diameter.
    depth_mm : float
        From the edge that one looks from to its nearest point.
    """

    id: str
    name: str
    line_mm: FloatArray
    outer_mm: float
    depth_mm: float


@dataclass(frozen=True, eq=False)
class SideView:
    """What is seen from one edge.

    Attributes
    ----------
    edge : str
    width_mm, lid_mm : float
        The room's extent across the view, and its clear height.
    things : tuple of SideBox or SideTube
        Furthest first, so that they may be drawn one over the other.
    """

    edge: Edge
    width_mm: float
    lid_mm: float
    things: tuple[SideBox | SideTube, ...]


def side_view(build: Build, layout: Layout, edge: Edge = "front") -> SideView:
    """A layout seen from one edge of its enclosure, as a drawing on that wall.

    From the front, x runs to the right; from the right, y does; from the back and the left they run to the left.
    Parts that stand outside the enclosure on purpose are left out.
    """
    drawing, axes = Drawing(build, layout), _Axes(build, edge)
    things: list[SideBox | SideTube] = [*_boxes(drawing, axes), *_tubes(drawing, axes)]
    things.sort(key=lambda thing: -thing.depth_mm)
    return SideView(edge, axes.width, build.enclosure.clear_height_mm, tuple(things))


class _Axes:
    """From the plan to the view: across it, and away from the one who looks."""

    def __init__(self, build: Build, edge: Edge) -> None:
        length, width = build.enclosure.length_mm, build.enclosure.width_mm
        self.edge = edge
        # Which plan axis runs across and which away, where they begin, and in which sense.
        self.across, self.origin, self.sign, self.away, self.near, self.away_sign = {
            "front": (0, 0.0, 1.0, 1, 0.0, 1.0),
            "right": (1, 0.0, 1.0, 0, length, -1.0),
            "back": (0, length, -1.0, 1, width, -1.0),
            "left": (1, width, -1.0, 0, 0.0, 1.0),
        }[edge]
        self.width = length if self.across == 0 else width

    def span(self, low: float, high: float) -> tuple[float, float]:
        """From plan coordinates across to left and right of the view."""
        one, other = (self.sign * (value - self.origin) for value in (low, high))
        return min(one, other), max(one, other)

    def depth(self, low: float, high: float) -> float:
        """Of the nearest of two plan coordinates away."""
        return min(self.away_sign * (value - self.near) for value in (low, high))

    def box(self, id_: str, name: str, what: What, box: Box) -> SideBox:
        """An upright box as it is seen."""
        middle, reach = (box.x, box.y), box.reach
        a, b = self.across, self.away
        left, right = self.span(middle[a] - reach[a], middle[a] + reach[a])
        depth = self.depth(middle[b] - reach[b], middle[b] + reach[b])
        return SideBox(id_, name, what, left, right, box.low, box.high, depth)


def _boxes(drawing: Drawing, axes: _Axes) -> Iterator[SideBox]:
    for stands in drawing.standing:
        seen = axes.box(stands.part.id, stands.part.name, "part", stands.box)
        yield seen
        level = _level(stands.part, stands.placement)
        if level is not None:
            yield SideBox(seen.id, seen.name, "level", seen.left_mm, seen.right_mm, level, level, seen.depth_mm)
    for space in drawing.layout.reserved:
        yield axes.box(space.name, space.name, "reserved", drawing.space_box(space))
    for opening in drawing.enclosure.openings:
        if opening.wall == axes.edge:
            half, tall = opening.length_mm / 2, opening.tall_mm / 2
            left, right = axes.span(opening.along_mm - half, opening.along_mm + half)
            up = (opening.up_mm - tall, opening.up_mm + tall)
            yield SideBox(opening.name, opening.name, "opening", left, right, *up, 0.0)


def _tubes(drawing: Drawing, axes: _Axes) -> Iterator[SideTube]:
    for drawn in drawing.runs:
        line = drawn.path.line
        across, away = axes.sign * (line[:, axes.across] - axes.origin), line[:, axes.away]
        depth = axes.depth(float(away.min()), float(away.max())) - drawn.body.radius_mm
        name = drawing.build.run_name(drawn.run)
        yield SideTube(drawn.run.id, name, np.stack((across, line[:, 2]), axis=1), drawn.tube.outer_mm, depth)


def _level(part: Part, placement: Placement) -> float | None:
    """Height of a part's free surface above the floor."""
    return None if part.surface_mm is None else placement.height_mm + part.surface_mm

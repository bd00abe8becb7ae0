"""The sheet on which a plan is drawn: its scale, and where everything of the layout lies on paper."""

import math
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout, Placement
from loopsim.geometry import Spot
from loopsim.parts import Part
from loopsim.report.labels import Box
from loopsim.report.svg import Point

__all__ = ["MARGIN", "SHEET_WIDTH", "PlanSheet", "between"]

FloatArray = NDArray[np.float64]

SHEET_WIDTH = 174.0  # mm of paper: A4 within its margins
MARGIN = 13.0
_MOST_HEIGHT, _FOOT = 190.0, 3.0
_THINNEST = 0.5  # of a tube on paper [mm]


class PlanSheet:
    """A layout on paper; coordinates are millimetres on the sheet, y downwards.

    The scale is the largest at which enclosure, parts and runs all lie on the sheet, never above full size.
    """

    def __init__(self, build: Build, layout: Layout) -> None:
        self.build, self.layout = build, layout
        self.placed = [(build.part(placement.part), placement) for placement in layout.placed]
        self.paths = {run.id: build.run_path(layout, run) for run in layout.runs}
        spots = [*self._room(), *(corner for each in self.placed for corner in _underside(*each))]
        spots += [spot for path in self.paths.values() for spot in path.spots]
        left, right = min(spot.x_mm for spot in spots), max(spot.x_mm for spot in spots)
        front, back = min(spot.y_mm for spot in spots), max(spot.y_mm for spot in spots)
        self._corner_mm, self._size_mm = (left, back), (right - left, back - front)
        usable = SHEET_WIDTH - 2 * MARGIN
        self.scale = min(usable / (right - left), _MOST_HEIGHT / (back - front), 1.0)
        self.height = 2 * MARGIN + _FOOT + (back - front) * self.scale
        self._left = MARGIN + (usable - (right - left) * self.scale) / 2 - left * self.scale
        self._top = MARGIN + back * self.scale

    @property
    def limits(self) -> Box:
        """The sheet, less a hair's breadth."""
        return Box(0.5, 0.5, SHEET_WIDTH - 0.5, self.height - 0.5)

    @property
    def extent(self) -> Box:
        """What enclosure, parts and the corners of runs take up."""
        width, depth = self._size_mm
        left, top = self._left + self._corner_mm[0] * self.scale, MARGIN
        return Box(left, top, left + width * self.scale, top + depth * self.scale)

    def point(self, spot: Spot) -> Point:
        """A spot of the enclosure on paper."""
        return self._left + spot.x_mm * self.scale, self._top - spot.y_mm * self.scale

    @property
    def room(self) -> list[Point]:
        """Corners of the enclosure: front left, front right, back right, back left."""
        return [self.point(spot) for spot in self._room()]

    def corners(self, part: Part, placement: Placement) -> list[Point]:
        """Corners of a part's outline."""
        return [self.point(corner) for corner in _underside(part, placement)]

    def outline_boxes(self) -> Iterable[Box]:
        """A box around every part, in the order of the layout."""
        for part, placement in self.placed:
            xs, ys = zip(*self.corners(part, placement), strict=True)
            yield Box(min(xs), min(ys), max(xs), max(ys))

    def tube_width(self, run_id: str) -> float:
        """Outside of a run's tube to scale, never thinner than can be seen."""
        tube = self.build.tube(self.layout.run(run_id).tube)
        return max(_THINNEST, tube.outer_mm * self.scale)

    def longest(self, run_id: str) -> tuple[Point, Point]:
        """The longest straight stretch of a run in plan, between its bends."""
        points = [self.point(spot) for spot in self.paths[run_id].centre_line()]
        return max(pairwise(points), key=lambda pair: math.dist(*pair))

    def drawn_points(self) -> FloatArray:
        """Points along all that labels should not cover: middle and edges of tubes, walls; shape (n, 2)."""
        walls = [*self.room, self.room[0]]
        points = [_sampled(walls, 0.3)]
        for run_id, path in self.paths.items():
            middle = _sampled([self.point(spot) for spot in path.centre_line()], 1.0)
            reach = self.tube_width(run_id) / 2 + 0.2
            points += [middle, *(middle + step for step in ((reach, 0), (-reach, 0), (0, reach), (0, -reach)))]
        return np.concatenate(points)

    def _room(self) -> list[Spot]:
        length, width = self.build.enclosure.length_mm, self.build.enclosure.width_mm
        return [Spot(x, y, 0.0) for x, y in ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))]


def between(a: Point, b: Point, share: float) -> Point:
    """The point at a share of the way from one point to another."""
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _underside(part: Part, placement: Placement) -> list[Spot]:
    return part.outline.corners(placement.place_of(part))


def _sampled(corners: Iterable[Point], step: float) -> FloatArray:
    """Points at most `step` apart along a line of corners."""
    pieces = [np.linspace(a, b, int(math.dist(a, b) / step) + 2) for a, b in pairwise(corners)]
    return np.concatenate(pieces)

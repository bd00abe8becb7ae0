"""Arrows, run numbers, names, heights and dimensions of a plan, none on top of another."""

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise

from loopsim.build import Placement
from loopsim.geometry import Path
from loopsim.parts import Part
from loopsim.report.labels import Box, LabelField, around, leader, needs_leader, text_width
from loopsim.report.plan_sheet import MARGIN, PlanSheet, between
from loopsim.report.svg import INK, LIQUID, PAPER, SOFT, dimension, line, polygon, text
from loopsim.report.text import shortened

__all__ = ["Lettering"]

_NAME, _SMALL = 2.6, 2.1  # sizes of type [mm]
_LONGEST_NAME = 30  # characters; the tables hold the whole name
_RING = 3.4  # height of the ring round a run number
_ARROW = 3.0
_LEVEL = 0.5  # heights nearer than this are the same [mm of the enclosure]
_NEAR, _TOO_FAR = 2.6, 12.0  # a height further off is left out: a steady one, a changing one
_BARS_MM = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000)


class Lettering:
    """The lettering of one sheet; what comes first takes its place first."""

    def __init__(self, sheet: PlanSheet) -> None:
        self.sheet = sheet
        self.labels = LabelField(sheet.limits, sheet.drawn_points())
        for box in sheet.outline_boxes():
            self.labels.take(box)

    def marks(self, flows: Mapping[str, float]) -> Iterable[str]:
        """All of it, by importance: dimensions, arrows, run numbers, names (large parts first), heights of runs."""
        yield from self._dimensions()
        yield self._scale_bar()
        yield from (self._arrow(run_id, flow) for run_id, flow in flows.items() if flow and run_id in self.sheet.paths)
        yield from (self._number(number, run_id) for number, run_id in enumerate(self.sheet.paths, start=1))
        named = zip(self.sheet.placed, self.sheet.outline_boxes(), strict=True)
        for (part, placement), target in sorted(named, key=lambda each: -each[0][0].length_mm * each[0][0].width_mm):
            yield self._name(part, placement, target)
        for run_id, path in self.sheet.paths.items():
            yield from (self._height(*mark) for mark in self._height_marks(run_id, path))

    def _dimensions(self) -> Iterable[str]:
        """Length and width of the enclosure, outside all that is drawn."""
        (left, bottom), _, (right, top), _ = self.sheet.room
        enclosure = self.sheet.build.enclosure
        y, x = self.sheet.extent.top - 9.5, self.sheet.extent.left - 9.5
        self.labels.take(Box(left, y - 3.2, right, y + 1))
        self.labels.take(Box(x - 3.2, top, x + 1, bottom))
        yield dimension((left, y), (right, y))
        yield text(f"{enclosure.length_mm:g} mm", ((left + right) / 2, y - 1), _SMALL, SOFT)
        yield dimension((x, top), (x, bottom))
        yield text(f"{enclosure.width_mm:g} mm", (x - 1, (top + bottom) / 2), _SMALL, SOFT, turned_deg=-90)

    def _scale_bar(self) -> str:
        scale, y = self.sheet.scale, self.sheet.height - 4.0
        length = max((bar for bar in _BARS_MM if bar * scale <= 45.0), default=_BARS_MM[0])
        end, words = MARGIN + length * scale, f"{length} mm"
        self.labels.take(Box(MARGIN - 1, y - 2, end + 3 + text_width(words, _SMALL), y + 2))
        return dimension((MARGIN, y), (end, y), INK) + text(words, (end + 2, y + 0.75), _SMALL, INK, anchor="start")

    def _arrow(self, run_id: str, flow: float) -> str:
        """An arrow at about the first third of a run's longest stretch, nothing where that is upright."""
        a, b = self.sheet.longest(run_id)
        length = math.dist(a, b)
        if length < 1.0:
            return ""
        x, y = between(a, b, 0.5 if length < _ARROW + _RING else 0.3)
        along = (b[0] - a[0]) / length * math.copysign(1.0, flow), (b[1] - a[1]) / length * math.copysign(1.0, flow)
        self.labels.take(Box.centred(x, y, _ARROW, _ARROW))
        corners = ((1.5, 0.0), (-1.2, 1.25), (-1.2, -1.25))
        points = [(x + u * along[0] - v * along[1], y + u * along[1] + v * along[0]) for u, v in corners]
        return polygon(points, LIQUID, 0.3, PAPER)

    def _number(self, number: int, run_id: str) -> str:
        """A run's number in a ring, on its longest stretch where there is room, else beside it."""
        width = max(_RING, text_width(str(number), _SMALL) + 1.2)
        stretch = self.sheet.longest(run_id)
        on_line = [Box.centred(*between(*stretch, share), width, _RING) for share in (0.5, 0.62, 0.7, 0.4, 0.8)]
        target = Box.centred(*between(*stretch, 0.5), 2.0, 2.0)
        box = self.labels.place(on_line) or self.labels.place(around(target, width, _RING), target) or on_line[0]
        ring = (
            f'<rect x="{box.left:.2f}" y="{box.top:.2f}" width="{width:.2f}" height="{_RING:g}" '
            f'rx="{_RING / 2:g}" fill="{PAPER}" stroke="{LIQUID}" stroke-width="0.25"/>'
        )
        x, y = box.middle
        return _leader(box, target) + ring + text(str(number), (x, y + 0.75), _SMALL, INK)

    def _name(self, part: Part, placement: Placement, target: Box) -> str:
        """A part's name, and under it the heights of its underside and top."""
        name = shortened(part.name, _LONGEST_NAME)
        heights = f"h {placement.height_mm:.4g} to {placement.top_mm(part):.4g}"
        width = max(text_width(name, _NAME), text_width(heights, _SMALL))
        candidates = list(around(target, width, _NAME + _SMALL + 0.3))
        box = self.labels.place(candidates, target) or candidates[0]
        x = box.middle[0]
        first = text(name, (x, box.top + 0.8 * _NAME), _NAME, INK)
        return _leader(box, target) + first + text(heights, (x, box.bottom - 0.5), _SMALL, SOFT)

    def _height(self, words: str, targets: Iterable[Box], reach: float) -> str:
        """A height beside the first of its targets where it covers nothing; nothing if there is no place in reach."""
        width, height = text_width(words, _SMALL), _SMALL + 0.4
        for target in targets:
            near = (box for box in around(target, width, height) if box.gap(target) < reach)
            box = self.labels.place((box for box in near if not self.labels.covers_line(box)), target)
            if box is not None:
                return _leader(box, target) + text(words, (box.middle[0], box.bottom - 0.5), _SMALL, LIQUID)
        return ""

    def _height_marks(self, run_id: str, path: Path) -> Iterable[tuple[str, list[Box], float]]:
        """Heights of a run where they change; once, close to its longest stretch, where they do not."""
        heights, size = path.heights_mm, self.sheet.tube_width(run_id) + 0.4
        if max(heights) - min(heights) < _LEVEL:
            places = [between(*self.sheet.longest(run_id), share) for share in (0.5, 0.3, 0.7, 0.15, 0.85)]
            yield f"h {heights[0]:.4g}", [Box.centred(*place, size, size) for place in places], _NEAR
            return
        for stack in _stacked(path):
            near = heights[max(0, stack[0] - 1) : stack[-1] + 2]
            if max(near) - min(near) >= _LEVEL:
                ends = dict.fromkeys(f"{heights[place]:.4g}" for place in (stack[0], stack[-1]))
                corner = self.sheet.point(path.spots[stack[0]])
                yield "h " + " to ".join(ends), [Box.centred(*corner, size, size)], _TOO_FAR


def _stacked(path: Path) -> Iterable[list[int]]:
    """Numbers of a path's points, those above one another together."""
    group = [0]
    for index, (a, b) in enumerate(pairwise(path.spots), start=1):
        if math.hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm) < 1.0:
            group.append(index)
        else:
            yield group
            group = [index]
    yield group


def _leader(box: Box, target: Box) -> str:
    """A thin line from a label to what it names, where they lie apart."""
    return line(*leader(box, target), SOFT, 0.15) if needs_leader(box, target) else ""

"""The grade line against distance: heads, the tube's height, suction, and where the pressure is below the room's."""

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from loopsim.report.axes import dotted, round_step
from loopsim.report.labels import Box, LabelField, around, leader, needs_leader, text_width
from loopsim.report.svg import INK, LIQUID, SOFT, drawing, line, polyline, rectangle, text
from loopsim.report.text import shortened
from loopsim.studies import GradeLine, GradeStep

__all__ = ["grade_line_svg"]

FloatArray = NDArray[np.float64]

_WIDTH, _HEIGHT = 174.0, 88.0  # [mm]
_LEFT, _RIGHT, _TOP, _BOTTOM = 14.0, 4.0, 6.0, 14.0
_FLOOR, _END = _HEIGHT - _BOTTOM, _WIDTH - _RIGHT
_SMALL, _NAME = 2.1, 2.4
_LONGEST_NAME = 24  # characters; the table holds the whole name
_GRID, _SUCTION, _PART = "#e4e4e4", "#CFE3E2", "#f0f0f0"
_DASHES = "1.2 0.8"
_HATCH = 2.2  # distance of hatching strokes [mm]


def grade_line_svg(of: GradeLine) -> str:
    """Static and total head, and the height of the tube, against the distance along the stream.

    Parts are marked where they lie, by name; the way from the vessel to the first pump is shaded, stretches below the
    room's pressure are hatched.

    Returns
    -------
    str
        One SVG element, 174 mm wide.
    """
    sheet = _Sheet(of)
    marks = (*sheet.ground(), *sheet.axes(), *sheet.curves(), *sheet.names(), *_key(of))
    return drawing(marks, _WIDTH, f"{_HEIGHT:g}", 'stroke-linejoin="round"')


class _Sheet:
    """Paper coordinates of one line, and its marks."""

    def __init__(self, of: GradeLine) -> None:
        self.of = of
        heads = np.concatenate([of.total_head, of.elevation, of.piezometric_head])
        self.step = round_step(float(np.ptp(heads)) / 6)
        self.low = self.step * float(np.floor(min(float(heads.min()), 0.0) / self.step))
        self.high = self.step * float(np.ceil((float(heads.max()) + 0.12 * float(np.ptp(heads))) / self.step))

    def ground(self) -> Iterator[str]:
        """Parts, suction and hatching, which lie under everything else."""
        for step in self._parts():
            yield self._band(float(step.distance[0]), float(step.distance[-1]), _PART)
        if self.of.suction is not None:
            yield self._band(self.of.suction.start, self.of.suction.end, _SUCTION)
        for stretch in self.of.below_atmosphere:
            yield from _hatch(self._x(stretch.start), self._x(stretch.end))

    def axes(self) -> Iterator[str]:
        """Round heads on the left, round distances below."""
        for head in np.arange(self.low, self.high + self.step / 2, self.step):
            y = self._y(float(head))
            yield line((_LEFT, y), (_END, y), SOFT if abs(head) < 1e-9 else _GRID, 0.2)
            yield text(f"{round(float(head), 6) + 0.0:g}", (_LEFT - 1.5, y + 0.7), _SMALL, SOFT, "end")
        along = round_step(self.of.length / 8)
        for distance in np.arange(0.0, self.of.length * (1 + 1e-9), along):
            x = self._x(float(distance))
            yield line((x, _FLOOR), (x, _FLOOR + 1), SOFT, 0.2)
            yield text(f"{round(float(distance), 6):g}", (x, _FLOOR + 4), _SMALL, SOFT)
        yield text("head, m", (1.5, _TOP - 2.4), _SMALL, SOFT, "start")
        yield text("distance along the stream, m", (_END, _FLOOR + 7.5), _SMALL, SOFT, "end")

    def curves(self) -> Iterator[str]:
        """The three lines: height of the tube, total head, static head."""
        yield polyline(self._points(self.of.elevation), INK, 0.3)
        yield polyline(self._points(self.of.total_head), LIQUID, 0.25, _DASHES)
        yield polyline(self._points(self.of.piezometric_head), LIQUID, 0.7)

    def names(self) -> Iterator[str]:
        """The parts' names beside the static line, where they cover nothing."""
        curves = (self._points(head) for head in (self.of.piezometric_head, self.of.elevation))
        field = LabelField(Box(_LEFT, _TOP, _END, _FLOOR), np.concatenate([dotted(curve) for curve in curves]))
        for step in self._parts():
            name, target = shortened(step.name, _LONGEST_NAME), self._target(step)
            box = field.place(around(target, text_width(name, _NAME) + 0.8, _NAME + 0.6), target)
            if box is None:
                continue
            if needs_leader(box, target):
                yield line(*leader(box, target), SOFT, 0.15)
            yield text(name, (box.middle[0], box.bottom - 0.8), _NAME, INK)

    def _target(self, step: GradeStep) -> Box:
        """What a part's name stands beside: its piece of the static line."""
        (left, top), (right, bottom) = self._points(step.piezometric_head[[0, -1]], step.distance[[0, -1]])
        return Box(left, min(top, bottom), right, max(top, bottom))

    def _parts(self) -> Iterable[GradeStep]:
        return (step for step in self.of.steps if step.kind != "tube_run")

    def _band(self, start: float, end: float, fill: str) -> str:
        return rectangle(self._x(start), _TOP, self._x(end) - self._x(start), _FLOOR - _TOP, fill)

    def _points(self, heads: FloatArray, distance: FloatArray | None = None) -> FloatArray:
        x = [self._x(float(each)) for each in (self.of.distance if distance is None else distance)]
        return np.column_stack([x, [self._y(float(head)) for head in heads]])

    def _x(self, distance: float) -> float:
        return _LEFT + distance / self.of.length * (_END - _LEFT)

    def _y(self, head: float) -> float:
        return _FLOOR - (head - self.low) / (self.high - self.low) * (_FLOOR - _TOP)


def _key(of: GradeLine) -> Iterator[str]:
    """What the lines and grounds are, under the axis; each in words beside its own stroke."""
    x, y = _LEFT, _FLOOR + 11.5
    kinds = (
        ("static head", LIQUID, 0.7, ""),
        ("total head", LIQUID, 0.25, _DASHES),
        ("height of the tube", INK, 0.3, ""),
    )
    for words, ink, width, dashes in kinds:
        yield polyline(np.array([(x, y - 0.8), (x + 7, y - 0.8)]), ink, width, dashes)
        yield text(words, (x + 8.5, y), _SMALL, INK, "start")
        x += 14 + text_width(words, _SMALL)
    if of.suction is not None:
        yield rectangle(x, y - 2.0, 5.0, 2.4, _SUCTION)
        yield text("suction", (x + 6.5, y), _SMALL, INK, "start")
        x += 12 + text_width("suction", _SMALL)
    if of.below_atmosphere:
        yield from (line((x + at, y + 0.4), (x + at + 2.4, y - 2.0), INK, 0.15) for at in (0.0, 1.2, 2.4))
        yield text("below the room's pressure", (x + 6.5, y), _SMALL, INK, "start")


def _hatch(left: float, right: float) -> Iterator[str]:
    """Slanting strokes over the whole height; one upright stroke where the stretch is very short."""
    wide = right - left
    if wide < 0.4:
        yield line((left, _TOP), (left, _FLOOR), INK, 0.15)
        return
    rise = min(wide, 6.0)
    for y in np.arange(_TOP, _FLOOR - rise, _HATCH):
        yield line((left, float(y) + rise), (right, float(y)), INK, 0.12)

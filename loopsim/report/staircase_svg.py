"""The coolant's temperature against distance along its stream: up through blocks and pumps, down through radiators."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from loopsim.report.axes import dotted, round_step
from loopsim.report.labels import Box, LabelField, around, leader, needs_leader, text_width
from loopsim.report.svg import INK, LIQUID, SOFT, WARM, drawing, line, polyline, rectangle, text
from loopsim.report.text import shortened
from loopsim.studies import CoolantStep, Staircase

__all__ = ["staircase_svg"]

FloatArray = NDArray[np.float64]

_WIDTH, _HEIGHT = 174.0, 74.0  # [mm]
_LEFT, _RIGHT, _TOP, _BOTTOM = 14.0, 4.0, 6.0, 10.0
_FLOOR, _END = _HEIGHT - _BOTTOM, _WIDTH - _RIGHT
_SMALL, _NAME = 2.1, 2.4
_LONGEST_NAME = 24  # characters
_GRID, _PART = "#e4e4e4", "#f0f0f0"
_LEAST_SPAN = 0.2  # of the temperature axis, so that rounding errors are no staircase [K]
_TELLING = 0.05  # a smaller change is not written beside a name [K]


def staircase_svg(of: Staircase) -> str:
    """Temperature of the coolant along the main stream; parts are marked where they lie, with what they change.

    Returns
    -------
    str
        One SVG element, 174 mm wide.
    """
    sheet = _Sheet(of)
    marks = (*sheet.ground(), *sheet.axes(), *sheet.steps(), *sheet.names())
    return drawing(marks, _WIDTH, f"{_HEIGHT:g}", 'stroke-linecap="round"')


class _Sheet:
    """Paper coordinates of one staircase, and its marks."""

    def __init__(self, of: Staircase) -> None:
        self.of = of
        self.parts = [step for step in of.steps if step.kind != "tube_run"]
        self.length = max(of.steps[-1].end, 1e-6)
        temperatures = [at for _, at in of.corners]
        span = max(max(temperatures) - min(temperatures), _LEAST_SPAN)
        self.step = round_step(span / 5)
        self.low = self.step * float(np.floor((min(temperatures) - 0.1 * span) / self.step))
        self.high = self.step * float(np.ceil((max(temperatures) + 0.1 * span) / self.step))

    def ground(self) -> Iterator[str]:
        """The parts as bands, which lie under everything else."""
        for step in self.parts:
            left, right = self._x(step.start), self._x(step.end)
            yield rectangle(left, _TOP, right - left, _FLOOR - _TOP, _PART)

    def axes(self) -> Iterator[str]:
        """Round temperatures on the left, round distances below."""
        for at in np.arange(self.low, self.high + self.step / 2, self.step):
            y = self._y(float(at))
            yield line((_LEFT, y), (_END, y), _GRID, 0.2)
            yield text(f"{round(float(at), 6) + 0.0:g}", (_LEFT - 1.5, y + 0.7), _SMALL, SOFT, "end")
        for distance in np.arange(0.0, self.length * (1 + 1e-9), round_step(self.length / 8)):
            x = self._x(float(distance))
            yield line((x, _FLOOR), (x, _FLOOR + 1), SOFT, 0.2)
            yield text(f"{round(float(distance), 6):g}", (x, _FLOOR + 4), _SMALL, SOFT)
        yield text("coolant, °C", (1.5, _TOP - 2.4), _SMALL, SOFT, "start")
        yield text("distance along the stream, m", (_END, _FLOOR + 7.5), _SMALL, SOFT, "end")

    def steps(self) -> Iterator[str]:
        """The line, step by step: a warm ink where the coolant warms."""
        for step in self.of.steps:
            yield polyline(self._ends(step), WARM if step.change > 0 else LIQUID, 0.7)

    def names(self) -> Iterator[str]:
        """The parts' names with what they change, beside the line, where they cover nothing."""
        drawn = np.concatenate([dotted(self._ends(step)) for step in self.of.steps])
        field = LabelField(Box(_LEFT, _TOP, _END, _FLOOR), drawn)
        for step in self.parts:
            words, target = _words(step), self._target(step)
            box = field.place(around(target, text_width(words, _NAME) + 0.8, _NAME + 0.6), target)
            if box is None:
                continue
            if needs_leader(box, target):
                yield line(*leader(box, target), SOFT, 0.15)
            yield text(words, (box.middle[0], box.bottom - 0.8), _NAME, INK)

    def _target(self, step: CoolantStep) -> Box:
        """What a part's name stands beside: its piece of the line."""
        (left, top), (right, bottom) = self._ends(step)
        return Box(left, min(top, bottom), right, max(top, bottom))

    def _ends(self, step: CoolantStep) -> FloatArray:
        return np.array([(self._x(step.start), self._y(step.enters)), (self._x(step.end), self._y(step.leaves))])

    def _x(self, distance: float) -> float:
        return _LEFT + distance / self.length * (_END - _LEFT)

    def _y(self, temperature: float) -> float:
        return _FLOOR - (temperature - self.low) / (self.high - self.low) * (_FLOOR - _TOP)


def _words(step: CoolantStep) -> str:
    name = shortened(step.name, _LONGEST_NAME)
    change = f"{step.change:+.1f}".replace("-", "−")
    return f"{name} {change} K" if abs(step.change) >= _TELLING else name

"""Rows with a bar each: a value against its limit on one axis, with its band, and the rest in words."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.axis_ends import round_end
from app.focus_mark import paint_focus_mark
from app.key_steps import stepped
from app.theme import Theme, Type, font, themes

__all__ = ["Bar", "BarRows"]

_ROW, _BAR, _WORDS = 38.0, 9.0, 15.0  # heights of a row, its bar, its words [px]
_SIDE, _HEAD, _FOOT = 4.0, 20.0, 20.0
_OLD = 0.4  # opacity of an answer to an earlier sketch
_PALE = 0.45  # opacity of the bar of what stands in air
_BEYOND = 1.04  # of the axis, that is left free at its end


class Bar(NamedTuple):
    """One row.

    `value` is the end of its bar (None: it has none), `band` half the width of its band; `attention` is ``"rust"``,
    ``"amber"`` or empty; `is_pale` sets a bar apart that is measured in something else than its neighbours.
    """

    item: str
    name: str
    value: float | None
    words: str
    limit: float | None = None
    band: float = 0.0
    attention: str = ""
    is_pale: bool = False


class BarRows(QWidget):
    """The rows on a common axis. A click, or the arrow keys, choose a row's part."""

    chosen = Signal(object)  # frozenset of ids

    def __init__(self, name: str) -> None:
        super().__init__()
        self.bars: tuple[Bar, ...] = ()
        self.ids: frozenset[str] = frozenset()
        self._start, self._end, self._caption, self._old = 0.0, 1.0, "", False
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        themes.changed.connect(self._on_theme)

    def show_bars(self, bars: Sequence[Bar], start: float, caption: str, old: bool = False) -> None:
        """Show rows on an axis that begins at `start`; `caption` says what it measures; `old` dims them."""
        self.bars, self._start, self._caption, self._old = tuple(bars), start, caption, old
        values = [value for bar in bars for value in (bar.limit, None if bar.value is None else bar.value + bar.band)]
        most = max((value for value in values if value is not None), default=start + 1.0)
        if not (0.7 * (self._end - start) <= _BEYOND * (most - start) <= self._end - start):
            self._end = start + _BEYOND * max(most - start, 1e-3)
        self.setAccessibleDescription("; ".join(f"{bar.name}: {bar.words}" for bar in bars))
        self.setFixedHeight(self.sizeHint().height())
        self.setVisible(bool(bars))
        self.update()

    def choose(self, ids: frozenset[str]) -> None:
        """Bring out what is selected."""
        if ids != self.ids:
            self.ids = ids
            self.update()

    def sizeHint(self) -> QSize:
        return QSize(420, int(_HEAD + _ROW * len(self.bars) + _FOOT))

    def row_middle(self, number: int) -> QPointF:
        """A point on a row."""
        return QPointF(self.width() / 2, _HEAD + _ROW * (number + 0.5))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        number = int((event.position().y() - _HEAD) // _ROW)
        self.chosen.emit(frozenset((self.bars[number].item,)) if 0 <= number < len(self.bars) else frozenset())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        found = stepped(event.key(), [bar.item for bar in self.bars], self.ids)
        if found is None:
            super().keyPressEvent(event)
        else:
            self.chosen.emit(frozenset((found,)))

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        painter.setOpacity(_OLD if self._old else 1.0)
        theme = themes.current
        self._paint_axis(painter, theme)
        for number, bar in enumerate(self.bars):
            self._paint_row(painter, theme, bar, _HEAD + _ROW * number)
        paint_focus_mark(painter, self)

    def _x(self, value: float) -> float:
        share = (value - self._start) / (self._end - self._start)
        return _SIDE + min(max(share, 0.0), 1.0) * (self.width() - 2 * _SIDE)

    def _paint_axis(self, painter: QPainter, theme: Theme) -> None:
        """What is measured, and lines at round values over the whole height."""
        bottom = _HEAD + _ROW * len(self.bars)
        step = round_end(self._end - self._start).step
        rounds = [step * n for n in range(math.ceil(self._start / step), math.floor(self._end / step) + 1)]
        metrics = QFontMetricsF(painter.font())
        painter.setPen(theme.soft_ink)
        room = self.width() - 2 * _SIDE
        painter.drawText(QPointF(_SIDE, 12), metrics.elidedText(self._caption, Qt.TextElideMode.ElideRight, room))
        for value in rounds:
            x, text = self._x(value), f"{value:g}".replace("-", "−")
            painter.setPen(QPen(theme.rule, 1.0))
            painter.drawLine(QLineF(x, _HEAD, x, bottom))
            left = min(x - metrics.horizontalAdvance(text) / 2, self.width() - metrics.horizontalAdvance(text))
            painter.setPen(theme.soft_ink)
            painter.drawText(QPointF(max(left, 0.0), bottom + 14), text)

    def _paint_row(self, painter: QPainter, theme: Theme, bar: Bar, top: float) -> None:
        if bar.item in self.ids:
            painter.fillRect(QRectF(0, top + 1, self.width(), _ROW - 2), theme.chosen)
        self._paint_words(painter, theme, bar, top)
        box = QRectF(_SIDE, top + _WORDS + 5, 0, _BAR)
        if bar.value is not None:
            self._paint_bar(painter, theme, bar, box)
        if bar.limit is not None:
            x = self._x(bar.limit)
            painter.setPen(QPen(theme.ink, 2.0))
            painter.drawLine(QLineF(x, box.top() - 1, x, box.bottom() + 4))

    def _paint_words(self, painter: QPainter, theme: Theme, bar: Bar, top: float) -> None:
        metrics = QFontMetricsF(painter.font())
        wide = metrics.horizontalAdvance(bar.words)
        baseline = top + _WORDS
        painter.setPen(getattr(theme, f"{bar.attention}_text") if bar.attention else theme.soft_ink)
        painter.drawText(QPointF(self.width() - _SIDE - wide, baseline), bar.words)
        painter.setPen(theme.ink)
        room = self.width() - 2 * _SIDE - wide - 12
        painter.drawText(QPointF(_SIDE, baseline), metrics.elidedText(bar.name, Qt.TextElideMode.ElideRight, room))

    def _paint_bar(self, painter: QPainter, theme: Theme, bar: Bar, box: QRectF) -> None:
        """The bar, hatched where it passes its limit, and the band around its end."""
        end = self._x(bar.value)
        held = end if bar.limit is None else min(end, self._x(bar.limit))
        colour = QColor(theme.liquid)
        colour.setAlphaF(_PALE if bar.is_pale else 1.0)
        painter.fillRect(QRectF(QPointF(box.left(), box.top()), QPointF(held, box.bottom())), colour)
        if end > held:
            painter.fillRect(QRectF(QPointF(held, box.top()), QPointF(end, box.bottom())), theme.rust)
        if bar.band > 0:
            low, high = self._x(bar.value - bar.band), self._x(bar.value + bar.band)
            middle = box.center().y()
            painter.setPen(QPen(theme.ink, 1.0))
            painter.drawLine(QLineF(low, middle, high, middle))
            for x in (low, high):
                painter.drawLine(QLineF(x, middle - 3, x, middle + 3))

    def _on_theme(self, _: Theme) -> None:
        self.update()

"""The ground of the plan: millimetre grid, enclosure with its dimensions, scale bar."""

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from app import figures
from app.plan.part_item import pen
from app.theme import Theme, Type, font
from loopsim.build import Enclosure
from loopsim.units import to_si

__all__ = ["paint_dimensions", "paint_grid", "paint_scale_bar", "round_length"]

_GRID_STEPS_MM = (1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0)
_FADE_PX = (7.0, 40.0)  # spacing at which a grid line begins to show, and at which it is fully there
_ASIDE_PX = 24.0  # of dimensions, beyond the arrows of air
_BAR_PX = (60.0, 150.0)
_BESIDE_PX = 10.0  # from the scale bar to its words


def paint_grid(painter: QPainter, area: QRectF, scale: float, theme: Theme) -> None:
    """Grid lines of every step whose spacing can be told apart; finer ones fade in with the zoom."""
    for step in _GRID_STEPS_MM:
        strength = _strength(step * scale)
        if strength > 0.0 and area.width() / step < 400:
            colour = QColor(theme.grid)
            colour.setAlphaF(strength)
            painter.setPen(pen(colour, 1.0))
            painter.drawLines(_lines(area, step))


def _strength(spacing_px: float) -> float:
    low, high = _FADE_PX
    return min(1.0, max(0.0, (spacing_px - low) / (high - low)))


def _lines(area: QRectF, step: float) -> list[QLineF]:
    across = range(math.ceil(area.left() / step), math.floor(area.right() / step) + 1)
    down = range(math.ceil(area.top() / step), math.floor(area.bottom() / step) + 1)
    lines = [QLineF(number * step, area.top(), number * step, area.bottom()) for number in across]
    return lines + [QLineF(area.left(), number * step, area.right(), number * step) for number in down]


def paint_dimensions(painter: QPainter, box: QRectF, enclosure: Enclosure, theme: Theme) -> None:
    """Length above and width beside the enclosure; `box` is the enclosure in pixels of the view."""
    painter.setFont(font(Type.SMALL))
    painter.setPen(pen(theme.soft_ink, 1.0))
    line = QLineF(box.left(), box.top() - _ASIDE_PX, box.right(), box.top() - _ASIDE_PX)
    _dimension(painter, line, figures.length_mm(enclosure.length_mm))
    painter.save()
    painter.translate(box.left() - _ASIDE_PX, box.center().y())
    painter.rotate(-90)
    _dimension(painter, QLineF(-box.height() / 2, 0, box.height() / 2, 0), figures.length_mm(enclosure.width_mm))
    painter.restore()


def _dimension(painter: QPainter, line: QLineF, text: str) -> None:
    for end in (line.p1(), line.p2()):
        painter.drawLine(end + QPointF(0, -4), end + QPointF(0, 4))
    painter.drawLine(line)
    size = QFontMetricsF(painter.font())
    middle = line.center()
    painter.drawText(QPointF(middle.x() - size.horizontalAdvance(text) / 2, middle.y() - size.descent() - 2), text)


def round_length(scale: float) -> float:
    """The longest of 1, 2, 5, 10, ... that a scale bar has room for at `scale` pixels per unit of length."""
    longest = _BAR_PX[1] / scale
    decade = 10.0 ** math.floor(math.log10(longest))
    return max(step * decade for step in (1.0, 2.0, 5.0) if step * decade <= longest)


def paint_scale_bar(
    painter: QPainter, corner: QPointF, scale: float, enclosure: Enclosure, theme: Theme, right: float
) -> QRectF:
    """A bar of a round length, its lower left end at `corner` of the view, and the clear height; where it is.

    The height stands over the bar where there is no room for it beside, up to `right`.
    """
    per_unit = scale * figures.from_own(1.0, "mm") / to_si(1.0, "mm")
    length = round_length(per_unit)
    end = corner + QPointF(length * per_unit, 0)
    painter.setFont(font(Type.SMALL))
    metrics = QFontMetricsF(painter.font())
    beside = f"{figures.plain(length)} {figures.label('mm')}"
    over = f"{figures.length_mm(enclosure.clear_height_mm)} under the lid"
    if end.x() + _BESIDE_PX + metrics.horizontalAdvance(f"{beside}  ·  {over}") <= right:
        beside, over = f"{beside}  ·  {over}", ""
    width = max(end.x() - corner.x() + _BESIDE_PX + metrics.horizontalAdvance(beside), metrics.horizontalAdvance(over))
    place = QRectF(corner + QPointF(-8, -10), QSizeF(width + 16, 20))
    place.setTop(place.top() - metrics.height() * bool(over))
    painter.fillRect(place, _sheer(theme.paper))
    _paint_bar(painter, corner, end, theme)
    painter.setPen(theme.soft_ink)
    baseline = QPointF(0, metrics.ascent() / 2 - 1)
    painter.drawText(end + QPointF(_BESIDE_PX, 0) + baseline, beside)
    painter.drawText(corner + baseline - QPointF(0, metrics.height()), over)
    return place


def _paint_bar(painter: QPainter, start: QPointF, end: QPointF, theme: Theme) -> None:
    painter.setPen(pen(theme.ink, 2.0))
    painter.drawLine(start, end)
    for point in (start, end):
        painter.drawLine(point + QPointF(0, -4), point + QPointF(0, 4))


def _sheer(paper: QColor) -> QColor:
    """Paper that lets a little of what is under it through."""
    colour = QColor(paper)
    colour.setAlphaF(0.85)
    return colour

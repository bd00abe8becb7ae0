"""How words are set on the plan: their type, their size, and painting them."""

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPainterPathStroker

from app.plan.labels import Label, Line
from app.plan.part_item import pen
from app.theme import Theme, Type, font

__all__ = ["label_of", "line_size", "paint_label", "paint_words"]

_HALO_PX = 4.0  # of both sides together


def label_of(key: str, lines: list[Line], beside: QRectF) -> Label:
    """A label of some lines, as large as they are, which has no place yet."""
    sizes = [line_size(line) for line in lines]
    width, height = max(size.width() for size in sizes), sum(size.height() for size in sizes)
    return Label(key, tuple(lines), QSizeF(width, height), beside)


@lru_cache(maxsize=256)
def line_size(line: Line) -> QSizeF:
    """What a line takes."""
    metrics = QFontMetricsF(_font(line))
    return QSizeF(metrics.horizontalAdvance(line.text), metrics.height())


def paint_label(painter: QPainter, label: Label, theme: Theme) -> None:
    """A label where it stands, with a line to what it names where that is far."""
    if label.is_far:
        painter.setPen(theme.soft_ink)
        painter.drawLine(label.leader)
    top = label.box.top()
    for line in label.lines:
        painter.setFont(_font(line))
        size = line_size(line)
        baseline = QPointF(label.box.center().x() - size.width() / 2, top + _ascent(line.role))
        if label.on_tube:
            _paint_halo(painter, baseline, line, theme.paper)
        painter.setPen(getattr(theme, line.role))
        painter.drawText(baseline, line.text)
        top += size.height()


def paint_words(painter: QPainter, at: QPointF, text: str, theme: Theme) -> None:
    """A few words on a piece of paper, their baseline beginning at `at`."""
    painter.setFont(font(Type.SMALL))
    box = QFontMetricsF(painter.font()).boundingRect(text).translated(at).adjusted(-5, -3, 5, 3)
    painter.setPen(pen(theme.rule, 1.0))
    painter.setBrush(theme.paper)
    painter.drawRoundedRect(box, 3, 3)
    painter.setPen(theme.ink)
    painter.drawText(at, text)


def _paint_halo(painter: QPainter, baseline: QPointF, line: Line, paper: QColor) -> None:
    """A rim of paper round letters that stand on a tube."""
    painter.translate(baseline)
    painter.fillPath(_rim(line), paper)
    painter.translate(-baseline)


@lru_cache(maxsize=256)
def _rim(line: Line) -> QPainterPath:
    """Broadened letters: made once, since this is slow."""
    letters = QPainterPath()
    letters.addText(QPointF(0.0, 0.0), _font(line), line.text)
    stroker = QPainterPathStroker()
    stroker.setWidth(_HALO_PX)
    stroker.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return stroker.createStroke(letters).simplified()


@lru_cache(maxsize=8)
def _ascent(role: str) -> float:
    return QFontMetricsF(_font(Line("", role))).ascent()


def _font(line: Line) -> QFont:
    return font(Type.PLAIN if line.role == "ink" else Type.SMALL)

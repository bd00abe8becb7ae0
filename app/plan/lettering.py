"""How words are set on the plan: their type, their size, and painting them."""

from functools import lru_cache

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter, QPainterPath, QPainterPathStroker

from app.plan.labels import Label, Line
from app.plan.part_item import pen
from app.plan.pictures import copy_to, picture
from app.theme import Theme, Type, font

__all__ = ["label_of", "line_size", "paint_label", "paint_words"]

_HALO_PX = 4.0  # of both sides together
_MARGIN_PX = 4.0  # around a picture of letters: room for the halo, and for what leans out


def label_of(key: str, lines: list[Line], beside: QRectF) -> Label:
    """A label of some lines, as large as they are, which has no place yet."""
    return Label(key, tuple(lines), QSizeF(_size(tuple(lines))), beside)


@lru_cache(maxsize=1024)
def _size(lines: tuple[Line, ...]) -> QSizeF:
    """What several lines take, one below the other."""
    sizes = [line_size(line) for line in lines]
    return QSizeF(max(size.width() for size in sizes), sum(size.height() for size in sizes))


@lru_cache(maxsize=256)
def line_size(line: Line) -> QSizeF:
    """What a line takes."""
    metrics = QFontMetricsF(_font(line))
    return QSizeF(metrics.horizontalAdvance(line.text), metrics.height())


def paint_label(painter: QPainter, label: Label, theme: Theme) -> None:
    """A label where it stands, with a line to what it names where that is far."""
    if label.is_led:
        painter.setPen(theme.soft_ink)
        painter.drawLine(label.leader)
    inks = tuple(getattr(theme, line.role).rgba() for line in label.lines)
    halo = theme.paper.rgba() if label.on_tube else None
    letters = _letters(label.lines, inks, halo, painter.device().devicePixelRatioF())
    copy_to(painter, label.box.topLeft() - QPointF(_MARGIN_PX, _MARGIN_PX), letters)


def paint_words(painter: QPainter, at: QPointF, text: str, theme: Theme, within: QRectF) -> None:
    """A few words on a piece of paper, their baseline beginning at `at`, or near it where they would be cut off."""
    painter.setFont(font(Type.SMALL))
    box = QFontMetricsF(painter.font()).boundingRect(text).translated(at).adjusted(-5, -3, 5, 3)
    room = within.adjusted(2, 2, -2, -2)
    inwards = QPointF(min(0.0, room.right() - box.right()), max(0.0, room.top() - box.top()))
    at, box = at + inwards, box.translated(inwards)
    painter.setPen(pen(theme.rule, 1.0))
    painter.setBrush(theme.paper)
    painter.drawRoundedRect(box, 3, 3)
    painter.setPen(theme.ink)
    painter.drawText(at, text)


@lru_cache(maxsize=1024)
def _letters(lines: tuple[Line, ...], inks: tuple[int, ...], halo: int | None, ratio: float) -> QImage:
    """The lines of a label, each in the middle, with a margin around them; a rim where they stand on a tube.

    Kept, since all labels are drawn with every move of a part and most say the same as before.
    """
    whole = _size(lines)

    def draw(painter: QPainter) -> None:
        top = _MARGIN_PX
        for line, ink in zip(lines, inks, strict=True):
            size = line_size(line)
            baseline = QPointF(_MARGIN_PX + (whole.width() - size.width()) / 2, top + _ascent(line.role))
            if halo is not None:
                painter.fillPath(_rim(line).translated(baseline), QColor.fromRgba(halo))
            painter.setFont(_font(line))
            painter.setPen(QColor.fromRgba(ink))
            painter.drawText(baseline, line.text)
            top += size.height()

    return picture(whole.grownBy(QMarginsF(_MARGIN_PX, _MARGIN_PX, _MARGIN_PX, _MARGIN_PX)), ratio, draw)


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

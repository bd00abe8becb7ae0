"""The mark of what has the keyboard, for widgets that paint themselves: the same line as round fields and tables."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.theme import themes

__all__ = ["paint_focus_mark"]

_WIDE_PX = 1.0


def paint_focus_mark(painter: QPainter, widget: QWidget, colour: QColor | None = None) -> None:
    """A line just within a widget that has the keyboard; nothing round any other.

    Parameters
    ----------
    painter : QPainter
        Paints on the widget in its own pixels; what it was set to is kept.
    widget : QWidget
    colour : QColor, optional
        That of fields and tables, unless it would not be seen on the widget's ground.
    """
    if not widget.hasFocus():
        return
    painter.save()
    painter.resetTransform()
    painter.setOpacity(1.0)
    painter.setPen(QPen(colour or themes.current.liquid, _WIDE_PX))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    inset = _WIDE_PX / 2
    painter.drawRect(QRectF(widget.rect()).adjusted(inset, inset, -inset, -inset))
    painter.restore()

"""The enclosure seen from one of its edges: what stands where, how high, and what is in front of what."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPainterPathStroker,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QWidget

from app import figures
from app.document import Document
from app.focus_mark import paint_focus_mark
from app.height_drags import HeightDrag, of_level, of_lid, of_part
from app.height_view import HeightView
from app.theme import Theme
from loopsim.studies.side_view import Edge, SideBox, SideTube, SideView, side_view

__all__ = ["SidePane"]

_REACH_PX = 5.0
_NAME_ROOM_PX = 8.0


class SidePane(HeightView):
    """One side of the machine, as wide as there is room; heights may be drawn larger than lengths, and it says so."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(document, theme, "View from a side", parent)
        self.edge: Edge = "front"
        self.seen: SideView = side_view(document.build, document.layout, self.edge)
        document.build_changed.connect(self._on_changed)
        document.layout_changed.connect(self._on_changed)

    def look_from(self, edge: Edge) -> None:
        """See it from another edge."""
        self.edge = edge
        self._refresh()

    def highest_mm(self) -> float:
        tops = [thing.high_mm for thing in self.seen.things if isinstance(thing, SideBox)]
        lines = [float(thing.line_mm[:, 1].max()) for thing in self.seen.things if isinstance(thing, SideTube)]
        return max([self.seen.lid_mm, *tops, *lines])

    def ids(self) -> list[str]:
        parts = [each for each in self.seen.things if isinstance(each, SideBox) and each.what == "part"]
        return [each.id for each in sorted(parts, key=lambda each: each.left_mm + each.right_mm)]

    def id_at(self, pixel: QPointF) -> str:
        """The nearest thing in front at a pixel."""
        for thing in reversed(self.seen.things):
            if isinstance(thing, SideTube) and self._is_on(thing, pixel):
                return thing.id
            if isinstance(thing, SideBox) and thing.what == "part" and self._box(thing).contains(pixel):
                return thing.id
        return ""

    def drag_at(self, pixel: QPointF) -> HeightDrag | None:
        for thing in self.seen.things:
            if isinstance(thing, SideBox) and thing.what == "level" and self._is_near(thing, pixel):
                return of_level(self.document, thing.id)
        if pixel.x() > self.width() - self.right and abs(pixel.y() - self.y_of(self.seen.lid_mm)) < _REACH_PX:
            return of_lid(self.document)
        found = self.id_at(pixel)
        return of_part(self.document, found) if found in self.document.layout.placements else None

    def showEvent(self, event: object) -> None:
        super().showEvent(event)
        self._refresh()

    def _on_changed(self, *_: object) -> None:
        if self.isVisible():
            self._refresh()

    def _refresh(self) -> None:
        self.seen = side_view(self.document.build, self.document.layout, self.edge)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        painter, theme = QPainter(self), self.theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), theme.paper)
        self.paint_heading(painter, self._heading())
        for thing in self.seen.things:
            if isinstance(thing, SideTube):
                self._paint_tube(painter, thing)
            else:
                self._paint_box(painter, thing)
        self._paint_room(painter)
        self._paint_names(painter)
        paint_focus_mark(painter, self)

    def _heading(self) -> str:
        times = 1.0 / (self.per_pixel_mm() * self._per_mm())
        scale = "" if abs(times - 1.0) < 0.02 else f"; heights drawn {times:.2g} times as large as lengths"
        return f"Seen from the {self.edge}, {figures.label('mm')}{scale}"

    def _paint_room(self, painter: QPainter) -> None:
        ink, soft = QPen(self.theme.ink, 1.5), self.theme.soft_ink
        lid = QPen(self.theme.ink, 1.5, Qt.PenStyle.DashLine)
        high = self.seen.lid_mm
        self.limit(painter, 0.0, "floor", ink, soft, self.y_of(0.0))
        self.limit(painter, high, f"lid {figures.bare_length(high)}", lid, soft, self.y_of(high))
        painter.setPen(ink)
        for across in (0.0, self.seen.width_mm):
            x = self._x(across)
            painter.drawLine(QPointF(x, self.y_of(0.0)), QPointF(x, self.y_of(self.seen.lid_mm)))

    def _paint_box(self, painter: QPainter, thing: SideBox) -> None:
        theme, box = self.theme, self._box(thing)
        chosen = thing.id in self.document.selection
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if thing.what == "level":
            painter.setPen(QPen(theme.liquid, 2.0 if chosen else 1.2, Qt.PenStyle.DotLine))
            painter.drawLine(box.topLeft(), box.topRight())
            return
        if thing.what == "reserved":
            tint = QColor(theme.soft_ink)
            tint.setAlphaF(0.35)
            painter.setBrush(QBrush(tint, Qt.BrushStyle.BDiagPattern))
            painter.setPen(QPen(theme.soft_ink, 1.0, Qt.PenStyle.DashLine))
        elif thing.what == "opening":
            painter.setPen(QPen(theme.ink, 1.0, Qt.PenStyle.DashLine))
        else:
            painter.setBrush(theme.chosen if chosen else theme.bench)
            painter.setPen(QPen(theme.liquid if chosen else theme.soft_ink, 2.0 if chosen else 1.0))
        painter.drawRect(box)

    def _paint_tube(self, painter: QPainter, thing: SideTube) -> None:
        """A casing of paper first, so that what is in front is seen to cross over."""
        line = self._line(thing)
        width = self._drawn_px(thing)
        chosen = thing.id in self.document.selection
        for colour, wide in ((self.theme.paper, width + 2.0), (self.theme.liquid, width + 1.5 * chosen)):
            painter.setPen(QPen(colour, wide, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.RoundJoin))
            painter.drawPolyline(line)

    def _paint_names(self, painter: QPainter) -> None:
        """Under the floor, what is selected first, each where the others leave room."""
        size, taken = QFontMetricsF(painter.font()), []
        boxes = [each for each in self.seen.things if isinstance(each, SideBox) and each.what == "part"]
        chosen = self.document.selection
        for thing in sorted(boxes, key=lambda each: (each.id not in chosen, each.left_mm + each.right_mm)):
            width = size.horizontalAdvance(thing.name)
            left = max(4.0, self._box(thing).center().x() - width / 2)
            end = left + width + _NAME_ROOM_PX
            if all(end <= low or left >= high for low, high in taken):
                taken.append((left, end))
                painter.setPen(self.theme.ink if thing.id in chosen else self.theme.soft_ink)
                painter.drawText(QPointF(left, self.y_of(0.0) + 16.0), thing.name)

    def _per_mm(self) -> float:
        """Pixels for one millimetre across."""
        return (self.width() - self.left - self.right) / max(1.0, self.seen.width_mm)

    def _x(self, across_mm: float) -> float:
        return self.left + across_mm * self._per_mm()

    def _box(self, thing: SideBox) -> QRectF:
        top_left = QPointF(self._x(thing.left_mm), self.y_of(thing.high_mm))
        return QRectF(top_left, QPointF(self._x(thing.right_mm), self.y_of(thing.low_mm)))

    def _line(self, thing: SideTube) -> QPolygonF:
        return QPolygonF([QPointF(self._x(float(x)), self.y_of(float(z))) for x, z in thing.line_mm])

    def _is_near(self, thing: SideBox, pixel: QPointF) -> bool:
        box = self._box(thing)
        return box.left() <= pixel.x() <= box.right() and abs(pixel.y() - box.top()) < _REACH_PX

    def _is_on(self, thing: SideTube, pixel: QPointF) -> bool:
        """As wide as it is drawn, and at least so wide that a hand can find it."""
        way, broad = QPainterPath(), QPainterPathStroker()
        way.addPolygon(self._line(thing))
        broad.setWidth(max(2.0 * _REACH_PX, self._drawn_px(thing)))
        return broad.createStroke(way).contains(pixel)

    def _drawn_px(self, thing: SideTube) -> float:
        return max(2.0, thing.outer_mm * min(self._per_mm(), 1.0 / self.per_pixel_mm()))

"""The sheet under the plan: scale, pan, fit, and what is drawn behind the items."""

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QResizeEvent, QTransform, QWheelEvent
from PySide6.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QWidget

from app.plan.backdrop import paint_dimensions, paint_grid, paint_scale_bar
from app.plan.ground_paint import paint_room
from app.plan.surface import Under
from app.theme import Theme
from loopsim.build import Enclosure

__all__ = ["SCALE_BAR_PX", "Sheet"]

_LEAST_SCALE, _MOST_SCALE = 0.05, 20.0  # pixels per millimetre
_WHEEL_STEP = 1.2  # of the scale for one notch
_NOTCH = 120.0
_ROOM_PX = (46.0, 74.0, 30.0, 66.0)  # around the enclosure: left, top, right, bottom
SCALE_BAR_PX = 34.0  # at the foot of the view, for the scale bar
_AMPLE_PX = 320.0  # width and height of a view that has this room


class Sheet(QGraphicsView):
    """A scene in millimetres, seen at a scale that the wheel changes about the pointer."""

    def __init__(self, scene: QGraphicsScene, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(scene, parent)
        scene.setParent(self)  # a view does not keep its scene alive by itself
        self.theme = theme
        self.enclosure = Enclosure()
        self.ground: Under | None = None  # what more lies under the parts
        self.height_words = QRectF()  # where the clear height is written, in pixels of the view
        self.is_fitted = True  # until the builder zooms or pans
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheBackground)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    @property
    def scale_px(self) -> float:
        """Pixels per millimetre."""
        return self.transform().m11()

    @property
    def pixel_mm(self) -> float:
        """Millimetres per pixel."""
        return 1.0 / self.scale_px

    def fit(self) -> None:
        """Show the whole enclosure, with room for its dimensions and the scale bar."""
        view = QRectF(self.viewport().rect())
        share = min(1.0, view.width() / _AMPLE_PX, view.height() / _AMPLE_PX)  # a small view has less room to spare
        left, top, right, bottom = (share * each for each in _ROOM_PX)
        room = view.adjusted(left, top, -right, -bottom)
        if room.width() > 40 and room.height() > 40:
            scale = min(room.width() / self.enclosure.length_mm, room.height() / self.enclosure.width_mm)
            self._show(self._bounded(scale), self._box().center(), room.center())
        self.is_fitted = True

    def zoom_by(self, factor: float, about: QPointF | None = None) -> None:
        """Change the scale; the point of the scene at `about` (pixels of the view, or its middle) stays there."""
        pixel = about if about is not None else QRectF(self.viewport().rect()).center()
        self._show(self._bounded(self.scale_px * factor), self.to_point(pixel), pixel)
        self.is_fitted = False

    def pan(self, by: QPointF) -> None:
        """Move the sheet by pixels of the view."""
        self._show(self.scale_px, self.to_point(QPointF(0, 0)), by)
        self.is_fitted = False

    def to_point(self, pixel: QPointF) -> QPointF:
        """The point of the scene at a pixel of the view, fractions kept."""
        inverted, _ = self.viewportTransform().inverted()
        return inverted.map(pixel)

    def to_pixel(self, point: QPointF) -> QPointF:
        """The pixel of the view at a point of the scene."""
        return self.viewportTransform().map(point)

    def wheelEvent(self, event: QWheelEvent) -> None:
        turned = event.angleDelta().y() or event.angleDelta().x()
        self.zoom_by(_WHEEL_STEP ** (turned / _NOTCH), event.position())
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self.is_fitted:
            self.fit()

    def drawBackground(self, painter: QPainter, area: QRectF | QRect) -> None:
        painter.fillRect(area, self.theme.paper)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        paint_grid(painter, QRectF(area), self.scale_px, self.theme)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        if self.ground is not None:
            self.ground.paint(painter, self.scale_px)
        paint_room(painter, self.enclosure, self.theme)
        if self.ground is not None:
            self.ground.paint_above_walls(painter, self.scale_px)

    def paint_frame(self, painter: QPainter) -> None:
        """Dimensions and scale bar, in pixels of the view."""
        box = QRectF(self.to_pixel(self._box().topLeft()), self.to_pixel(self._box().bottomRight()))
        paint_dimensions(painter, box, self.enclosure, self.theme)
        corner, right = QPointF(_ROOM_PX[0], self.viewport().height() - 18.0), self.viewport().width() - 8.0
        self.height_words = paint_scale_bar(painter, corner, self.scale_px, self.enclosure, self.theme, right)

    def _box(self) -> QRectF:
        """The enclosure in the scene."""
        return QRectF(0.0, -self.enclosure.width_mm, self.enclosure.length_mm, self.enclosure.width_mm)

    def _bounded(self, scale: float) -> float:
        return min(_MOST_SCALE, max(_LEAST_SCALE, scale))

    def _show(self, scale: float, point: QPointF, pixel: QPointF) -> None:
        """Set the scale, and a point of the scene to a pixel of the view."""
        self.setTransform(QTransform.fromScale(scale, scale))
        away = self.to_pixel(point) - pixel
        for bar, distance in ((self.horizontalScrollBar(), away.x()), (self.verticalScrollBar(), away.y())):
            bar.setValue(bar.value() + round(distance))
        self.viewport().update()

"""A layout as a small picture: the plan's own drawing, without names."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPixmap

from app.plan.ground_paint import paint_room
from app.plan.scene import PlanScene
from app.theme import Theme
from loopsim.build import Build, Layout

__all__ = ["small_plan"]

_FINER = 2.0  # dots for each pixel: tubes stay smooth on every screen
_AROUND_MM = 12.0


def small_plan(build: Build, layout: Layout, size: QSize, theme: Theme) -> QPixmap:
    """The plan of a layout, as large as a size has room for."""
    scene = PlanScene(theme)
    scene.show_layout(build, layout)
    picture = QPixmap(size * _FINER)
    picture.setDevicePixelRatio(_FINER)
    picture.fill(Qt.GlobalColor.transparent)
    room = build.enclosure
    area = QRectF(0.0, -room.width_mm, room.length_mm, room.width_mm)
    for item in scene.parts.values():
        area = area.united(item.outline().boundingRect())
    area.adjust(-_AROUND_MM, -_AROUND_MM, _AROUND_MM, _AROUND_MM)
    scale = min(size.width() / area.width(), size.height() / area.height())
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(
        (size.width() - scale * area.width()) / 2 - scale * area.left(),
        (size.height() - scale * area.height()) / 2 - scale * area.top(),
    )
    painter.scale(scale, scale)
    paint_room(painter, room, theme)
    scene.render(painter, area, area, Qt.AspectRatioMode.IgnoreAspectRatio)
    painter.end()
    return picture

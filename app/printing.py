"""The plan at true size on paper: a PDF whose pages are laid edge to edge, with marks to join and a bar to check."""

import math
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter, QPen

from app.plan.ground_paint import paint_openings, paint_room, paint_spaces
from app.plan.scene import PlanScene
from app.theme import LIGHT, Type, font
from loopsim.build import Build, Layout
from loopsim.errors import FileError

__all__ = ["CHECK_MM", "Tile", "print_plan", "tiles"]

CHECK_MM = 100.0  # length of the bar by which a builder checks that the printer has kept the scale
_DOTS_PER_INCH = 144  # of the coordinates; lines of one dot stay visible, and places keep their fractions
_MM_PER_INCH = 25.4
_MARGIN_MM, _FOOT_MM = 10.0, 16.0  # not printed on; for title and check bar
_OVERLAP_MM = 10.0  # that two neighbours share
_AROUND_MM = 15.0  # of the drawing
_MARK_MM = 5.0


@dataclass(frozen=True)
class Tile:
    """What one page shows.

    Attributes
    ----------
    area : QRectF
        In the scene [mm].
    row, column : int
        From the upper left, from 1.
    rows, columns : int
    """

    area: QRectF
    row: int
    column: int
    rows: int
    columns: int


def tiles(area: QRectF, page_mm: QSizeF) -> list[Tile]:
    """Pages that cover an area, each overlapping its neighbours; `page_mm` is what one page has room for."""
    step = QSizeF(page_mm.width() - _OVERLAP_MM, page_mm.height() - _OVERLAP_MM)
    columns = max(1, math.ceil((area.width() - _OVERLAP_MM) / step.width()))
    rows = max(1, math.ceil((area.height() - _OVERLAP_MM) / step.height()))
    left = area.center().x() - (columns * step.width() + _OVERLAP_MM) / 2
    top = area.center().y() - (rows * step.height() + _OVERLAP_MM) / 2
    return [
        Tile(
            QRectF(QPointF(left + column * step.width(), top + row * step.height()), page_mm),
            row + 1, column + 1, rows, columns,
        )
        for row in range(rows)
        for column in range(columns)
    ]  # fmt: skip


def print_plan(build: Build, layout: Layout, path: Path, paper: QPageSize.PageSizeId = QPageSize.PageSizeId.A4) -> int:
    """Write the plan of a layout at true size; the number of pages.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    scene = PlanScene(LIGHT)
    scene.show_layout(build, layout)
    area = _area(scene, build)
    upright, pages = min(
        ((way, tiles(area, _room(paper, way))) for way in QPageLayout.Orientation), key=lambda each: len(each[1])
    )
    writer = QPdfWriter(str(path))
    writer.setResolution(_DOTS_PER_INCH)
    writer.setTitle(f"{build.name}, {layout.name}")
    writer.setPageLayout(
        QPageLayout(QPageSize(paper), upright, QMarginsF(*[_MARGIN_MM] * 4), QPageLayout.Unit.Millimeter)
    )
    painter = QPainter()
    if not painter.begin(writer):
        raise FileError(f"{path.name}: cannot be written; nothing was printed")
    for number, tile in enumerate(pages):
        if number:
            writer.newPage()
        _paint_page(painter, scene, build, layout, tile)
    painter.end()
    return len(pages)


def _room(paper: QPageSize.PageSizeId, way: QPageLayout.Orientation) -> QSizeF:
    """What one page has room for, above its foot [mm]."""
    size = QPageSize(paper).size(QPageSize.Unit.Millimeter)
    size = size if way == QPageLayout.Orientation.Portrait else size.transposed()
    return QSizeF(size.width() - 2 * _MARGIN_MM, size.height() - 2 * _MARGIN_MM - _FOOT_MM)


def _area(scene: PlanScene, build: Build) -> QRectF:
    """The enclosure, and what stands outside it."""
    area = QRectF(0.0, -build.enclosure.width_mm, build.enclosure.length_mm, build.enclosure.width_mm)
    for item in scene.parts.values():
        area = area.united(item.outline().boundingRect())
    return area.adjusted(-_AROUND_MM, -_AROUND_MM, _AROUND_MM, _AROUND_MM)


def _paint_page(painter: QPainter, scene: PlanScene, build: Build, layout: Layout, tile: Tile) -> None:
    dots = _DOTS_PER_INCH / _MM_PER_INCH
    painter.save()
    painter.scale(dots, dots)
    painter.save()
    painter.setClipRect(QRectF(QPointF(0, 0), tile.area.size()))
    painter.translate(-tile.area.topLeft())
    paint_spaces(painter, layout.reserved, build.enclosure, LIGHT, dots)
    paint_room(painter, build.enclosure, LIGHT)
    paint_openings(painter, build.enclosure, LIGHT, dots)
    painter.restore()
    painter.save()
    scene.render(painter, QRectF(QPointF(0, 0), tile.area.size()), tile.area, Qt.AspectRatioMode.IgnoreAspectRatio)
    painter.restore()
    _paint_names(painter, scene, tile, dots)
    _paint_marks(painter, tile)
    painter.restore()
    _paint_foot(painter, build, layout, tile, dots)


def _paint_names(painter: QPainter, scene: PlanScene, tile: Tile, dots: float) -> None:
    """A cross at the middle of each part, and its name in its upper left corner."""
    for item in scene.parts.values():
        box = item.outline().boundingRect().translated(-tile.area.topLeft())
        middle, corner = box.center(), box.topLeft() + QPointF(1.5, 4.0)
        painter.setPen(_line(0.15))
        if tile.area.contains(middle + tile.area.topLeft()):
            painter.drawLine(middle - QPointF(3, 0), middle + QPointF(3, 0))
            painter.drawLine(middle - QPointF(0, 3), middle + QPointF(0, 3))
        if tile.area.contains(corner + tile.area.topLeft()):
            _write(painter, corner, item.part.name, dots)


def _paint_marks(painter: QPainter, tile: Tile) -> None:
    """Where a neighbour's edge comes to lie: the pages are trimmed and joined at these corners."""
    size, half = tile.area.size(), _OVERLAP_MM / 2
    xs = [x for x, has in ((half, tile.column > 1), (size.width() - half, tile.column < tile.columns)) if has]
    ys = [y for y, has in ((half, tile.row > 1), (size.height() - half, tile.row < tile.rows)) if has]
    painter.setPen(_line(0.2))
    for x in xs:
        for y in (0.0, size.height() - _MARK_MM):
            painter.drawLine(QPointF(x, y), QPointF(x, y + _MARK_MM))
    for y in ys:
        for x in (0.0, size.width() - _MARK_MM):
            painter.drawLine(QPointF(x, y), QPointF(x + _MARK_MM, y))


def _paint_foot(painter: QPainter, build: Build, layout: Layout, tile: Tile, dots: float) -> None:
    """Check bar and title."""
    painter.save()
    painter.scale(dots, dots)
    top = tile.area.height() + _FOOT_MM / 2
    painter.setPen(_line(0.4))
    painter.drawLine(QPointF(0, top), QPointF(CHECK_MM, top))
    painter.setPen(_line(0.2))
    for x in range(0, int(CHECK_MM) + 1, 10):
        long = 2.5 if x in (0, int(CHECK_MM)) else 1.2
        painter.drawLine(QPointF(x, top - long), QPointF(x, top + long))
    _write(painter, QPointF(CHECK_MM + 4, top + 1.2), f"{CHECK_MM:g} mm: measure before you cut", dots)
    place = (
        f"row {tile.row} of {tile.rows}, column {tile.column} of {tile.columns}" if tile.rows * tile.columns > 1 else ""
    )
    words = "  ·  ".join(each for each in (build.name, layout.name, "1:1", place) if each)
    _write(painter, QPointF(0, top + 7.0), words, dots)
    painter.restore()


def _write(painter: QPainter, at: QPointF, text: str, dots: float) -> None:
    """Text is set in points, not millimetres."""
    painter.save()
    painter.translate(at)
    painter.scale(1.0 / dots, 1.0 / dots)
    painter.setFont(font(Type.SMALL))
    painter.setPen(LIGHT.ink)
    painter.drawText(QPointF(0, 0), text)
    painter.restore()


def _line(width_mm: float) -> QPen:
    return QPen(LIGHT.ink, width_mm)

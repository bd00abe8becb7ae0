"""The elevation strip: heights along the loop, because heights decide how it fills."""

from typing import NamedTuple

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.answer import Answer
from app.document import Document
from app.plan.walk import Stage, walk
from app.theme import Theme, Type, font

__all__ = ["ElevationStrip"]

_LEFT, _RIGHT, _TOP = 36.0, 72.0, 34.0
_ROW_PX = 14.0
_NAME_GAP_PX = 10.0
_NAMES_SHARE = 0.7  # of the width, at most, goes to the parts
_LINE_PX = 3.0
_REACH_PX = 2.0


class ElevationStrip(QWidget):
    """Heights of the coolant's way from the reservoir on, under the lid and against the liquid's level."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document, self.theme = document, theme
        self.stages: tuple[Stage, ...] = ()
        self._flows: dict[str, float] = {}
        self.setAccessibleName("Heights along the loop")
        self.setMinimumHeight(120)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        document.build_changed.connect(self._on_build_changed)
        document.layout_changed.connect(self._on_build_changed)
        document.selection_changed.connect(self.update)
        self._on_build_changed()

    def set_answer(self, answer: Answer | None) -> None:
        """Follow the flow of an answer."""
        point = answer.point if answer else None
        self._flows = {each.id: each.flow for each in point.parts} if point else {}
        self._on_build_changed()

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.theme = theme
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(640, 180)

    def _on_build_changed(self) -> None:
        self.stages = walk(self.document.build, self.document.layout, self._flows)
        self._ways = _ways(self.stages, _LEFT, self.width() - _RIGHT)
        self.update()

    @property
    def lid_mm(self) -> float:
        """Height under the lid."""
        return self.document.build.enclosure.clear_height_mm

    @property
    def level_mm(self) -> float | None:
        """Height of the first free surface above the floor, None if there is none."""
        build = self.document.build
        for part_id, placement in self.document.layout.placements.items():
            surface = build.part(part_id).surface_mm
            if surface is not None:
                return placement.height_mm + surface
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        x = event.position().x()
        for stage in self.stages:
            if self._x(stage.along[0]) - _REACH_PX <= x <= self._x(stage.along[-1]) + _REACH_PX:
                self.document.select((stage.id,))
                return
        self.document.select(())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._ways = _ways(self.stages, _LEFT, self.width() - _RIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), self.theme.paper)
        painter.setFont(font(Type.SMALL))
        painter.setPen(self.theme.soft_ink)
        painter.drawText(QPointF(_LEFT, 18.0), self._heading())
        self._paint_selection(painter)
        self._paint_bodies(painter)
        self._paint_limits(painter)
        self._paint_way(painter)
        self._paint_names(painter)

    def _heading(self) -> str:
        if len(self.stages) < 2:
            return "Heights along the loop: nothing is joined yet"
        return f"Heights along the loop in mm, from {self.stages[0].name} on"

    def _paint_selection(self, painter: QPainter) -> None:
        for stage in self._selected():
            painter.fillRect(self._column(stage).adjusted(-2, 0, 2, 0), self.theme.chosen)

    def _paint_bodies(self, painter: QPainter) -> None:
        """What room the parts take up between floor and lid."""
        painter.setPen(QPen(self.theme.rule, 1.0))
        painter.setBrush(self.theme.bench)
        for stage in self.stages:
            if stage.is_part:
                part, low = self.document.build.part(stage.id), self.document.layout.placement(stage.id).height_mm
                box = self._column(stage)
                box.setTop(self._y(low + part.height_mm))
                box.setBottom(self._y(low))
                painter.drawRect(box)

    def _paint_limits(self, painter: QPainter) -> None:
        """Lid, level and floor, each with its word at the right."""
        theme, level = self.theme, self.level_mm
        self._limit(painter, 0.0, "floor", QPen(theme.ink, 1.5), theme.soft_ink)
        self._limit(
            painter, self.lid_mm, f"lid {self.lid_mm:g}", QPen(theme.ink, 1.5, Qt.PenStyle.DashLine), theme.soft_ink
        )
        if level is not None:
            self._limit(
                painter, level, f"level {level:g}", QPen(theme.liquid, 1.2, Qt.PenStyle.DotLine), theme.liquid_text
            )

    def _limit(self, painter: QPainter, height_mm: float, text: str, line: QPen, colour: QColor) -> None:
        y = self._y(height_mm)
        painter.setPen(line)
        painter.drawLine(QPointF(_LEFT, y), QPointF(self.width() - _RIGHT, y))
        painter.setPen(colour)
        size = QFontMetricsF(painter.font())
        painter.drawText(QPointF(self.width() - _RIGHT + 8, self._text_y(height_mm) + size.ascent() / 2 - 1), text)

    def _text_y(self, height_mm: float) -> float:
        """Beside its line; the level's word gives way where the lid or the floor is too near."""
        y, room = self._y(height_mm), QFontMetricsF(font(Type.SMALL)).height()
        if height_mm in (0.0, self.lid_mm):
            return y
        lid, floor = self._y(self.lid_mm), self._y(0.0)
        if abs(y - lid) < room:
            return lid + room if y >= lid else lid - room
        return min(y, floor - room)

    def _paint_way(self, painter: QPainter) -> None:
        selected = {stage.id for stage in self._selected()}
        for stage in self.stages:
            line = QPolygonF([QPointF(self._x(x), self._y(z)) for x, z in zip(stage.along, stage.heights, strict=True)])
            width = _LINE_PX + 1.5 * (stage.id in selected)
            colour = QColor(self.theme.liquid)
            colour.setAlphaF(0.55 if stage.is_part and stage.id not in selected else 1.0)
            painter.setPen(
                QPen(colour, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
            )
            painter.drawPolyline(line)

    def _paint_names(self, painter: QPainter) -> None:
        """Names under the floor, each under its part, by turns in the rows that they need."""
        selected = {stage.id for stage in self._selected()}
        for number, stage in enumerate(stage for stage in self.stages if stage.is_part):
            painter.setFont(font(Type.SMALL, bold=stage.id in selected))
            width = QFontMetricsF(painter.font()).horizontalAdvance(stage.name)
            left = min(max(self._column(stage).center().x() - width / 2, 4.0), self.width() - width - 4.0)
            row = number % self._ways.rows
            painter.setPen(self.theme.ink if stage.id in selected else self.theme.soft_ink)
            painter.drawText(QPointF(left, self._y(0.0) + 16.0 + _ROW_PX * row), stage.name)

    def _selected(self) -> list[Stage]:
        return [stage for stage in self.stages if stage.id in self.document.selection]

    def _column(self, stage: Stage) -> QRectF:
        """A stage from the lid to the floor."""
        left, right = self._x(stage.along[0]), self._x(stage.along[-1])
        return QRectF(QPointF(left, _TOP), QPointF(right, self.height() - self._bottom))

    def _x(self, along_mm: float) -> float:
        return float(np.interp(along_mm, self._ways.along_mm, self._ways.x_px))

    def _y(self, height_mm: float) -> float:
        highest = max([self.lid_mm, self.level_mm or 0.0, *(z for stage in self.stages for z in stage.heights)])
        return self.height() - self._bottom - height_mm / highest * (self.height() - _TOP - self._bottom)

    @property
    def _bottom(self) -> float:
        return 12.0 + _ROW_PX * self._ways.rows


class _Ways(NamedTuple):
    """From ways along the loop to places across the strip, and the rows that the parts' names need."""

    along_mm: list[float]
    x_px: list[float]
    rows: int


def _ways(stages: tuple[Stage, ...], left: float, right: float) -> _Ways:
    """Give each part room for its name, in as few rows as will do; the tube runs share the rest by their length."""
    if not stages:
        return _Ways([0.0, 1.0], [left, right], 1)
    metrics = QFontMetricsF(font(Type.SMALL, bold=True))
    names = [metrics.horizontalAdvance(stage.name) + _NAME_GAP_PX if stage.is_part else 0.0 for stage in stages]
    rows = next((rows for rows in (1, 2) if sum(names) / rows < _NAMES_SHARE * (right - left)), 3)
    shrink = min(1.0, _NAMES_SHARE * (right - left) / (sum(names) / rows))
    lengths = [0.0 if stage.is_part else stage.along[-1] - stage.along[0] for stage in stages]
    per_mm = (right - left - shrink * sum(names) / rows) / (sum(lengths) or 1.0)
    widths = [shrink * name / rows + per_mm * length for name, length in zip(names, lengths, strict=True)]
    ends = [left, *(left + sum(widths[: number + 1]) for number in range(len(widths)))]
    return _Ways([0.0, *(stage.along[-1] for stage in stages)], ends, rows)

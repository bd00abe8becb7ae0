"""The elevation strip: heights along the loop, because heights decide how it fills."""

from bisect import bisect_right
from functools import cache, cached_property, lru_cache
from itertools import accumulate
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from app import figures
from app.answer import Answer
from app.document import Document
from app.fill.marks import Marks
from app.fill.quiet_marks import QuietMarks
from app.focus_mark import paint_focus_mark
from app.height_drags import HeightDrag, of_corner, of_level, of_lid, of_part
from app.height_view import HeightView
from app.strip_marks import paint_high_points, paint_levels, paint_liquid, paint_pockets
from app.theme import Theme, Type, font
from loopsim.studies.elevation import Elevation, Stage, elevation

__all__ = ["ElevationStrip"]

_ROW_PX, _FOOT_PX = 14.0, 12.0
_LEAST_PX = 48.0  # from lid to floor; in a lower strip there are fewer rows of names
_NAME_GAP_PX, _NAMES_APART_PX = 10.0, 4.0  # wished for, and the least
_NAMES_SHARE = 0.7  # of the width, at most, goes to the parts
_LINE_PX, _CHOSEN_PX = 3.0, 4.5
_FAINT = 0.55  # of the line through parts
_REACH_PX = 2.0
_HANDLE_PX = 6.0


class ElevationStrip(HeightView):
    """Heights of the coolant's way, from the reservoir or any other part on, under the lid and against the level."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(document, theme, "Heights along the loop", parent)
        self.begin: str | None = None  # the part with which the walk begins, if the builder has chosen one
        self._flows: dict[str, float] | None = None
        self.marks: Marks | None = None  # what the fill bench asks for
        self.high_points: Marks | None = None  # quiet marks, where it asks for nothing
        self.quiet = QuietMarks(self)
        self.quiet.changed.connect(self._on_high_points)
        document.build_changed.connect(self._on_build_changed)
        document.layout_changed.connect(self._on_build_changed)

    def set_answer(self, answer: Answer | None) -> None:
        """Follow the flow of an answer."""
        point = answer.point if answer else None
        self._flows = {each.id: each.flow for each in point.parts} if point else None
        self.quiet.follow(answer)
        self._on_build_changed()

    def let_go(self) -> None:
        """Work out nothing more: the window closes."""
        self.quiet.close()

    def _on_high_points(self, marks: Marks | None) -> None:
        self.high_points = marks
        self.update()

    def show_marks(self, marks: Marks | None) -> None:
        """Show high points, or what is liquid at one moment of the fill."""
        self.marks = marks
        self.update()

    def begin_with(self, part_id: str | None) -> None:
        """Begin the walk with another part; None: as usual, with the reservoir."""
        self.begin = part_id
        self._on_build_changed()

    @property
    def stages(self) -> tuple[Stage, ...]:
        """What the walk passes."""
        return self.walk.stages

    def _on_build_changed(self) -> None:
        """A build and its answer come one after the other: the walk is gone through when it is looked at."""
        for name in ("walk", "_ways", "_tallest_mm"):
            self.__dict__.pop(name, None)
        self.update()

    @cached_property
    def walk(self) -> Elevation:
        """The walk along the loop."""
        build, layout = self.document.build, self.document.layout
        begin = self.begin if self.begin in layout.placements else None
        return elevation(build, layout, begin, self._flows)

    @cached_property
    def _ways(self) -> "_Ways":
        most = int((self.height() - self.top - _FOOT_PX - _LEAST_PX) / _ROW_PX)
        return _ways(self.stages, self.left, self.width() - self.right, max(1, most))

    @cached_property
    def _tallest_mm(self) -> float:
        return max([self.lid_mm, self.level_mm or 0.0, *(stage.high_mm for stage in self.stages)])

    @property
    def lid_mm(self) -> float:
        """Height under the lid."""
        return self.walk.lid_mm

    @property
    def level_mm(self) -> float | None:
        """Height of the first free surface above the floor, None if there is none."""
        return self.walk.levels[0].height_mm if self.walk.levels else None

    def highest_mm(self) -> float:
        return self._tallest_mm

    def bottom(self) -> float:
        return _FOOT_PX + _ROW_PX * self._ways.rows

    def ids(self) -> list[str]:
        return [stage.id for stage in self.stages]

    def id_at(self, pixel: QPointF) -> str:
        for stage in self.stages:
            if self.x_of(stage.along_mm[0]) - _REACH_PX <= pixel.x() <= self.x_of(stage.along_mm[-1]) + _REACH_PX:
                return stage.id
        return ""

    def drag_at(self, pixel: QPointF) -> HeightDrag | None:
        """A corner first, then level and lid at their words, then the body of a part."""
        corner = self._corner_at(pixel)
        if corner is not None:
            return of_corner(self.document, *corner)
        if pixel.x() > self.width() - self.right:
            return self._limit_at(pixel)
        for stage in self.stages:
            if stage.is_part and self.body_of(stage).contains(pixel):
                return of_part(self.document, stage.id)
        return None

    def _corner_at(self, pixel: QPointF) -> tuple[str, int] | None:
        for stage in self.stages:
            for along, height, corner in zip(stage.along_mm, stage.heights_mm, stage.corners, strict=True):
                away = QPointF(self.x_of(along), self.y_of(height)) - pixel
                if corner is not None and away.manhattanLength() <= _HANDLE_PX + 2.0:
                    return stage.id, corner
        return None

    def _limit_at(self, pixel: QPointF) -> HeightDrag | None:
        if self.level_mm is not None and abs(pixel.y() - self._text_y(self.level_mm)) < _HANDLE_PX:
            return of_level(self.document, self.walk.levels[0].part)
        return of_lid(self.document) if abs(pixel.y() - self.y_of(self.lid_mm)) < _HANDLE_PX else None

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """On a part: begin with it; beside all parts: as usual."""
        found = self.id_at(event.position())
        self.begin_with(found if found in self.document.layout.placements else None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.__dict__.pop("_ways", None)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), self.theme.paper)
        self.paint_heading(painter, self.heading())
        self._paint_selection(painter)
        self._paint_bodies(painter)
        self._paint_limits(painter)
        self._paint_way(painter)
        self._paint_marks(painter)
        self._paint_names(painter)
        paint_focus_mark(painter, self)

    def heading(self) -> str:
        """What is shown, in words."""
        if len(self.stages) < 2:
            return "Heights along the loop: they show once tubes join the parts"
        words = f"Heights along the loop from {self.stages[0].name} on, {figures.label('mm')}"
        is_marked = self.marks is None and self.high_points is not None and any(self.high_points.pockets)
        return f"{words} · air: × stays, ? may stay" if is_marked else words

    def _paint_selection(self, painter: QPainter) -> None:
        for stage in self._selected():
            painter.fillRect(self.column_of(stage).adjusted(-2, 0, 2, 0), self.theme.chosen)

    def _paint_bodies(self, painter: QPainter) -> None:
        """What room the parts take up between floor and lid."""
        painter.setPen(QPen(self.theme.rule, 1.0))
        painter.setBrush(self.theme.bench)
        for stage in self.stages:
            if stage.is_part:
                painter.drawRect(self.body_of(stage))

    def body_of(self, stage: Stage) -> QRectF:
        """What a part takes up between floor and lid."""
        box = self.column_of(stage)
        box.setTop(self.y_of(stage.high_mm))
        box.setBottom(self.y_of(stage.low_mm))
        return box

    def _paint_limits(self, painter: QPainter) -> None:
        """Lid, level and floor, each with its word at the right."""
        theme, level = self.theme, self.level_mm
        self._limit(painter, 0.0, "floor", QPen(theme.ink, 1.5), theme.soft_ink)
        lid = f"lid {figures.bare_length(self.lid_mm)}"
        self._limit(painter, self.lid_mm, lid, QPen(theme.ink, 1.5, Qt.PenStyle.DashLine), theme.soft_ink)
        if level is not None:
            words = f"level {figures.bare_length(level)}"
            self._limit(painter, level, words, QPen(theme.liquid, 1.2, Qt.PenStyle.DotLine), theme.liquid_text)

    def _limit(self, painter: QPainter, height_mm: float, text: str, line: QPen, colour: QColor) -> None:
        self.limit(painter, height_mm, text, line, colour, self._text_y(height_mm))

    def _text_y(self, height_mm: float) -> float:
        """Beside its line; the level's word gives way where the lid or the floor is too near."""
        y, room = self.y_of(height_mm), QFontMetricsF(font(Type.SMALL)).height()
        if height_mm in (0.0, self.lid_mm):
            return y
        lid, floor = self.y_of(self.lid_mm), self.y_of(0.0)
        if abs(y - lid) < room:
            return lid + room if y >= lid else lid - room
        return min(y, floor - room)

    def _paint_way(self, painter: QPainter) -> None:
        liquid, chosen = self.theme.liquid.rgba(), self._selected()
        parts, runs = ([stage for stage in self.stages if stage.is_part is is_part] for is_part in (True, False))
        self._paint_lines(painter, parts, _line_pen(liquid, _LINE_PX, _FAINT, self.theme.bench.rgba()))
        self._paint_lines(painter, runs, _line_pen(liquid, _LINE_PX))
        self._paint_lines(painter, chosen, _line_pen(liquid, _CHOSEN_PX))
        for stage in chosen:
            self._paint_handles(painter, stage)

    def _paint_lines(self, painter: QPainter, stages: list[Stage], line: QPen) -> None:
        painter.setPen(line)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for stage in stages:
            first, *others = zip(map(self.x_of, stage.along_mm), map(self.y_of, stage.heights_mm), strict=True)
            way = QPainterPath(QPointF(*first))  # made in half the time of a polygon
            for x, y in others:
                way.lineTo(x, y)
            painter.drawPath(way)

    def _paint_marks(self, painter: QPainter) -> None:
        if self.marks is None:
            if self.high_points is not None:
                paint_high_points(painter, self, self.high_points)
            return
        if self.marks.moment is not None:
            paint_liquid(painter, self, self.marks.moment)
            paint_levels(painter, self, self.marks.moment)
        paint_pockets(painter, self, self.marks)

    def _paint_handles(self, painter: QPainter, stage: Stage) -> None:
        """Corners of a selected run, by which they are lifted."""
        painter.setPen(QPen(self.theme.liquid, 1.5))
        painter.setBrush(self.theme.paper)
        for along, height, corner in zip(stage.along_mm, stage.heights_mm, stage.corners, strict=True):
            if corner is not None:
                painter.drawEllipse(QPointF(self.x_of(along), self.y_of(height)), _HANDLE_PX / 2, _HANDLE_PX / 2)

    def _paint_names(self, painter: QPainter) -> None:
        """Names under the floor, each under its part, what is selected first; one that finds no room is left out."""
        selected, taken = {stage.id for stage in self._selected()}, [list[QRectF]() for _ in range(self._ways.rows)]
        parts = [stage for stage in self.stages if stage.is_part]
        by_turns = [(stage, number % self._ways.rows) for number, stage in enumerate(parts)]
        for stage, row in sorted(by_turns, key=lambda each: each[0].id not in selected):
            painter.setFont(font(Type.SMALL, bold=stage.id in selected))
            width = QFontMetricsF(painter.font()).horizontalAdvance(stage.name)
            left = min(max(self.column_of(stage).center().x() - width / 2, 4.0), self.width() - width - 4.0)
            box = QRectF(left, 0.0, width + _NAMES_APART_PX, 1.0)
            if not any(box.intersects(each) for each in taken[row]):
                taken[row].append(box)
                painter.setPen(self.theme.ink if stage.id in selected else self.theme.soft_ink)
                painter.drawText(QPointF(left, self.y_of(0.0) + 16.0 + _ROW_PX * row), stage.name)

    def _selected(self) -> list[Stage]:
        return [stage for stage in self.stages if stage.id in self.document.selection]

    def column_of(self, stage: Stage) -> QRectF:
        """A stage from the lid to the floor."""
        left, right = self.x_of(stage.along_mm[0]), self.x_of(stage.along_mm[-1])
        return QRectF(QPointF(left, self.top), QPointF(right, self.height() - self.bottom()))

    def x_of(self, along_mm: float) -> float:
        """Where a place along the walk is drawn [px]."""
        return self._ways.x_of(along_mm)


class _Ways(NamedTuple):
    """From ways along the loop to places across the strip, and the rows that the parts' names need."""

    along_mm: list[float]
    x_px: list[float]
    rows: int

    def x_of(self, along_mm: float) -> float:
        """Straight from each known place to the next. One at a time, where numpy would be slow."""
        last = min(max(1, bisect_right(self.along_mm, along_mm)), len(self.along_mm) - 1)
        (start, end), (left, right) = self.along_mm[last - 1 : last + 1], self.x_px[last - 1 : last + 1]
        return left + (right - left) * (along_mm - start) / ((end - start) or 1.0)


def _ways(stages: tuple[Stage, ...], left: float, right: float, most_rows: int) -> _Ways:
    """Give each part room for its name, in as few rows as will do; the tube runs share the rest by their length."""
    if not stages:
        return _Ways([0.0, 1.0], [left, right], 1)
    names = [_width(stage.name, True) + _NAME_GAP_PX if stage.is_part else 0.0 for stage in stages]
    rows = next((rows for rows in (1, 2) if sum(names) / rows < _NAMES_SHARE * (right - left)), 3)
    rows = min(rows, most_rows)
    shrink = min(1.0, _NAMES_SHARE * (right - left) / (sum(names) / rows))
    lengths = [0.0 if stage.is_part else stage.along_mm[-1] - stage.along_mm[0] for stage in stages]
    per_mm = (right - left - shrink * sum(names) / rows) / (sum(lengths) or 1.0)
    widths = [shrink * name / rows + per_mm * length for name, length in zip(names, lengths, strict=True)]
    return _Ways([0.0, *(stage.along_mm[-1] for stage in stages)], [*accumulate(widths, initial=left)], rows)


@lru_cache(maxsize=256)
def _width(name: str, bold: bool) -> float:
    return QFontMetricsF(font(Type.SMALL, bold)).horizontalAdvance(name)


@cache
def _line_pen(colour: int, width_px: float, strength: float = 1.0, ground: int = 0) -> QPen:
    """Of the line along the way; colours as QColor.rgba gives them.

    A weaker one is mixed with its ground: a line that lets something shine through takes Qt ten times as long.
    """
    over, under = QColor.fromRgba(colour).getRgbF()[:3], QColor.fromRgba(ground).getRgbF()[:3]
    mixed = QColor.fromRgbF(*(strength * a + (1.0 - strength) * b for a, b in zip(over, under, strict=True)))
    return QPen(mixed, width_px, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)

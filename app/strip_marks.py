"""Filling on the elevation strip: pockets at high and low points, and liquid at one moment of the plan."""

from typing import Protocol

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from app import figures
from app.fill.marks import ROLES, SIGNS, Marks, Moment, Pocket
from app.plan.air_marks import pattern
from app.plan.liquid_item import liquid_colour
from app.theme import Theme, Type, font
from loopsim.studies.elevation import Stage
from loopsim.units import from_si

__all__ = ["paint_high_points", "paint_levels", "paint_liquid", "paint_pockets"]

_LEAST_PX = 5.0  # height and width of the smallest pocket
_BAND_PX, _RIM_PX = 9.0, 2.4  # of a pocket in a run, and of its rim, both sides together
_WET_PX, _DRY_PX = 6.0, 3.5
_OLD = 0.45  # opacity of what belongs to an earlier sketch
_GAP_PX = 6.0  # between two words
_LEVEL_MM = 0.5  # places that differ by less stand level
_RING_PX = 6.0  # radius of a ring with a sign; half of it without
_ROWS = 3  # of words above a summit, and below it
_HEAD_PX, _CHOICE_PX = 20.0, 140.0  # height of the heading, width of the choice beside it


class Walked(Protocol):
    """The heights along a walk through the loop, as they are drawn."""

    stages: tuple[Stage, ...]
    theme: Theme
    left: float
    right: float
    top: float

    def width(self) -> int:
        """Of the whole drawing [px]."""

    def heading(self) -> str:
        """What stands over it."""

    def x_of(self, along: float) -> float:
        """Where a place along the walk is drawn [px]."""

    def y_of(self, height_mm: float) -> float:
        """Where a height is drawn [px]."""

    def column_of(self, stage: Stage) -> QRectF:
        """From where a stage begins to where it ends, over the whole height [px]."""

    def body_of(self, stage: Stage) -> QRectF:
        """The box of a part [px]."""


def paint_pockets(painter: QPainter, strip: Walked, marks: Marks) -> None:
    """Each pocket on the walk from its sill to its end, by its pattern, and words where there is something to heed."""
    stages = {stage.id: stage for stage in reversed(strip.stages)}
    painter.save()
    painter.setOpacity(_OLD if marks.is_old else 1.0)
    painter.setFont(font(Type.SMALL))
    taken = _head(strip, QFontMetricsF(painter.font()))
    for pocket in sorted(marks.pockets, key=lambda each: -each.volume):  # the small ones on top
        stage = stages.get(pocket.at.item)
        if stage is not None:
            paint = _paint_in_part if stage.is_part else _paint_along_run
            summit = paint(painter, strip, stage, pocket)
            if pocket.words:
                _paint_words(painter, strip, pocket, summit, taken)
    painter.restore()


def paint_high_points(painter: QPainter, strip: Walked, marks: Marks) -> None:
    """A quiet ring at each high point of the walk, with the sign of its verdict where there is something to heed.

    Necks under a cap are left out: air does no harm there.
    """
    necks = {point.at.place for point in marks.air.points if point.is_neck} if marks.air is not None else set()
    stages = {stage.id: stage for stage in reversed(strip.stages)}
    painter.save()
    painter.setOpacity(_OLD if marks.is_old else 1.0)
    painter.setFont(font(Type.SMALL))
    for pocket in marks.pockets:
        stage = stages.get(pocket.at.item)
        if stage is not None and pocket.at.place not in necks:
            _paint_ring(painter, strip, stage, pocket)
    painter.restore()


def _paint_ring(painter: QPainter, strip: Walked, stage: Stage, pocket: Pocket) -> None:
    along = strip.column_of(stage).center().x() if stage.is_part else strip.x_of(_crest(stage, 1.0)[0])
    box = QRectF(along - _RING_PX, strip.y_of(pocket.end_mm) - _RING_PX, 2 * _RING_PX, 2 * _RING_PX)
    colour, text = (getattr(strip.theme, f"{ROLES[pocket.kind]}{end}") for end in ("", "_text"))
    painter.setPen(QPen(colour, 1.2))
    painter.setBrush(strip.theme.paper)
    painter.drawEllipse(box if pocket.words else box.adjusted(_RING_PX / 2, _RING_PX / 2, -_RING_PX / 2, -_RING_PX / 2))
    if pocket.words:
        painter.setPen(text)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, SIGNS[pocket.kind])


def paint_liquid(painter: QPainter, strip: Walked, moment: Moment) -> None:
    """Parts filled by their share from the bottom, tubes hollow where they are dry and dark where liquid is."""
    colour = liquid_colour(strip.theme)
    for stage in strip.stages:
        if stage.is_part:
            _paint_part(painter, strip, stage, moment.share_of(stage.id), QColor(colour))
    for stage in strip.stages:
        if not stage.is_part:
            _paint_run(painter, strip, stage, moment, colour)


def paint_levels(painter: QPainter, strip: Walked, moment: Moment) -> None:
    """The levels as they stand at that moment, each with a word."""
    theme = strip.theme
    painter.setFont(font(Type.SMALL))
    first = {stage.id: stage for stage in reversed(strip.stages)}  # where the walk closes, a part stands twice
    for part_id, level in moment.snapshot.levels.items():
        stage = first.get(part_id)
        if stage is None:
            continue
        height = from_si(level, "mm")
        y, column = strip.y_of(height), strip.column_of(stage)
        painter.setPen(QPen(liquid_colour(theme), 2.0))
        painter.drawLine(QPointF(column.left(), y), QPointF(column.right(), y))
        painter.setPen(theme.liquid_text)
        painter.drawText(QPointF(column.left() + 3.0, y - 4.0), f"now {figures.number(level, 'mm')}")


def _paint_in_part(painter: QPainter, strip: Walked, stage: Stage, pocket: Pocket) -> QPointF:
    """From sill to end across the part; the middle of its upper edge."""
    column = strip.column_of(stage)
    sill_mm = min(pocket.sill_mm, stage.high_mm)  # over which liquid leaves may lie far above
    top, bottom = sorted((strip.y_of(pocket.end_mm), strip.y_of(sill_mm)))
    colour = getattr(strip.theme, ROLES[pocket.kind])
    painter.setPen(QPen(colour, 1.4, Qt.PenStyle.SolidLine if pocket.words else Qt.PenStyle.DotLine))
    box = QRectF(QPointF(column.left(), top), QPointF(column.right(), max(bottom, top + _LEAST_PX)))
    for brush in (QBrush(strip.theme.paper), pattern(pocket.kind, colour)):
        painter.setBrush(brush)
        painter.drawRect(box)
    return QPointF(box.center().x(), top)


def _paint_along_run(painter: QPainter, strip: Walked, stage: Stage, pocket: Pocket) -> QPointF:
    """A band along the way around the run's crest or bottom, up to the sill; the top of it."""
    places = _around(strip, stage, pocket)
    way = QPolygonF([QPointF(strip.x_of(along), strip.y_of(height)) for along, height in places])
    colour = getattr(strip.theme, ROLES[pocket.kind])
    strokes = [(QBrush(colour), _BAND_PX), (QBrush(strip.theme.paper), _BAND_PX - _RIM_PX)]
    strokes += [(pattern(pocket.kind, colour), _BAND_PX - _RIM_PX)] if pocket.words else []
    for brush, width in strokes:
        painter.setPen(QPen(brush, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.RoundJoin))
        painter.drawPolyline(way)
    return QPointF(strip.x_of(_crest(stage, _sign(pocket))[0]), way.boundingRect().top() - _BAND_PX / 2)


def _around(strip: Walked, stage: Stage, pocket: Pocket) -> list[tuple[float, float]]:
    """Places of the walk around a run's crest that lie above a sill; around its bottom, below it."""
    sign = _sign(pocket)
    crest, sill = _crest(stage, sign), sign * pocket.sill_mm
    way = [(x, sign * z) for each in strip.stages for x, z in zip(each.along_mm, each.heights_mm, strict=True)]
    before, after = [each for each in way if each[0] < crest[0]], [each for each in way if each[0] > crest[0]]
    found = [*reversed(_down_to(sill, crest, before[::-1])), crest, *_down_to(sill, crest, after)]
    return [(along, sign * height) for along, height in found]


def _sign(pocket: Pocket) -> float:
    """1 where air rises, -1 where liquid sinks."""
    return -1.0 if pocket.kind == "low" else 1.0


def _down_to(sill_mm: float, crest: tuple[float, float], way: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Places from a crest on, up to where the way falls below the sill."""
    found, last = [], crest
    for along, height in way:
        if height <= sill_mm:
            share = (last[1] - sill_mm) / (last[1] - height) if last[1] > height else 0.0
            return [*found, (last[0] + share * (along - last[0]), sill_mm)]
        last = (along, height)
        found.append(last)
    return [*found, (last[0], sill_mm)]


def _crest(stage: Stage, sign: float) -> tuple[float, float]:
    """Where a run is highest (with a minus, lowest), in the middle of what is level there; heights times the sign."""
    highest = max(sign * height for height in stage.heights_mm)
    places = zip(stage.along_mm, stage.heights_mm, strict=True)
    there = [along for along, height in places if sign * height >= highest - _LEVEL_MM]
    return (there[0] + there[-1]) / 2, highest


def _paint_words(painter: QPainter, strip: Walked, pocket: Pocket, summit: QPointF, taken: list[QRectF]) -> None:
    """Above the summit where there is room, row by row, else below it."""
    words, metrics = pocket.words, QFontMetricsF(painter.font())
    width, height = metrics.horizontalAdvance(words), metrics.height()
    left = min(max(summit.x() - width / 2, strip.left), strip.width() - strip.right - width)
    tops = [-(row + 1) * height - 2.0 for row in range(_ROWS)] + [_BAND_PX + row * height for row in range(_ROWS)]
    boxes = [QRectF(left, summit.y() + top, width, height) for top in tops]
    box = next((each for each in boxes if _is_free(each, taken)), boxes[-1])
    taken.append(box)
    painter.fillRect(box, strip.theme.paper)
    painter.setPen(getattr(strip.theme, f"{ROLES[pocket.kind]}_text"))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)


def _is_free(box: QRectF, taken: list[QRectF]) -> bool:
    return not any(box.adjusted(-_GAP_PX, 0, _GAP_PX, 0).intersects(each) for each in taken)


def _head(strip: Walked, metrics: QFontMetricsF) -> list[QRectF]:
    """Where the heading and the choice beside it stand."""
    heading = QRectF(strip.left, 0.0, metrics.horizontalAdvance(strip.heading()), _HEAD_PX)
    return [heading, QRectF(strip.width() - _CHOICE_PX, 0.0, _CHOICE_PX, strip.top)]


def _paint_part(painter: QPainter, strip: Walked, stage: Stage, share: float | None, colour: QColor) -> None:
    body = strip.body_of(stage)
    painter.fillRect(body, strip.theme.paper)
    painter.setPen(QPen(strip.theme.rule, 1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(body)
    if share:
        colour.setAlphaF(0.45)
        height = share * body.height()
        painter.fillRect(QRectF(body.left(), body.bottom() - height, body.width(), height), colour)


def _paint_run(painter: QPainter, strip: Walked, stage: Stage, moment: Moment, colour: QColor) -> None:
    points = zip(stage.along_mm, stage.heights_mm, strict=True)
    line = QPolygonF([QPointF(strip.x_of(along), strip.y_of(height)) for along, height in points])
    for ground, width in ((strip.theme.liquid, _WET_PX), (strip.theme.paper, _DRY_PX)):
        painter.setPen(_round(ground, width))
        painter.drawPolyline(line)
    painter.setPen(_round(colour, _WET_PX))
    for piece in moment.pieces(stage.id):
        ends = [(piece.begin, piece.first), (piece.end, piece.last)]
        painter.drawPolyline(
            QPolygonF([QPointF(strip.x_of(_along(stage, share)), strip.y_of(at.height_mm)) for share, at in ends])
        )


def _along(stage: Stage, share: float) -> float:
    """Place along the walk of a share of a run's way from its own start."""
    first, last = stage.along_mm[0], stage.along_mm[-1]
    return first + (1.0 - share if stage.backwards else share) * (last - first)


def _round(colour: QColor, width: float) -> QPen:
    return QPen(colour, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.RoundJoin)

"""The marks of what was found: one at each place, the most harmful there."""

from collections.abc import Iterator
from functools import lru_cache

from PySide6.QtCore import QPointF, QSizeF
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter

from app.plan.at_scale import AtScale, around
from app.plan.coordinates import to_scene
from app.plan.part_item import pen
from app.plan.pictures import copy_to, picture
from app.theme import Theme, Type, font
from loopsim.studies import Finding

__all__ = ["MARK_PX", "FoundMark", "found_marks", "mark_at", "paint_found_marks"]

MARK_PX = 7.0
_MIDDLE = QPointF(MARK_PX + 2.0, MARK_PX + 2.0)  # of the picture of a mark

FoundMark = tuple[QPointF, Finding]


def found_marks(seen: AtScale) -> Iterator[FoundMark]:
    """One mark for each place at which something was found, the most harmful there."""
    places: set[tuple[int, int]] = set()
    for finding in seen.scene.findings:
        point = _point_of(finding, seen)
        place = (round(point.x()), round(point.y())) if point is not None else None
        if place is not None and place not in places:
            places.add(place)
            yield point, finding


def mark_at(marks: list[FoundMark], point: QPointF) -> Finding | None:
    """The finding whose mark is at a place, in pixels from the scene's origin."""
    return next((finding for at, finding in marks if around(at, MARK_PX + 1.0).contains(point)), None)


def paint_found_marks(painter: QPainter, marks: list[FoundMark], theme: Theme) -> None:
    """A disc with a stroke and a dot."""
    disc = _disc(theme.amber.rgba(), theme.paper.rgba(), painter.device().devicePixelRatioF())
    for point, _ in marks:
        copy_to(painter, point - _MIDDLE, disc)


@lru_cache(maxsize=8)
def _disc(amber: int, paper: int, ratio: float) -> QImage:
    def draw(painter: QPainter) -> None:
        painter.setPen(pen(QColor.fromRgba(paper), 1.5))
        painter.setBrush(QColor.fromRgba(amber))
        painter.drawEllipse(_MIDDLE, MARK_PX, MARK_PX)
        painter.setFont(font(Type.SMALL, bold=True))
        metrics = QFontMetricsF(painter.font())
        aside = QPointF(-metrics.horizontalAdvance("!") / 2, (metrics.ascent() - metrics.descent()) / 2)
        painter.drawText(_MIDDLE + aside, "!")

    return picture(QSizeF(2 * _MIDDLE.x(), 2 * _MIDDLE.y()), ratio, draw)


def _point_of(finding: Finding, seen: AtScale) -> QPointF | None:
    if finding.at is not None:
        return to_scene(finding.at.x_mm, finding.at.y_mm) * seen.scale
    if finding.part in seen.scene.parts:
        return seen.box(finding.part).topRight()
    return seen.middle(finding.part) if finding.part in seen.scene.runs else None

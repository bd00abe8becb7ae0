"""High points on the plan: a bubble with a pattern at each, and words where air may stay."""

from collections.abc import Iterator

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter

from app.fill.marks import ROLES, Marks, air_words
from app.plan.coordinates import to_scene
from app.plan.labels import Line
from app.plan.part_item import pen
from app.theme import Theme
from loopsim.studies.fill import HighPoint
from loopsim.units import from_si

__all__ = ["BUBBLE_PX", "air_lines", "air_points", "liquid_lines", "paint_bubble", "pattern"]

BUBBLE_PX = 8.0
_SMALL_PX = 4.0  # where the flow clears it
_PATTERNS = {"stays": Qt.BrushStyle.DiagCrossPattern, "may clear": Qt.BrushStyle.BDiagPattern}
_OLD = 0.45  # opacity of what belongs to an earlier sketch
_LITTLE = 1e-6  # less air than this is a dot without words [m3]


def air_points(marks: Marks | None) -> Iterator[tuple[HighPoint, QPointF]]:
    """High points with their points of the scene."""
    for point in marks.air.points if marks is not None and marks.air is not None else ():
        yield point, to_scene(from_si(point.at.x, "mm"), from_si(point.at.y, "mm"))


def air_lines(marks: Marks | None, item: str) -> list[Line]:
    """What is said beside a part or run of the air in it."""
    points = [point for point, _ in air_points(marks) if point.at.item == item and point.gas > _LITTLE]
    return [Line(air_words(each), f"{ROLES[each.verdict]}_text") for each in points if each.verdict != "clears"]


def liquid_lines(marks: Marks | None, item: str) -> list[Line]:
    """How full a part is at the moment that is shown."""
    share = marks.moment.share_of(item) if marks is not None and marks.moment is not None else None
    if share is None:
        return []
    words = "full" if share > 0.995 else "dry" if share < 0.005 else f"{100 * share:.0f} % full"
    return [Line(words, "liquid_text" if share > 0.5 else "soft_ink")]


def pattern(verdict: str, colour: QColor) -> QBrush:
    """The pattern of a verdict: crossed where air stays, striped where it may clear, none where it clears."""
    return QBrush(colour, _PATTERNS.get(verdict, Qt.BrushStyle.NoBrush))


def paint_bubble(painter: QPainter, point: QPointF, verdict: str, theme: Theme, is_old: bool = False) -> None:
    """A ring on paper, filled with the verdict's pattern; small and open where the flow clears it."""
    colour = getattr(theme, ROLES[verdict])
    radius = BUBBLE_PX if verdict in _PATTERNS else _SMALL_PX
    painter.save()
    painter.setOpacity(_OLD if is_old else 1.0)
    painter.setPen(pen(colour, 1.8))
    for brush in (QBrush(theme.paper), pattern(verdict, colour)):
        painter.setBrush(brush)
        painter.drawEllipse(point, radius, radius)
    painter.restore()

"""High and low points on the plan: a bubble with a pattern at each, and words where air or liquid may stay."""

from collections.abc import Iterator

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter

from app.fill.marks import ROLES, Kind, Marks, Pocket
from app.plan.coordinates import to_scene
from app.plan.labels import Line
from app.plan.part_item import pen
from app.theme import Theme
from loopsim.units import from_si

__all__ = ["BUBBLE_PX", "liquid_lines", "paint_bubble", "pattern", "pocket_line", "pocket_lines", "pockets_at"]

BUBBLE_PX = 8.0
_SMALL_PX = 4.0  # where there is nothing to heed
_PATTERNS: dict[Kind, Qt.BrushStyle] = {
    "stays": Qt.BrushStyle.DiagCrossPattern,
    "may clear": Qt.BrushStyle.BDiagPattern,
    "low": Qt.BrushStyle.HorPattern,
}
_OLD = 0.45  # opacity of what belongs to an earlier sketch


def pockets_at(marks: Marks | None) -> Iterator[tuple[Pocket, QPointF]]:
    """High or low points with their points of the scene."""
    for pocket in marks.pockets if marks is not None else ():
        yield pocket, to_scene(from_si(pocket.at.x, "mm"), from_si(pocket.at.y, "mm"))


def pocket_line(pocket: Pocket) -> Line:
    """What is said beside a pocket."""
    return Line(pocket.words, f"{ROLES[pocket.kind]}_text")


def pocket_lines(marks: Marks | None, part_id: str) -> list[Line]:
    """What is said beside a part of the pockets in it."""
    inside = (each for each in (marks.pockets if marks is not None else ()) if each.at.item == part_id)
    return [pocket_line(each) for each in inside if each.words]


def liquid_lines(marks: Marks | None, item: str) -> list[Line]:
    """How full a part is at the moment that is shown."""
    share = marks.moment.share_of(item) if marks is not None and marks.moment is not None else None
    if share is None:
        return []
    words = "full" if share > 0.995 else "dry" if share < 0.005 else f"{100 * share:.0f} % full"
    return [Line(words, "liquid_text" if share > 0.5 else "soft_ink")]


def pattern(kind: Kind, colour: QColor) -> QBrush:
    """Crossed where air stays, striped where it may clear, level lines where liquid stays, none where air clears."""
    return QBrush(colour, _PATTERNS.get(kind, Qt.BrushStyle.NoBrush))


def paint_bubble(painter: QPainter, point: QPointF, pocket: Pocket, theme: Theme, is_old: bool = False) -> None:
    """A ring on paper, filled with the pocket's pattern; a small one where there is nothing to heed."""
    colour = getattr(theme, ROLES[pocket.kind])
    radius = BUBBLE_PX if pocket.words else _SMALL_PX
    painter.save()
    painter.setOpacity(_OLD if is_old else 1.0)
    painter.setPen(pen(colour, 1.8))
    for brush in (QBrush(theme.paper), pattern(pocket.kind, colour)):
        painter.setBrush(brush)
        painter.drawEllipse(point, radius, radius)
    painter.restore()

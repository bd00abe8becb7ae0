"""Names of the parts on the grade line: beside their piece of it, never on one another."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF

from app import label_places
from app.grade_axes import GradeAxes
from app.theme import Type, font
from loopsim.studies import GradeLine, GradeStep

__all__ = ["Name", "place_names"]

_LONGEST_PX = 120.0
_FAR_PX = 16.0  # a name further from its piece of the line is led to it


@dataclass(frozen=True)
class Name:
    """A name where it stands; `leader` are the ends of a line to what it names, where that is not near."""

    id: str
    text: str
    box: QRectF
    leader: tuple[QPointF, QPointF] | None


def place_names(line: GradeLine, axes: GradeAxes, chosen: frozenset[str]) -> list[Name]:
    """The selected part's name first, then in the order of the flow; one that finds no free place is left out."""
    parts = [step for step in line.steps if step.kind != "tube_run"]
    parts.sort(key=lambda step: step.id not in chosen)
    metrics = QFontMetricsF(font(Type.SMALL, bold=True))
    texts = [metrics.elidedText(step.name, Qt.TextElideMode.ElideMiddle, _LONGEST_PX) for step in parts]
    spots = [_middle(step, axes) for step in parts]
    wanted = []
    for text, (x, y) in zip(texts, spots, strict=True):
        width, height = metrics.horizontalAdvance(text) + 6, metrics.height()
        wanted.append(label_places.Wanted(width, height, list(_corners(x, y, width, height))))
    curves = [axes.points(line.distance, head) for head in (line.piezometric_head, line.elevation)]
    within = label_places.Box(axes.left, axes.top, axes.right - axes.left, axes.bottom - axes.top)
    boxes = label_places.place(wanted, curves, within)
    return list(_free(parts, texts, spots, boxes))


def _free(
    parts: list[GradeStep], texts: list[str], spots: list[tuple[float, float]], boxes: list[label_places.Box]
) -> Iterator[Name]:
    """The names that cover none before them."""
    taken: list[label_places.Box] = []
    for step, text, spot, box in zip(parts, texts, spots, boxes, strict=True):
        if all(box.overlap(other) == 0 for other in taken):
            taken.append(box)
            rect = QRectF(box.left, box.top, box.width, box.height)
            yield Name(step.id, text, rect, _leader(rect, QPointF(*spot)))


def _leader(box: QRectF, spot: QPointF) -> tuple[QPointF, QPointF] | None:
    x = min(max(spot.x(), box.left()), box.right())
    y = min(max(spot.y(), box.top()), box.bottom())
    near = QPointF(x, y)
    away = near - spot
    return (near, spot) if np.hypot(away.x(), away.y()) > _FAR_PX else None


def _middle(step: GradeStep, axes: GradeAxes) -> tuple[float, float]:
    """Middle of a part's piece of the static line."""
    x, y = axes.points(step.distance[[0, -1]], step.piezometric_head[[0, -1]]).mean(axis=0)
    return float(x), float(y)


def _corners(x: float, y: float, width: float, height: float) -> Iterator[tuple[float, float]]:
    """Upper left corners around a point, the nearest first."""
    for away in (6.0, 22.0, 40.0, 62.0, 90.0):
        yield x + away, y - height / 2 - away / 2
        yield x - width / 2, y - height - away
        yield x - away - width, y - height / 2 - away / 2
        yield x - width / 2, y + away
        yield x + away, y + away / 2
        yield x - away - width, y + away / 2

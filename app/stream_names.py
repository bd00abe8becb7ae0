"""Names of the parts along a stream: beside their piece of the plot, never on one another."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF

from app import label_places
from app.theme import Type, font

__all__ = ["Name", "Named", "place_names"]

_LONGEST_PX = 120.0
_FAR_PX = 16.0  # a name further from its piece of the line is led to it


class Named(NamedTuple):
    """What is to be named, and where its piece of the plot has its middle [px]."""

    id: str
    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Name:
    """A name where it stands; `leader` are the ends of a line to what it names, where that is not near."""

    id: str
    text: str
    box: QRectF
    leader: tuple[QPointF, QPointF] | None


def place_names(
    pieces: Sequence[Named],
    curves: Sequence[NDArray[np.float64]],
    within: QRectF,
    chosen: frozenset[str],
    longest_px: float = _LONGEST_PX,
) -> list[Name]:
    """The selected part's name first, then in the order of the flow; one that finds no free place is left out.

    `curves`, shape (n, 2) each [px], are kept free where that is possible; longer names are cut in their middle.
    """
    pieces = sorted(pieces, key=lambda piece: piece.id not in chosen)
    metrics = QFontMetricsF(font(Type.SMALL, bold=True))
    texts = [metrics.elidedText(piece.name, Qt.TextElideMode.ElideMiddle, longest_px) for piece in pieces]
    wanted = []
    for text, piece in zip(texts, pieces, strict=True):
        width, height = metrics.horizontalAdvance(text) + 6, metrics.height()
        wanted.append(label_places.Wanted(width, height, list(_corners(piece.x, piece.y, width, height))))
    inside = label_places.Box(within.left(), within.top(), within.width(), within.height())
    return list(_free(pieces, texts, label_places.place(wanted, curves, inside)))


def _free(pieces: Sequence[Named], texts: Sequence[str], boxes: Sequence[label_places.Box]) -> Iterator[Name]:
    """The names that cover none before them."""
    taken: list[label_places.Box] = []
    for piece, text, box in zip(pieces, texts, boxes, strict=True):
        if all(box.overlap(other) == 0 for other in taken):
            taken.append(box)
            rect = QRectF(box.left, box.top, box.width, box.height)
            yield Name(piece.id, text, rect, _leader(rect, QPointF(piece.x, piece.y)))


def _leader(box: QRectF, spot: QPointF) -> tuple[QPointF, QPointF] | None:
    x = min(max(spot.x(), box.left()), box.right())
    y = min(max(spot.y(), box.top()), box.bottom())
    near = QPointF(x, y)
    away = near - spot
    return (near, spot) if np.hypot(away.x(), away.y()) > _FAR_PX else None


def _corners(x: float, y: float, width: float, height: float) -> Iterator[tuple[float, float]]:
    """Upper left corners around a point, the nearest first."""
    for away in (6.0, 22.0, 40.0, 62.0, 90.0):
        yield x + away, y - height / 2 - away / 2
        yield x - width / 2, y - height - away
        yield x - away - width, y - height / 2 - away / 2
        yield x - width / 2, y + away
        yield x + away, y + away / 2
        yield x - away - width, y + away / 2

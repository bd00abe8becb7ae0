"""Where names and marks go: beside what they name, clear of parts and of each other.

Everything here is in pixels of the screen, measured from the scene's origin, so that panning moves nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF, QSizeF

__all__ = ["Label", "Line", "Obstacles", "place_labels"]

_GAPS = (7.0, 23.0)
_PART, _LABEL, _WALL, _TUBE, _OUTSIDE, _RANK, _KEPT = 8.0, 12.0, 3.0, 6.0, 4.0, 0.03, 0.2
_SQUEEZED = 0.12  # share of a label that lies under others or on parts


@dataclass(frozen=True)
class Line:
    """One line of a label: its words, and the theme's role of their colour."""

    text: str
    role: str = "ink"


@dataclass
class Label:
    """Words that belong to a place.

    Attributes
    ----------
    key : str
        Of what it names; a label that fits keeps its side from one drawing to the next.
    lines : tuple of Line
    size : QSizeF
        Of all lines together.
    beside : QRectF
        What it names.
    box : QRectF
        Where it was put.
    on_tube : bool
        True where a tube runs behind it.
    is_squeezed : bool
        True where it found no free place.
    """

    key: str
    lines: tuple[Line, ...]
    size: QSizeF
    beside: QRectF
    box: QRectF = field(default_factory=QRectF)
    on_tube: bool = False
    is_squeezed: bool = False


@dataclass(frozen=True)
class Obstacles:
    """Rectangles to keep clear of, by how much they matter."""

    parts: Sequence[QRectF] = ()
    walls: Sequence[QRectF] = ()
    tubes: Sequence[QRectF] = ()
    inside: QRectF = field(default_factory=QRectF)  # where words are best kept


def place_labels(labels: Sequence[Label], obstacles: Obstacles, sides: dict[str, int]) -> None:
    """Give every label the best of the places around what it names; earlier labels choose first.

    `sides` remembers the choices for the next time.
    """
    if not labels:
        return
    choices = _choices(labels)
    areas = np.array([max(1.0, label.size.width() * label.size.height()) for label in labels])
    shares = {
        weight: _overlap(choices, _boxes(rects)) / areas[:, None]
        for weight, rects in ((_PART, obstacles.parts), (_WALL, obstacles.walls), (_TUBE, obstacles.tubes))
    }
    costs = sum(weight * share for weight, share in shares.items()) + _RANK * np.arange(choices.shape[1])
    costs += _OUTSIDE * (1.0 - _overlap(choices, _boxes([obstacles.inside])) / areas[:, None])
    taken = np.empty((0, 4))
    for number, label in enumerate(labels):
        crowd = _overlap(choices[number], taken) / areas[number]
        cost = costs[number] + _LABEL * crowd
        if label.key in sides:
            cost[sides[label.key]] -= _KEPT
        best = sides[label.key] = int(np.argmin(cost))
        left, top, right, bottom = map(float, choices[number, best])
        label.box = QRectF(left, top, right - left, bottom - top)
        label.on_tube = bool(shares[_TUBE][number, best] > 0)
        label.is_squeezed = bool(crowd[best] + shares[_PART][number, best] > _SQUEEZED)
        taken = np.vstack((taken, choices[number, best]))


def _choices(labels: Sequence[Label]) -> NDArray[np.float64]:
    """Boxes around what each label names, the usual ones first, then the same a line further out.

    Shape (labels, choices, 4): left, top, right, bottom.
    """
    beside = _boxes([label.beside for label in labels])
    size = np.array([(label.size.width(), label.size.height()) for label in labels])
    corners = np.concatenate([_ring(beside, size, gap) for gap in _GAPS], axis=1)
    return np.concatenate((corners, corners + size[:, None, :]), axis=2)


def _ring(beside: NDArray[np.float64], size: NDArray[np.float64], gap: float) -> NDArray[np.float64]:
    """Upper left corners of boxes around others, shape (labels, 16, 2)."""
    (start, top, end, bottom), (w, h) = beside.T, size.T
    above, below, left, right = top - gap - h, bottom + gap, start - gap - w, end + gap
    x, y, last, low = (start + end - w) / 2, (top + bottom - h) / 2, end - w, bottom - h
    places = (
        (x, above), (x, below), (right, y), (left, y),
        (start, above), (last, above), (start, below), (last, below),
        (right, top), (right, low), (left, top), (left, low),
        (right, above), (right, below), (left, above), (left, below),
    )  # fmt: skip
    return np.moveaxis(np.array(places), (0, 1, 2), (1, 2, 0))


def _boxes(rects: Sequence[QRectF]) -> NDArray[np.float64]:
    """Left, top, right, bottom of each, shape (n, 4)."""
    return np.array([rect.getCoords() for rect in rects], dtype=float).reshape(-1, 4)


def _overlap(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """Area that each of the boxes `one`, shape (..., 4), shares with all of `other`, shape (m, 4)."""
    a, b = one[..., None, :], other
    wide = np.minimum(a[..., 2], b[:, 2]) - np.maximum(a[..., 0], b[:, 0])
    high = np.minimum(a[..., 3], b[:, 3]) - np.maximum(a[..., 1], b[:, 1])
    return (wide.clip(0.0) * high.clip(0.0)).sum(axis=-1)

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
_PART, _LABEL, _WALL, _TUBE, _OUTSIDE, _RANK, _KEPT = 8.0, 12.0, 3.0, 6.0, 7.0, 0.03, 0.2
_STRAY = 2.0  # for a label that is nearer to another part than to its own
_APART = np.array([-5.0, 0.0, 5.0, 0.0])  # two labels in one line must not read as one
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
    is_far : bool
        True where it found none close by.
    """

    key: str
    lines: tuple[Line, ...]
    size: QSizeF
    beside: QRectF
    box: QRectF = field(default_factory=QRectF)
    on_tube: bool = False
    is_squeezed: bool = False
    is_far: bool = False

    @property
    def is_at_ease(self) -> bool:
        """True if nobody has to look twice to see what it names."""
        return not (self.is_squeezed or self.is_far or self.on_tube)


@dataclass(frozen=True)
class Obstacles:
    """Rectangles to keep clear of, by how much they matter."""

    parts: Sequence[QRectF] = ()
    walls: Sequence[QRectF] = ()
    tubes: Sequence[QRectF] = ()
    inside: QRectF = field(default_factory=QRectF)  # where words are best kept
    bodies: Sequence[QRectF] = ()  # of parts: a label keeps nearer to its own than to any other


def place_labels(
    labels: Sequence[Label], obstacles: Obstacles, sides: dict[str, int], placed: Sequence[Label] = ()
) -> None:
    """Give every label the best of the places around what it names; earlier labels choose first.

    `sides` remembers the choices for the next time; those `placed` already stay where they are.
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
    strays = _strays(choices, _boxes([label.beside for label in labels]), _boxes(obstacles.bodies))
    costs += _STRAY * strays
    taken = _boxes([label.box for label in placed])
    for number, label in enumerate(labels):
        crowd = _overlap(choices[number], taken) / areas[number]
        cost = costs[number] + _LABEL * crowd
        if label.key in sides:
            cost[sides[label.key]] -= _KEPT
        best = sides[label.key] = int(np.argmin(cost))
        left, top, right, bottom = map(float, choices[number, best])
        label.box = QRectF(left, top, right - left, bottom - top)
        label.on_tube = bool(shares[_TUBE][number, best] > 0)
        covered = crowd[best] + shares[_PART][number, best]
        label.is_squeezed = bool(covered > _SQUEEZED)
        label.is_far = best >= choices.shape[1] // len(_GAPS)
        taken = np.vstack((taken, choices[number, best] + _APART))


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


def _strays(choices: NDArray[np.float64], own: NDArray[np.float64], bodies: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which choices lie nearer to another body than to what they name, shape (labels, choices)."""
    within = ((bodies[None, :, :2] >= own[:, None, :2] - 1) & (bodies[None, :, 2:] <= own[:, None, 2:] + 1)).all(
        axis=-1
    )
    away = _gaps(choices, bodies)
    away[np.broadcast_to(within[:, None, :], away.shape)] = np.inf
    to_own = np.diagonal(_gaps(choices, own), axis1=0, axis2=2).T
    return away.min(axis=-1, initial=np.inf) < to_own


def _gaps(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """Distance from each of the boxes `one`, shape (n, k, 4), to each of `other`, shape (m, 4): shape (n, k, m)."""
    a = one[..., None, :]
    wide = np.maximum(other[:, 0] - a[..., 2], a[..., 0] - other[:, 2]).clip(0.0)
    high = np.maximum(other[:, 1] - a[..., 3], a[..., 1] - other[:, 3]).clip(0.0)
    return np.hypot(wide, high)


def _boxes(rects: Sequence[QRectF]) -> NDArray[np.float64]:
    """Left, top, right, bottom of each, shape (n, 4)."""
    return np.array([rect.getCoords() for rect in rects], dtype=float).reshape(-1, 4)


def _overlap(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """Area that each of the boxes `one`, shape (..., 4), shares with all of `other`, shape (m, 4)."""
    a, b = one[..., None, :], other
    wide = np.minimum(a[..., 2], b[:, 2]) - np.maximum(a[..., 0], b[:, 0])
    high = np.minimum(a[..., 3], b[:, 3]) - np.maximum(a[..., 1], b[:, 1])
    return (wide.clip(0.0) * high.clip(0.0)).sum(axis=-1)

"""Where names and marks go: beside what they name, clear of parts and of each other.

Everything here is in pixels of the screen, measured from the scene's origin, so that panning moves nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QRectF, QSizeF

__all__ = ["Label", "Line", "Obstacles", "Stand", "keep_labels", "place_labels"]

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


class Stand(NamedTuple):
    """How a label stands: the number of its place around what it names, and what it found there."""

    place: int
    on_tube: bool
    is_squeezed: bool
    is_stray: bool


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
    is_stray : bool
        True where it stands nearer to another part than to its own.
    """

    key: str
    lines: tuple[Line, ...]
    size: QSizeF
    beside: QRectF
    box: QRectF = field(default_factory=QRectF)
    on_tube: bool = False
    is_squeezed: bool = False
    is_far: bool = False
    is_stray: bool = False

    def stand(self, places: NDArray[np.float64], stand: Stand) -> None:
        """Take one of the places around what it names."""
        left, top, right, bottom = map(float, places[stand.place])
        self.box = QRectF(left, top, right - left, bottom - top)
        self.is_far = stand.place >= len(places) // len(_GAPS)
        self.on_tube, self.is_squeezed, self.is_stray = stand.on_tube, stand.is_squeezed, stand.is_stray

    @property
    def is_led(self) -> bool:
        """True if a line has to say what it names."""
        return self.is_far or self.is_stray

    @property
    def leader(self) -> QLineF:
        """From the nearest point of what it names to itself."""
        near, ours = self.beside, self.box
        x, y = (
            _between(near.left(), near.right(), ours.left(), ours.right()),
            _between(near.top(), near.bottom(), ours.top(), ours.bottom()),
        )
        return QLineF(x[0], y[0], x[1], y[1])

    @property
    def is_at_ease(self) -> bool:
        """True if nobody has to look twice to see what it names."""
        return not (self.is_squeezed or self.is_far or self.on_tube)


def _between(start: float, end: float, other_start: float, other_end: float) -> tuple[float, float]:
    """Where two stretches of one axis come nearest to each other: a point on each, the same where they overlap."""
    if other_start > end:
        return end, other_start
    if other_end < start:
        return start, other_end
    middle = (max(start, other_start) + min(end, other_end)) / 2
    return middle, middle


@dataclass(frozen=True)
class Obstacles:
    """Rectangles to keep clear of, by how much they matter."""

    parts: Sequence[QRectF] = ()
    walls: Sequence[QRectF] = ()
    tubes: Sequence[QRectF] = ()
    inside: QRectF = field(default_factory=QRectF)  # where words are best kept
    bodies: Sequence[QRectF] = ()  # of parts: a label keeps nearer to its own than to any other


def keep_labels(labels: Sequence[Label], stands: Mapping[str, Stand]) -> list[Label]:
    """Let every label stand as it last did beside what it names; those that are new are returned, without a place."""
    known = [label for label in labels if label.key in stands]
    for label, places in zip(known, _choices(known) if known else (), strict=True):
        label.stand(places, stands[label.key])
    return [label for label in labels if label.key not in stands]


def place_labels(
    labels: Sequence[Label], obstacles: Obstacles, stands: dict[str, Stand], placed: Sequence[Label] = ()
) -> None:
    """Give every label the best of the places around what it names; earlier labels choose first.

    `stands` remembers the choices for the next time; those `placed` already stay where they are.
    """
    if not labels:
        return
    choices, boxes = _choices(labels), _weighed(obstacles)
    bodies, owns = _boxes(obstacles.bodies), _boxes([label.beside for label in labels])
    areas = np.array([max(1.0, label.size.width() * label.size.height()) for label in labels])
    usual = _RANK * np.arange(choices.shape[1]) + _OUTSIDE * (1.0 - _inside(choices, obstacles.inside) / areas[:, None])
    low, high = choices[..., :2].min(axis=1), choices[..., 2:].max(axis=1)
    near, rivals = _near(boxes, low, high), _near(bodies, low - _GAPS[-1], high + _GAPS[-1])
    taken = np.concatenate((_boxes([label.box for label in placed]), np.full((len(labels), 4), np.inf)))
    for here, (label, places) in enumerate(zip(labels, choices, strict=True)):
        (crowd,) = _near(taken[: len(placed) + here], low[here : here + 1], high[here : here + 1])
        around = places, usual[here], owns[here], boxes[near[here]], bodies[rivals[here]], taken[crowd]
        before = stands[label.key].place if label.key in stands else -1
        stand = _best(*(each.tobytes() for each in around), float(areas[here]), before)
        label.stand(places, stand)
        stands[label.key] = stand
        taken[len(placed) + here] = places[stand.place] + _APART


@lru_cache(maxsize=4096)
def _best(
    places: bytes, usual: bytes, own: bytes, near: bytes, bodies: bytes, taken: bytes, area: float, before: int
) -> Stand:
    """The best of some places; the one `before`, if it is none too bad.

    The arrays are given as bytes so that a choice can be remembered: in a drag most names have the same around them.
    """
    at, obstacles = np.frombuffer(places).reshape(-1, 4), np.frombuffer(near).reshape(-1, 5)
    shares, weights = _overlaps(at, obstacles[:, :4]) / area, obstacles[:, 4]
    crowd = _overlaps(at, np.frombuffer(taken).reshape(-1, 4)).sum(axis=-1) / area
    cost = np.frombuffer(usual) + shares @ weights + _LABEL * crowd
    strays = _strays(at, np.frombuffer(own), np.frombuffer(bodies).reshape(-1, 4))
    cost += _STRAY * strays
    if before >= 0:
        cost[before] -= _KEPT
    best = int(np.argmin(cost))
    is_squeezed = crowd[best] + shares[best, weights == _PART].sum() > _SQUEEZED
    on_tube = (shares[best, weights == _TUBE] > 0).any()
    return Stand(best, bool(on_tube), bool(is_squeezed), bool(strays[best]))


def _weighed(obstacles: Obstacles) -> NDArray[np.float64]:
    """Parts, walls and tubes in one array, shape (n, 5): the last column is how much each matters."""
    kinds = ((_PART, obstacles.parts), (_WALL, obstacles.walls), (_TUBE, obstacles.tubes))
    return np.concatenate([np.insert(_boxes(rects), 4, weight, axis=1) for weight, rects in kinds])


def _near(boxes: NDArray[np.float64], low: NDArray[np.float64], high: NDArray[np.float64]) -> list[NDArray[np.intp]]:
    """For each area from `low` to `high`, shape (k, 2), which boxes reach into it; of many obstacles few do."""
    is_near = (boxes[:, 0] < high[:, :1]) & (boxes[:, 1] < high[:, 1:])
    is_near &= (boxes[:, 2] > low[:, :1]) & (boxes[:, 3] > low[:, 1:])
    return [np.flatnonzero(each) for each in is_near]


def _inside(choices: NDArray[np.float64], room: QRectF) -> NDArray[np.float64]:
    """Area of each place that lies in a room, shape (labels, choices)."""
    return _overlaps(choices.reshape(-1, 4), _boxes([room])).reshape(choices.shape[:2])


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


def _strays(places: NDArray[np.float64], own: NDArray[np.float64], bodies: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which places, shape (k, 4), lie nearer to another body than to what is named there."""
    within = ((bodies[:, :2] >= own[:2] - 1.0) & (bodies[:, 2:] <= own[2:] + 1.0)).all(axis=1)
    return _gaps(places, bodies[~within]).min(axis=-1, initial=np.inf) < _gaps(places, own[None])[:, 0]


def _gaps(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """Distance from each of the boxes `one`, shape (k, 4), to each of `other`, shape (m, 4): shape (k, m)."""
    a = one[:, None, :]
    wide = np.maximum(other[:, 0] - a[..., 2], a[..., 0] - other[:, 2])
    high = np.maximum(other[:, 1] - a[..., 3], a[..., 1] - other[:, 3])
    return np.hypot(np.maximum(wide, 0.0), np.maximum(high, 0.0))


def _boxes(rects: Sequence[QRectF]) -> NDArray[np.float64]:
    """Left, top, right, bottom of each, shape (n, 4)."""
    return np.array([rect.getCoords() for rect in rects], dtype=float).reshape(-1, 4)


def _overlaps(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """Area that each of the boxes `one`, shape (k, 4), shares with each of `other`, shape (m, 4): shape (k, m)."""
    a = one[:, None, :]
    wide = np.minimum(a[..., 2], other[:, 2]) - np.maximum(a[..., 0], other[:, 0])
    high = np.minimum(a[..., 3], other[:, 3]) - np.maximum(a[..., 1], other[:, 1])
    return np.maximum(wide, 0.0) * np.maximum(high, 0.0)

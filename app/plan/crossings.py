"""Where a tube passes over another, or over a part: found from centre lines and heights."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Placement
from loopsim.geometry import Spot
from loopsim.parts import Part

__all__ = ["GAP", "Crossing", "Tube", "crossings_of", "passes_over"]

GAP = 0.22  # of the upper tube's diameter, left free on both sides of it

_LEAST_ANGLE = 0.15  # [rad]; tubes that run side by side do not cross
_STEP_MM = 2.0
_END_MM = 0.5  # tubes that meet at a port do not cross there


@dataclass(frozen=True, eq=False)
class Tube:
    """What a crossing needs to know of a run: its centre line, its outer diameter."""

    run_id: str
    line: Sequence[Spot]
    outer_mm: float

    @cached_property
    def points(self) -> NDArray[np.float64]:
        """The centre line, shape (n, 3) [mm]."""
        return np.array(self.line, dtype=float)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least and largest x, least and largest y [mm]."""
        xs, ys = [spot.x_mm for spot in self.line], [spot.y_mm for spot in self.line]
        return min(xs), max(xs), min(ys), max(ys)

    @cached_property
    def highest_mm(self) -> float:
        """Of the centre line."""
        return max(spot.height_mm for spot in self.line)


@dataclass(frozen=True)
class Crossing:
    """One tube over another, or, where they `meet`, two at the same height."""

    upper: str
    lower: str
    at: tuple[float, float]
    height_mm: float  # of the upper centre line
    meet: bool
    piece: tuple[Spot, ...]  # of the upper centre line, across the lower tube
    outer_mm: float  # of the upper tube


def crossings_of(one: Tube, other: Tube) -> list[Crossing]:
    """Every place at which the centre lines of two runs cross in plan."""
    if _apart(one.bounds, other.bounds):
        return []
    a, b = one.points, other.points
    p, r = a[:-1, None, :2], np.diff(a[:, :2], axis=0)[:, None]
    q, s = b[None, :-1, :2], np.diff(b[:, :2], axis=0)[None]
    turn = _cross(r, s)
    sizes = np.linalg.norm(r, axis=-1) * np.linalg.norm(s, axis=-1)
    crossing = np.abs(turn) > sizes * np.sin(_LEAST_ANGLE)
    safe = np.where(crossing, turn, 1.0)
    t, u = _cross(q - p, s) / safe, _cross(q - p, r) / safe
    found = np.argwhere(crossing & (t >= 0) & (t < 1) & (u >= 0) & (u < 1))
    made = [_crossing(one, other, a, b, i, t[i, j], j, u[i, j], turn[i, j] / sizes[i, j]) for i, j in found]
    return [each for each in made if each is not None]


def passes_over(tube: Tube, part: Part, placement: Placement) -> list[tuple[Spot, ...]]:
    """The stretches of a run that lie over a part, clear of its top."""
    top = placement.top_mm(part) + tube.outer_mm / 2
    if tube.highest_mm < top:
        return []
    outline = placement.outline_of(part)
    reach = math.hypot(outline.length_mm, outline.width_mm) / 2
    around = (placement.x_mm - reach, placement.x_mm + reach, placement.y_mm - reach, placement.y_mm + reach)
    if _apart(tube.bounds, around):
        return []
    along = _along(tube.points)
    places = np.linspace(0.0, along[-1], max(2, math.ceil(along[-1] / _STEP_MM) + 1))
    x, y, z = (np.interp(places, along, tube.points[:, axis]) for axis in range(3))
    own_x, own_y = _in_own_axes(x - placement.x_mm, y - placement.y_mm, placement.rotation_deg)
    over = (abs(own_x) < outline.length_mm / 2 + 1.0) & (abs(own_y) < outline.width_mm / 2 + 1.0) & (z >= top)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], over.astype(int), [0]))))
    stretches = [(first, last) for first, last in zip(edges[::2], edges[1::2], strict=True) if last - first > 1]
    return [_spots(x[first:last], y[first:last], z[first:last]) for first, last in stretches]


def _crossing(
    one: Tube,
    other: Tube,
    a: NDArray[np.float64],
    b: NDArray[np.float64],
    i: int,
    t: float,
    j: int,
    u: float,
    sine: float,
) -> Crossing | None:
    over, under = a[i] + t * (a[i + 1] - a[i]), b[j] + u * (b[j + 1] - b[j])
    if min(np.linalg.norm(over[:2] - end[:2]) for end in (a[0], a[-1], b[0], b[-1])) < _END_MM:
        return None
    clear = (one.outer_mm + other.outer_mm) / 2
    meet = bool(abs(over[2] - under[2]) < clear - 1e-9)
    upper, lower, line, at = (one, other, a, (i, t)) if over[2] >= under[2] else (other, one, b, (j, u))
    reach = (lower.outer_mm / 2 + GAP * upper.outer_mm) / abs(sine)
    piece = _piece(line, *at, reach)
    place = (float(over[0]), float(over[1]))
    return Crossing(upper.run_id, lower.run_id, place, float(max(over[2], under[2])), meet, piece, upper.outer_mm)


def _piece(line: NDArray[np.float64], index: int, share: float, reach: float) -> tuple[Spot, ...]:
    """The stretch of a line within `reach` of a point on it, measured along the line."""
    along = _along(line)
    middle = along[index] + share * (along[index + 1] - along[index])
    first, last = max(0.0, middle - reach), min(float(along[-1]), middle + reach)
    places = np.concatenate(([first], along[(along > first) & (along < last)], [last]))
    return _spots(*(np.interp(places, along, line[:, axis]) for axis in range(3)))


def _along(line: NDArray[np.float64]) -> NDArray[np.float64]:
    """The way in plan from a line's first point to each of its points."""
    return np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(line[:, :2], axis=0), axis=1))))


def _spots(x: NDArray[np.float64], y: NDArray[np.float64], z: NDArray[np.float64]) -> tuple[Spot, ...]:
    return tuple(Spot(*map(float, point)) for point in zip(x, y, z, strict=True))


def _in_own_axes(
    x: NDArray[np.float64], y: NDArray[np.float64], rotation_deg: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points around a part's middle, in the part's own axes."""
    cos, sin = math.cos(math.radians(rotation_deg)), math.sin(math.radians(rotation_deg))
    return cos * x + sin * y, cos * y - sin * x


def _apart(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    """True if the bounds of two lines do not touch."""
    return a[1] < b[0] or b[1] < a[0] or a[3] < b[2] or b[3] < a[2]


def _cross(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]

"""The path of a tube: straight stretches between corners, each corner a bend or a sharp elbow."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import mul

import numpy as np
from numpy.typing import NDArray

from loopsim.fields import Keeps
from loopsim.geometry.place import Spot

__all__ = ["Bend", "Path"]

_STRAIGHT = math.radians(0.5)  # a corner that turns by less is no corner
_TURNED_BACK = math.radians(179)  # no bend fits where a path runs back on itself


@dataclass(frozen=True, slots=True)
class Bend:
    """One corner of a path.

    Attributes
    ----------
    corner : int
        Its number among the path's inner points, from 0.
    angle_deg : float
        By how much the path turns, 0 to 180 degrees.
    radius_mm : float
        Radius of the centre line as it fits, 0 for a sharp elbow.
    wanted_mm : float
        Radius asked for; larger than `radius_mm` where the straight stretches are too short for it.
    """

    corner: int
    angle_deg: float
    radius_mm: float
    wanted_mm: float

    @property
    def tangent_mm(self) -> float:
        """Length that the bend takes away from each neighbouring straight stretch."""
        return self.radius_mm * math.tan(math.radians(self.angle_deg) / 2)


class Path(Keeps):
    """A tube's centre line from port to port.

    Parameters
    ----------
    spots : sequence of Spot, length n >= 2
        Ends and corners.
    radii_mm : sequence of float, length n - 2
        Radius wanted at each corner, 0 for a sharp elbow.
    """

    def __init__(self, spots: Sequence[Spot], radii_mm: Sequence[float]) -> None:
        if len(spots) < 2 or len(radii_mm) != len(spots) - 2:
            raise ValueError(f"a path has two ends and a radius for each corner, got {len(spots)} and {len(radii_mm)}")
        self.spots = tuple(spots)
        self.radii_mm = tuple(radii_mm)

    @cached_property
    def straights_mm(self) -> list[float]:
        """Distances from corner to corner, ends included."""
        return [math.dist(a, b) for a, b in zip(self.spots, self.spots[1:], strict=False)]

    @cached_property
    def bends(self) -> tuple[Bend, ...]:
        """Every corner at which the path turns, with the radius that fits there."""
        turns = [(corner, self._turn(corner)) for corner in range(len(self.radii_mm))]
        return tuple(
            Bend(corner, math.degrees(angle), self._fitting_radius(corner, angle), self.radii_mm[corner])
            for corner, angle in turns
            if angle > _STRAIGHT
        )

    @property
    def length_mm(self) -> float:
        """Length of the centre line."""
        saved = sum(2 * bend.tangent_mm - bend.radius_mm * math.radians(bend.angle_deg) for bend in self.bends)
        return sum(self.straights_mm) - saved

    @property
    def heights_mm(self) -> list[float]:
        """Heights at the ends and corners."""
        return [spot.height_mm for spot in self.spots]

    @cached_property
    def line(self) -> NDArray[np.float64]:
        """The centre line as points in a row, shape (n, 3); arcs in steps of 7.5 degrees [mm]."""
        return np.array(self.centre_line(), dtype=float)

    def centre_line(self, step_deg: float = 7.5) -> list[Spot]:
        """Points of the centre line for drawing, arcs in steps of at most `step_deg`."""
        bends = {bend.corner + 1: bend for bend in self.bends if bend.radius_mm > 0}
        line: list[Spot] = []
        for index, spot in enumerate(self.spots):
            line.extend(self._arc(index, bends[index], step_deg) if index in bends else [spot])
        return line

    def _turn(self, corner: int) -> float:
        """By how much the path turns at a corner [rad]."""
        u, v = self._step(corner), self._step(corner + 1)
        scale = math.hypot(*u) * math.hypot(*v)
        return math.acos(max(-1.0, min(1.0, sum(map(mul, u, v)) / scale))) if scale > 1e-9 else 0.0

    def _step(self, straight: int) -> tuple[float, float, float]:
        (x, y, z), (to_x, to_y, to_z) = self.spots[straight : straight + 2]
        return to_x - x, to_y - y, to_z - z

    def _fitting_radius(self, corner: int, angle: float) -> float:
        """Radius that leaves each neighbouring corner its half of the stretch between; 0 where the path turns back."""
        last = len(self.straights_mm) - 1
        before, after = self.straights_mm[corner], self.straights_mm[corner + 1]
        room = min(before if corner == 0 else before / 2, after if corner + 1 == last else after / 2)
        if angle > _TURNED_BACK:
            return 0.0
        return min(self.radii_mm[corner], room / math.tan(angle / 2))

    def _arc(self, index: int, bend: Bend, step_deg: float) -> list[Spot]:
        before, at, after = np.array(self.spots[index - 1 : index + 2])
        u, v = (before - at) / np.linalg.norm(before - at), (after - at) / np.linalg.norm(after - at)
        inward = u + v
        turned = math.radians(bend.angle_deg)
        middle = at + inward / np.linalg.norm(inward) * (bend.radius_mm / math.cos(turned / 2))
        start, side = at + bend.tangent_mm * u - middle, -u
        steps = max(1, math.ceil(bend.angle_deg / step_deg))
        angles = np.linspace(0.0, turned, steps + 1)[:, None]
        arc = middle + start * np.cos(angles) + side * bend.radius_mm * np.sin(angles)
        return [Spot(*map(float, point)) for point in arc]

"""A figure over two numbers, as a map shows it: scale, contours, and the same in words."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from app import figures
from app.axis_ends import round_end

__all__ = ["Contour", "NumberMap"]

FloatArray = NDArray[np.float64]

_DIGITS = 4  # of a place on the map
_STEPS = 30  # that are told apart between the ends of a map


class Contour(NamedTuple):
    """A line along which the figure has one value; shape (n, 2)."""

    value: float
    places: FloatArray


class NumberMap(NamedTuple):
    """A figure over two numbers.

    Attributes
    ----------
    x, y : ndarray, shapes (n,) and (m,)
        Values of the numbers, rising.
    z : ndarray, shape (n, m)
        The figure; not a number where the machine comes to no rest, or nothing is worked out yet.
    captions : tuple of str
        Of x, y and z, with their units.
    ends : tuple of float
        Lowest and highest value on the scale, which other maps may share.
    now : tuple of float
        What the numbers are in the build.
    """

    x: FloatArray
    y: FloatArray
    z: FloatArray
    captions: tuple[str, ...]
    ends: tuple[float, float]
    now: tuple[float, ...]

    @property
    def is_empty(self) -> bool:
        """True while there is no value."""
        return not np.isfinite(self.z).any()

    @property
    def holds_now(self) -> bool:
        """True if what the numbers are now lies on the map."""
        return all(axis[0] <= value <= axis[-1] for axis, value in zip((self.x, self.y), self.now, strict=True))

    def share(self, value: float) -> float:
        """Where a value lies between the ends, 0 to 1."""
        low, high = self.ends
        return (value - low) / (high - low) if high > low else 0.5

    def figure(self, value: float) -> str:
        """A value with the decimals that tell it from its neighbours."""
        step = (self.ends[1] - self.ends[0]) / _STEPS
        decimals = int(np.clip(-np.floor(np.log10(step)), 0, 3)) if step > 0 else 1
        text = f"{round(value, decimals) + 0.0:.{decimals}f}"
        return figures.localised(text.replace("-", "−"))

    def contours(self) -> list[Contour]:
        """Lines at round values."""
        from contourpy import contour_generator

        low, high = self.ends
        if self.is_empty or not high > low:
            return []
        step = round_end(high - low).step
        levels = step * np.arange(np.ceil(low / step), np.floor(high / step) + 1)
        found = contour_generator(self.x, self.y, self.z.T)
        return [Contour(float(level), np.asarray(line)) for level in levels for line in found.lines(level)]

    def at(self, across: int, up: int) -> str:
        """One point in words."""
        value = self.z[across, up]
        figure = self.figure(value) if np.isfinite(value) else figures.NONE
        places = (self.x[across], self.y[up])
        return "\n".join(_labelled(*each) for each in zip(self.captions, (*map(_plain, places), figure), strict=True))

    def words(self) -> str:
        """What the colours say: the extremes and where they lie, and what the marks mean."""
        if self.is_empty:
            return ""
        low, high = (np.unravel_index(find(self.z), self.z.shape) for find in (np.nanargmin, np.nanargmax))
        least, most = (
            f"{self.figure(self.z[place])} at {_plain(self.x[place[0]])} and {_plain(self.y[place[1]])}"
            for place in (low, high)
        )
        now = " and ".join(map(_plain, self.now))
        ring = f"The ring marks what it is now, {now}." if self.holds_now else f"Now, at {now}, it lies outside."
        blank = "" if np.isfinite(self.z).all() else " Blank where it comes to no rest."
        return f"Lowest {least}; highest {most}. {ring}{blank}"


def _labelled(caption: str, value: str) -> str:
    return f"{caption}: {value}"


def _plain(value: float) -> str:
    return figures.plain(float(f"{value:.{_DIGITS}g}")) if np.isfinite(value) else figures.NONE

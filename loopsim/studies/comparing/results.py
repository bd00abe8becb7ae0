"""What the comparison of layouts answers with. SI throughout, temperatures in degrees Celsius."""

from collections.abc import Sequence
from dataclasses import dataclass

from loopsim.build import Build, Layout
from loopsim.studies.figures import Better
from loopsim.units import UNITS

__all__ = ["ComparedRow", "Comparison"]

_AS_GOOD = 1e-3  # of the largest value in a row: within this, two are equally good


@dataclass(frozen=True, slots=True)
class ComparedRow:
    """One figure of every layout.

    Attributes
    ----------
    key : str
        Fixed word for programs, without the unit.
    label : str
    unit : str
        An ending from `loopsim.units.UNITS`; empty for a number without one.
    better : str
        ``"more"``, ``"less"``, or empty.
    values : tuple of float or None
        SI, or degrees Celsius; None where a layout has none.
    """

    key: str
    label: str
    unit: str
    better: Better
    values: tuple[float | None, ...]

    @property
    def heading(self) -> str:
        """Label and unit: ``"flow, L/h"``."""
        return f"{self.label}, {UNITS[self.unit].label}" if self.unit else self.label

    @property
    def best(self) -> frozenset[int]:
        """Numbers of the layouts with the best value; empty where all are as good, or none is better by nature."""
        known = [value for value in self.values if value is not None]
        if not known or not self.better:
            return frozenset()
        best = max(known) if self.better == "more" else min(known)
        close = _AS_GOOD * max(abs(value) for value in known)
        found = [number for number, value in enumerate(self.values) if value is not None and abs(value - best) <= close]
        return frozenset() if len(found) == len(self.values) else frozenset(found)

    def against(self, base: int) -> tuple[float | None, ...]:
        """Each value less that of one of the layouts; None where either has none."""
        of_base = self.values[base]
        return tuple(None if value is None or of_base is None else value - of_base for value in self.values)


@dataclass(frozen=True)
class Comparison:
    """Layouts side by side.

    Attributes
    ----------
    subjects : tuple of (Build, Layout)
    names : tuple of str
        What each is called here: the layout, with its build where there are several.
    base : int
        Number of the one that the others are told against.
    drawing : tuple of tuple of str
        What differs from the base's drawing, in words; empty for the base itself.
    rows : tuple of ComparedRow
    """

    subjects: Sequence[tuple[Build, Layout]]
    names: tuple[str, ...]
    base: int
    drawing: tuple[tuple[str, ...], ...]
    rows: tuple[ComparedRow, ...]

    def row(self, key: str) -> ComparedRow:
        """A row by its key; KeyError if there is none."""
        return {row.key: row for row in self.rows}[key]

"""What the comparison of layouts answers with. SI throughout, temperatures in degrees Celsius."""

from collections.abc import Sequence
from dataclasses import dataclass

from loopsim.build import Build, Layout
from loopsim.studies.figures import Better
from loopsim.studies.words import flow_decimals
from loopsim.units import UNITS, from_si

__all__ = ["ComparedRow", "Comparison"]

_DECIMALS = {"percent": 0, "l": 2, "m": 2, "": 0}
_USUAL_DECIMALS = 1


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

    def decimals(self, value: float) -> int:
        """To which a value is told in its unit; what reads the same counts as equally good."""
        return flow_decimals(value) if self.unit == "l_h" else _DECIMALS.get(self.unit, _USUAL_DECIMALS)

    @property
    def best(self) -> frozenset[int]:
        """Numbers of the layouts with the best value; empty where all are as good, or none is better by nature."""
        told = [None if value is None else self._told(value) for value in self.values]
        known = [value for value in told if value is not None]
        if not known or not self.better:
            return frozenset()
        best = max(known) if self.better == "more" else min(known)
        found = frozenset(number for number, value in enumerate(told) if value == best)
        return frozenset() if len(found) == len(told) else found

    def _told(self, value: float) -> float:
        """As it is read, in its unit."""
        return round(from_si(value, self.unit) if self.unit else value, self.decimals(value))

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

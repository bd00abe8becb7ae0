"""Published cases, read from `cases.json` beside this file, and what was compared with them during this run."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

__all__ = ["CASES", "COMPARISONS", "Case", "Comparison", "published"]

CASES: dict[str, dict[str, Any]] = {
    case["id"]: case for case in json.loads(Path(__file__).with_name("cases.json").read_text(encoding="utf-8"))
}


@dataclass(frozen=True, slots=True)
class Comparison:
    """One number of ours that agreed with a printed one; SI where the file gives an SI value.

    `place` is that in a list, 0 elsewhere.
    """

    case: str
    name: str
    place: int
    expected: float
    got: float
    tolerance: float

    @property
    def used_up(self) -> float:
        """Share of the tolerance that the difference takes, 0 to 1."""
        return abs(self.got - self.expected) / self.tolerance


COMPARISONS: list[Comparison] = []


class Case:
    """One published case: `given` and `expected` by name, in SI where the file gives an SI value."""

    def __init__(self, record: dict[str, Any]) -> None:
        self.id, self.source = record["id"], source_of(record)
        self.given = {name: entry.get("si_value", entry["value"]) for name, entry in record["given"].items()}
        self.expected = {name: entry.get("si_value", entry["value"]) for name, entry in record["expected"].items()}
        self._entries = record["expected"]

    def check(self, name: str, got: Any, leaving_out: Mapping[int, str] | None = None) -> None:
        """Compare with what is printed, within the printed tolerance (which holds for the printed unit).

        Parameters
        ----------
        name : str
            Of the expected value.
        got : float or sequence of float
            In SI where the file gives an SI value.
        leaving_out : mapping of int to str, optional
            Entries of a list that are not compared, each with the reason.
        """
        entry = self._entries[name]
        rel, absolute = entry.get("rel_tol", 0.0), entry.get("abs_tol", 0.0) * _scale(entry)
        wanted, ours = np.atleast_1d(self.expected[name]), np.atleast_1d(np.asarray(got, dtype=float))
        assert wanted.shape == ours.shape, f"{self.id}, {name}: {wanted.shape} printed, {ours.shape} compared"
        kept = [index for index in range(len(wanted)) if index not in (leaving_out or {})]
        assert ours[kept] == pytest.approx(wanted[kept], rel=rel, abs=absolute), f"{self.id}, {name}: {self.source}"
        for index in kept:
            tolerance = max(rel * abs(wanted[index]), absolute)
            pair = float(wanted[index]), float(ours[index])
            COMPARISONS.append(Comparison(self.id, name, index, *pair, float(tolerance)))


def source_of(record: dict[str, Any]) -> str:
    """The published work, and where its numbers come from memory or were not all seen."""
    source = record["source"]
    if source["retrieved"]:
        return str(source["work"])
    seen = source.get("seen") or ("from memory" if source["from_memory"] else "")
    return f"{source['work']} ({seen})" if seen else str(source["work"])


def _scale(entry: dict[str, Any]) -> float:
    """SI units per printed unit."""
    if "si_value" not in entry:
        return 1.0
    first, first_si = (np.ravel(entry[key])[0] for key in ("value", "si_value"))
    return float(first_si / first) if first else 1.0


def published(*ids: str) -> Any:
    """Mark a test with the ids of the cases it checks."""
    return pytest.mark.parametrize("case", ids, indirect=True)

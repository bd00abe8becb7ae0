"""Published cases, read from `cases.json` beside this file: sources, inputs and answers as printed, tolerances."""

import json
from pathlib import Path
from typing import Any

import pytest

CASES: dict[str, dict[str, Any]] = {
    case["id"]: case for case in json.loads(Path(__file__).with_name("cases.json").read_text(encoding="utf-8"))
}


class Case:
    """One published case: `given` and `expected` by name, in SI where the file gives an SI value."""

    def __init__(self, record: dict[str, Any]) -> None:
        self.id, self.source = record["id"], record["source"]["work"]
        self.given = {name: entry.get("si_value", entry["value"]) for name, entry in record["given"].items()}
        self.expected = {name: entry.get("si_value", entry["value"]) for name, entry in record["expected"].items()}
        self._entries = record["expected"]

    def check(self, name: str, got: Any) -> None:
        """Compare with the printed value, within the printed tolerance (which holds for the printed unit)."""
        entry = self._entries[name]
        scale = _scale(entry)
        wanted = pytest.approx(
            entry.get("si_value", entry["value"]),
            rel=entry.get("rel_tol", 0.0),
            abs=entry.get("abs_tol", 0.0) * scale,
        )
        assert got == wanted, f"{self.id}, {name}: {self.source}"


def _scale(entry: dict[str, Any]) -> float:
    """SI units per printed unit."""
    if "si_value" not in entry or isinstance(entry["value"], dict):
        return 1.0
    first = entry["value"][0] if isinstance(entry["value"], list) else entry["value"]
    first_si = entry["si_value"][0] if isinstance(entry["value"], list) else entry["si_value"]
    return first_si / first if first else 1.0


@pytest.fixture
def case(request: pytest.FixtureRequest) -> Case:
    """The case whose id the test names with ``@pytest.mark.parametrize("case", ["id"], indirect=True)``."""
    return Case(CASES[request.param])


def published(*ids: str) -> Any:
    """Mark a test with the ids of the cases it checks."""
    return pytest.mark.parametrize("case", ids, indirect=True)

"""What the run as a whole has compared with published work: nothing left out in silence, and the README says it."""

import pytest

from .case import CASES, COMPARISONS
from .table import in_readme, table
from .unused import UNUSED

TOPICS = (
    *("friction", "minor-losses", "pumps", "networks", "hydrostatics"),
    *("fluids", "fans", "sound", "heat", "lumped-transient"),
    *("air-removal", "plates", "leak-test"),
)
pytestmark = pytest.mark.usefixtures("whole_run")


def _values() -> set[tuple[str, str]]:
    return {(case["id"], name) for case in CASES.values() if case["topic"] in TOPICS for name in case["expected"]}


def test_every_published_value_is_compared_or_the_reason_stands_in_the_list() -> None:
    compared = {(each.case, each.name) for each in COMPARISONS}
    open_ones = {pair for pair in _values() - compared if pair[0] not in UNUSED and ": ".join(pair) not in UNUSED}
    assert not open_ones


def test_the_list_of_unused_values_names_none_that_is_compared_or_unknown() -> None:
    compared = {each.case for each in COMPARISONS} | {f"{each.case}: {each.name}" for each in COMPARISONS}
    known = {case for case, _ in _values()} | {": ".join(pair) for pair in _values()}
    assert not compared & set(UNUSED)
    assert set(UNUSED) <= known


def test_the_readmes_table_is_what_this_run_compared() -> None:
    """The words exactly, our own numbers to a thousandth, for other machines round otherwise."""
    shown, run = in_readme(), table(COMPARISONS)
    stale = "the README's table is stale: python -m tests.reference.table"
    assert [row[:3] + row[4:] for row in shown] == [row[:3] + row[4:] for row in run], stale
    assert [float(row[3]) for row in shown] == pytest.approx([float(row[3]) for row in run], rel=1e-3), stale

"""Effectiveness against transfer units: against an independent library, energy balances and its own inverse."""

import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.elements.exchange import ARRANGEMENTS, MOST_UNITS, Arrangement, effectiveness, transfer_units
from loopsim.errors import PartDataError

HT_NAMES = dict(
    zip(
        ARRANGEMENTS,
        ("counterflow", "parallel", "crossflow", "crossflow, mixed Cmin", "crossflow, mixed Cmax", "S&T"),
        strict=True,
    )
)
every_arrangement = pytest.mark.parametrize("arrangement", ARRANGEMENTS)
units = st.floats(1e-6, 60.0)
ratios = st.floats(0.0, 1.0)


@every_arrangement
@pytest.mark.parametrize("ratio", [0.02, 0.3, 0.7, 0.99])
@pytest.mark.parametrize("ntu", [1e-4, 0.1, 0.8, 2.5, 9.0])
def test_effectiveness_is_that_of_an_independent_library(arrangement: Arrangement, ratio: float, ntu: float) -> None:
    """The library integrates the exact cross flow numerically; here it is a series."""
    expected = ht.effectiveness_from_NTU(ntu, ratio, subtype=HT_NAMES[arrangement])
    assert effectiveness(ntu, ratio, arrangement) == pytest.approx(expected, rel=1e-9)


def test_cross_flow_is_what_small_cells_of_crossing_streams_pass() -> None:
    """Energy balances cell by cell, twice as fine each time; the rest falls with the square of the cell's size."""
    ntu, ratio = 1.7, 0.6
    coarse, fine = _marched(ntu, ratio, 100), _marched(ntu, ratio, 200)
    assert effectiveness(ntu, ratio) == pytest.approx(fine + (fine - coarse) / 3, abs=1e-6)


def _marched(ntu: float, ratio: float, cells: int) -> float:
    """The stream of the smaller rate enters at 1 and runs down the rows, the other at 0 along them."""
    warm, left = np.ones(cells), 0.0
    a, b = ntu / cells, ratio * ntu / cells
    for _ in range(cells):
        cold = 0.0
        for column in range(cells):
            passed = (warm[column] - cold) / (1 + a / 2 + b / 2)
            warm[column] -= a * passed
            cold += b * passed
        left += cold / cells
    return float(1 - warm.mean())


@every_arrangement
def test_without_transfer_units_nothing_passes(arrangement: Arrangement) -> None:
    assert np.all(effectiveness(0.0, [0.0, 0.4, 1.0], arrangement) == 0.0)


@every_arrangement
@given(ntu=units)
def test_against_an_endless_stream_all_arrangements_are_one(arrangement: Arrangement, ntu: float) -> None:
    assert effectiveness(ntu, 0.0, arrangement) == pytest.approx(-np.expm1(-ntu), rel=1e-9)


@every_arrangement
@given(ntu=units, more=st.floats(1.01, 5.0), ratio=ratios)
def test_it_rises_with_the_transfer_units(arrangement: Arrangement, ntu: float, more: float, ratio: float) -> None:
    less, greater = effectiveness([ntu, more * ntu], ratio, arrangement)
    assert less <= greater + 1e-12
    assert greater <= 1.0 + 1e-12
    assert less <= ntu


@every_arrangement
@given(ntu=units, ratio=ratios, less=st.floats(0.0, 0.95))
def test_it_falls_with_the_ratio_of_the_streams(
    arrangement: Arrangement, ntu: float, ratio: float, less: float
) -> None:
    assert effectiveness(ntu, less * ratio, arrangement) >= effectiveness(ntu, ratio, arrangement) - 1e-9


@given(ntu=units, ratio=ratios)
def test_counterflow_is_the_best_and_parallel_flow_the_worst(ntu: float, ratio: float) -> None:
    values = {name: float(effectiveness(ntu, ratio, name)) for name in ARRANGEMENTS}
    assert max(values.values()) <= values["counterflow"] + 1e-9
    assert min(values.values()) >= values["parallel flow"] - 1e-9


@every_arrangement
@given(ntu=st.floats(1e-4, 8.0), ratio=ratios)
def test_the_inverse_leads_back(arrangement: Arrangement, ntu: float, ratio: float) -> None:
    reached = effectiveness(ntu, ratio, arrangement)
    if reached < effectiveness(MOST_UNITS, ratio, arrangement) * (1 - 1e-6):
        again = effectiveness(transfer_units(reached, ratio, arrangement), ratio, arrangement)
        assert again == pytest.approx(reached, rel=1e-10)


def test_the_inverse_is_that_of_an_independent_library() -> None:
    for name in ARRANGEMENTS:
        expected = ht.NTU_from_effectiveness(0.5, 0.6, subtype=HT_NAMES[name])
        assert transfer_units(0.5, 0.6, name) == pytest.approx(expected, rel=1e-8), name
    assert transfer_units(0.0, 0.6) == 0.0


def test_very_long_exchangers_come_near_the_limit() -> None:
    """Balanced cross flow nears 1 as ``1 - 1 / sqrt(pi ntu)`` (Stirling), a little slower than the law beyond 1000."""
    assert effectiveness(900.0, 1.0) == pytest.approx(1 - 1 / np.sqrt(np.pi * 900), abs=1e-4)
    assert effectiveness(1e9, 1.0) > 0.98
    assert effectiveness(1e9, [0.0, 1e-3, 0.5]) == pytest.approx([1.0, 1.0, 1.0], abs=1e-9)


def test_an_effectiveness_out_of_reach_is_refused() -> None:
    with pytest.raises(PartDataError, match=r"parallel flow: the effectiveness must lie from 0 to below 0\.667"):
        transfer_units(0.7, 0.5, "parallel flow")


def test_numbers_out_of_range_and_unknown_arrangements_are_refused() -> None:
    with pytest.raises(PartDataError, match="ratio of heat capacity rates from 0 to 1"):
        effectiveness(1.0, 1.2)
    with pytest.raises(PartDataError, match="transfer units of at least 0"):
        effectiveness(-0.1, 0.5)
    with pytest.raises(PartDataError, match="did you mean 'counterflow'"):
        effectiveness(1.0, 0.5, "counter flow")  # type: ignore[arg-type]

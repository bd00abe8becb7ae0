"""Two films and a wall: series of resistances, passes against chains worked out by hand, nothing at rest."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.elements import Exchanger, Film
from loopsim.elements.exchange import PASSES, Passes, effectiveness
from loopsim.errors import PartDataError

LIQUID, AIR = Film(160.0, 4e-5, 0.4), Film(26.0, 0.02, 0.5)
RADIATOR = Exchanger(LIQUID, AIR, wall=0.002)
flows = st.floats(0.0, 4e-4)
air_flows = st.floats(0.0, 0.2)
every_pass = pytest.mark.parametrize("passes", PASSES)


def with_passes(passes: Passes) -> Exchanger:
    return Exchanger(LIQUID, AIR, 0.002, passes=passes)


def conductance(exchanger: Exchanger, flow: float, air: float) -> float:
    return float(exchanger.conductance(flow, 4.15e6 * flow, air, 1207.0 * air))


def test_two_films_and_the_wall_add_their_resistances() -> None:
    expected = 1 / (1 / 160.0 + 0.002 + 1 / (26.0 * 2**0.5))
    assert RADIATOR.ua(4e-5, 0.04) == pytest.approx(expected)


@every_pass
@given(flow=flows, air=air_flows)
def test_neither_stream_gives_more_than_it_carries(passes: Passes, flow: float, air: float) -> None:
    passed = conductance(with_passes(passes), flow, air)
    assert 0 <= passed <= min(4.15e6 * flow, 1207.0 * air) * (1 + 1e-12) + 1e-100


@every_pass
def test_where_a_side_stands_nothing_passes(passes: Passes) -> None:
    for flow, air in ((0.0, 0.02), (4e-5, 0.0), (0.0, 0.0)):
        assert conductance(with_passes(passes), flow, air) == 0.0


@every_pass
def test_a_trickle_of_air_leaves_as_warm_as_the_coolant_enters(passes: Passes) -> None:
    assert conductance(with_passes(passes), 4e-5, 1e-7) == pytest.approx(1207e-7, rel=1e-6)


@every_pass
def test_flows_the_other_way_pass_the_same(passes: Passes) -> None:
    radiator = with_passes(passes)
    there = radiator.conductance(4e-5, 166.0, 0.02, 24.0)
    assert radiator.conductance(-4e-5, -166.0, -0.02, -24.0) == there


def test_many_states_are_evaluated_at_once() -> None:
    flow, air = np.array([[1e-5], [4e-5]]), np.array([0.01, 0.02, 0.05])
    together = RADIATOR.conductance(flow, 4.15e6 * flow, air, 1207 * air)
    assert together.shape == (2, 3)
    assert together[1, 2] == conductance(RADIATOR, 4e-5, 0.05)


def test_side_by_side_the_coolant_meets_fresh_air_twice() -> None:
    """Coolant enters 10 K above the air; temperatures step by step through the two halves."""
    rate, air_rate = 166.0, 24.14
    ua = float(RADIATOR.ua(4e-5, 0.02))
    smaller, larger = air_rate / 2, rate
    half = float(effectiveness(ua / 2 / smaller, smaller / larger)) * smaller
    after_first = 10.0 - half * 10.0 / rate
    after_second = after_first - half * after_first / rate
    passed = float(with_passes("two side by side").conductance(4e-5, rate, 0.02, air_rate))
    assert 10.0 * passed == pytest.approx(rate * (10.0 - after_second))


def test_one_behind_the_other_the_air_meets_the_way_back_first() -> None:
    """Four temperatures from four balances, solved as linear equations: coolant and air after each half."""
    rate, air_rate = 30.0, 24.14
    ua = float(RADIATOR.ua(4e-5, 0.02))
    half = float(effectiveness(ua / 2 / air_rate, air_rate / rate)) * air_rate
    coolant, air = half / rate, half / air_rate
    # unknowns: coolant between, coolant out, air between, air out; coolant enters at 1, air at 0
    balances = np.array(
        [
            [1.0, 0.0, -coolant, 0.0],  # first half: coolant in at 1, air in at "air between"
            [-(1 - coolant), 1.0, 0.0, 0.0],  # second half: coolant from the first, air in at 0
            [-air, 0.0, 1.0, 0.0],
            [0.0, 0.0, -(1 - air), 1.0],
        ]
    )
    between, out, _, air_out = np.linalg.solve(balances, [1 - coolant, 0.0, 0.0, air])
    passed = float(with_passes("two one behind the other").conductance(4e-5, rate, 0.02, air_rate))
    assert passed == pytest.approx(rate * (1 - out))
    assert passed == pytest.approx(air_rate * air_out)
    assert between > out


def test_two_counterflow_halves_one_behind_the_other_are_one_counterflow_exchanger() -> None:
    films = Film(300.0, 5e-5, 0.7), Film(280.0, 5e-5, 0.7)
    whole = Exchanger(*films, arrangement="counterflow")
    halves = Exchanger(*films, arrangement="counterflow", passes="two one behind the other")
    for rate in (40.0, 207.0, 900.0):
        same = whole.conductance(5e-5, 207.0, 5e-5, rate)
        assert halves.conductance(5e-5, 207.0, 5e-5, rate) == pytest.approx(same, rel=1e-12)


@given(flow=st.floats(1e-6, 4e-4), air=st.floats(1e-3, 0.2))
def test_two_passes_one_behind_the_other_beat_one_pass(flow: float, air: float) -> None:
    one, two = (conductance(with_passes(passes), flow, air) for passes in ("one", "two one behind the other"))
    assert two >= one * (1 - 1e-9)


def test_values_out_of_range_are_refused() -> None:
    with pytest.raises(PartDataError, match="wall must be at least 0 K/W, got -1 K/W"):
        Exchanger(LIQUID, AIR, wall=-1.0)
    with pytest.raises(PartDataError, match="passes must be one of one, two side by side"):
        Exchanger(LIQUID, AIR, passes="three")  # type: ignore[arg-type]
    with pytest.raises(PartDataError, match=r"exponent must lie from 0 to 1, got 1\.2"):
        Film(10.0, 1e-5, 1.2)
    with pytest.raises(PartDataError, match="conductance must be above 0 W/K, got 0 W/K"):
        Film(0.0, 1e-5, 0.5)


def test_a_film_through_two_values_passes_both_while_they_are_physical() -> None:
    film = Film.through((1e-5, 4e-5), (10.0, 20.0))
    assert film.at([1e-5, 4e-5, 0.0]) == pytest.approx([10.0, 20.0, 0.0])
    assert Film.through((1e-5, 4e-5), (10.0, 90.0)).exponent == 1.0
    assert Film.through((1e-5, 4e-5), (10.0, 9.0)).exponent == 0.0

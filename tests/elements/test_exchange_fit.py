"""Exchangers from ratings and points: read through the effectiveness, physical exponents, misfit kept."""

from dataclasses import replace

import ht
import numpy as np
import pytest

from loopsim.curves import HeatPoints
from loopsim.elements import Exchanger, Film
from loopsim.elements.exchange import PASSES, PLATES, RADIATOR, Passes, fit_exchanger
from loopsim.errors import PartDataError

TRUE = Exchanger(Film(150.0, 3e-5, 0.35), Film(25.0, 0.02, 0.6))


def points(flow: list[float], air: list[float], conductance: list[float]) -> HeatPoints:
    coolant, fresh = np.array(flow), np.array(air)
    return HeatPoints(coolant, 4.15e6 * coolant, fresh, 1207.0 * fresh, np.array(conductance))


def made_by(exchanger: Exchanger, flows: list[float], airs: list[float]) -> HeatPoints:
    flow, air = (grid.ravel() for grid in np.meshgrid(flows, airs))
    passed = exchanger.conductance(flow, 4.15e6 * flow, air, 1207.0 * air)
    return points(list(flow), list(air), list(passed))


def at(exchanger: Exchanger, given: HeatPoints) -> np.ndarray:
    return exchanger.conductance(given.flow_a, given.rate_a, given.flow_b, given.rate_b)


@pytest.mark.parametrize("passes", PASSES)
def test_a_rating_is_met_and_is_no_ua(passes: Passes) -> None:
    """150 W per 10 K at 120 L/h and 80 m3/h: 15 W/K passed take an UA well above 15 W/K."""
    rating = points([120e-3 / 3600], [80 / 3600], [15.0])
    fitted = fit_exchanger(rating, passes=passes)
    assert at(fitted, rating) == pytest.approx([15.0], rel=1e-6)
    assert fitted.ua(rating.flow_a, rating.flow_b) > 20.0
    assert fitted.misfit < 1e-6


def test_the_ua_behind_a_rating_is_that_of_an_independent_library() -> None:
    rating = points([120e-3 / 3600], [80 / 3600], [15.0])
    air_rate, rate = float(rating.rate_b[0]), float(rating.rate_a[0])
    ntu = ht.NTU_from_effectiveness(15.0 / air_rate, air_rate / rate, subtype="crossflow")
    assert fit_exchanger(rating).ua(rating.flow_a, rating.flow_b) == pytest.approx(ntu * air_rate, rel=1e-6)


def test_one_rating_leaves_the_exponents_at_the_guess() -> None:
    fitted = fit_exchanger(points([3e-5], [0.02], [15.0]), RADIATOR)
    assert fitted.film_a.exponent == pytest.approx(RADIATOR.exponent_a, abs=1e-6)
    assert fitted.film_b.exponent == pytest.approx(RADIATOR.exponent_b, abs=1e-6)


def test_points_over_both_flows_give_the_exchanger_back() -> None:
    fitted = fit_exchanger(made_by(TRUE, [2e-5, 4e-5, 8e-5], [0.01, 0.02, 0.03]))
    assert fitted.film_b.exponent == pytest.approx(0.6, abs=0.01)
    assert fitted.misfit < 1e-3
    beyond = made_by(TRUE, [1e-5, 1.5e-4], [0.005, 0.06])
    assert at(fitted, beyond) == pytest.approx(beyond.conductance, rel=0.01)


def test_one_liquid_flow_says_nothing_of_the_liquids_film() -> None:
    fitted = fit_exchanger(made_by(TRUE, [4e-5], [0.01, 0.02, 0.03]))
    assert fitted.film_a.exponent == pytest.approx(RADIATOR.exponent_a, abs=1e-3)
    assert fitted.misfit < 1e-3


def test_points_that_scatter_keep_their_misfit() -> None:
    exact = made_by(TRUE, [2e-5, 8e-5], [0.01, 0.02, 0.03])
    signs = np.array([1, -1, 1, -1, 1, -1])
    fitted = fit_exchanger(replace(exact, conductance=exact.conductance * (1 + 0.05 * signs)))
    assert 0.03 < fitted.misfit <= 0.051


def test_exponents_stay_physical_whatever_the_points_say() -> None:
    falling = fit_exchanger(points([4e-5, 4e-5], [0.02, 0.06], [14.0, 11.0]))
    steep = fit_exchanger(points([1e-5, 8e-5, 4e-5], [0.02, 0.02, 0.06], [2.0, 14.0, 60.0]))
    for film in (falling.film_a, falling.film_b, steep.film_a, steep.film_b):
        assert 0.0 <= film.exponent <= 1.0
    assert falling.misfit > 0.05
    assert steep.misfit > 0.05


def test_plates_are_shared_evenly_where_one_row_is_all_there_is() -> None:
    one = HeatPoints(*(np.array([value]) for value in (5e-5, 207.0, 5e-5, 207.0, 110.0)))
    fitted = fit_exchanger(one, PLATES, "counterflow")
    assert fitted.film_a.conductance == pytest.approx(fitted.film_b.conductance)
    # balanced counterflow by hand: e = NTU / (1 + NTU), so UA = C e / (1 - e)
    share = 110.0 / 207.0
    assert fitted.ua(5e-5, 5e-5) == pytest.approx(207.0 * share / (1 - share), rel=1e-6)


def test_more_than_the_air_can_carry_is_refused_with_the_air_flow_needed() -> None:
    """40 W/K over 1.2 kg/m3 and 1006 J/(kg K) take 119 m3/h."""
    air = 80 / 3600
    rating = HeatPoints(*(np.array([value]) for value in (3e-5, 125.0, air, 1.2 * 1006 * air, 40.0)))
    with pytest.raises(PartDataError, match=r"80 m³/h of air can carry, 26.8 W/K; it needs more than 119 m³/h of air"):
        fit_exchanger(rating)


def test_more_than_the_coolant_can_carry_is_refused_too() -> None:
    with pytest.raises(PartDataError, match=r"10 L/h of coolant can carry, 11.5 W/K; it needs more than 17.3 L/h"):
        fit_exchanger(points([10e-3 / 3600], [0.05], [20.0]))


def test_more_than_two_balanced_streams_can_exchange_is_refused() -> None:
    """Balanced parallel flow ends at one half."""
    half = HeatPoints(*(np.array([value]) for value in (5e-5, 207.0, 5e-5, 207.0, 110.0)))
    with pytest.raises(PartDataError, match=r"110 W/K is more than any exchanger with parallel flow"):
        fit_exchanger(half, PLATES, "parallel flow")


def test_no_points_are_refused() -> None:
    with pytest.raises(PartDataError, match="needs at least 1 point, got 0"):
        fit_exchanger(points([], [], []))

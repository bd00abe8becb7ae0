"""Curves from one or two numbers."""

import numpy as np
import pytest

from loopsim.curves import (
    ESTIMATES,
    DropCurve,
    Estimate,
    HeadCurve,
    drop_curve_from_cv,
    drop_curve_from_kv,
    drop_curve_from_one_number,
    head_curve_from_two_numbers,
)
from loopsim.elements import Pump, Restriction, Valve
from loopsim.errors import PartDataError
from loopsim.fields import describe
from loopsim.media import propylene_glycol, water


def test_a_parabola_holds_both_numbers_and_says_that_it_is_a_guess() -> None:
    curve = head_curve_from_two_numbers(4.0, 480.0)
    assert (curve.points[0].head_m, curve.points[-1].flow_l_h, curve.points[-1].head_m) == (4.0, 480.0, 0.0)
    assert curve.provenance.kind == "guess"
    assert len(curve.points) == 7


def test_between_the_points_the_pump_stays_on_the_parabola() -> None:
    """Halfway the parabola has three quarters of the largest head."""
    curve = head_curve_from_two_numbers(4.0, 500.0)
    pump = Pump.from_points(curve.flow, curve.head)
    assert pump.law.head(250.0 / 3.6e6) == pytest.approx(3.0, rel=0.01)
    assert not pump.law.levelled


def test_one_number_is_met_and_goes_on_with_its_exponent() -> None:
    curve = drop_curve_from_one_number(180.0, 7.0, exponent=1.75)
    state = curve.provenance.state
    element = Restriction.from_points(curve.flow, curve.dp, state, curve.exponent)
    flow = 180.0 / 3.6e6
    dp, slope = element.dp(flow, state)
    assert dp == pytest.approx(7000.0)
    assert slope * flow / dp == pytest.approx(1.75)


@pytest.mark.parametrize("liquid", [water().at(15.0), propylene_glycol(0.3).at(25.0)])
def test_a_curve_from_kv_is_the_valve_of_that_kv(liquid) -> None:
    """Whatever flows: the square law has no viscosity in it."""
    curve = drop_curve_from_kv(1.2)
    element = Restriction.from_points(curve.flow, curve.dp, curve.provenance.state, curve.exponent)
    flow = np.array([0.1, 0.3, 0.9]) * 1.2 / 3600
    assert element.dp(flow, liquid)[0] == pytest.approx(Valve(1.2).dp(flow, liquid)[0], rel=2e-3)


def test_a_curve_from_cv_passes_that_many_us_gallons_a_minute_at_one_psi() -> None:
    """Definition of Cv; the gallon is 3.785411784 L, the psi 6.894757 kPa (NIST SP 811); 0.865 has three digits."""
    curve = drop_curve_from_cv(1.5)
    element = Restriction.from_points(curve.flow, curve.dp, curve.provenance.state, curve.exponent)
    flow = 1.5 * 3.785411784e-3 / 60
    assert element.dp(flow, water().at(15.0))[0] == pytest.approx(6894.757, rel=2e-3)


NUMBERS = {"max_head_m": 4.0, "max_flow_l_h": 500.0, "flow_l_h": 100.0, "dp_kpa": 5.0, "kv_m3_h": 1.2}


@pytest.mark.parametrize("kind", [kind for kinds in ESTIMATES.values() for kind in kinds])
def test_what_a_builder_may_give_in_place_of_points_makes_a_guess_with_a_band(kind: type[Estimate]) -> None:
    fields = describe(kind)
    assert kind.title
    assert all(field.label and field.help for field in fields)
    curve = kind(**{field.name: NUMBERS[field.name] for field in fields if field.default is None}).curve()
    (of,) = (of for of, kinds in ESTIMATES.items() if kind in kinds)
    assert type(curve) is of
    assert curve.provenance.kind == "guess"
    assert curve.provenance.source
    assert curve.relative_tolerance >= 0.2


def test_pumps_and_restrictions_can_be_estimated() -> None:
    assert set(ESTIMATES) == {HeadCurve, DropCurve}


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: head_curve_from_two_numbers(0.0, 400.0), "max_head_m must be above 0 m, got 0 m"),
        (lambda: head_curve_from_two_numbers(3.0, -1.0), "max_flow_l_h must be above 0 L/h, got -1 L/h"),
        (lambda: drop_curve_from_one_number(100.0, float("nan")), "dp_kpa must be above 0 kPa, got nan kPa"),
        (lambda: drop_curve_from_one_number(100.0, 5.0, 2.5), "exponent must lie between 1 and 2, got 2.5"),
        (lambda: drop_curve_from_cv(0.0), "cv must be above 0 US gal/min, got 0 US gal/min"),
        (lambda: drop_curve_from_kv(0.0), "kv_m3_h must be above 0 m3/h, got 0 m3/h"),
    ],
)
def test_numbers_out_of_range_are_refused_with_the_range(make, words: str) -> None:
    with pytest.raises(PartDataError, match=words):
        make()

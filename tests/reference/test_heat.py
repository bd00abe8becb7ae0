"""Heat exchangers, channels and resistances against published examples."""

import math

import numpy as np
import pytest
from scipy.integrate import trapezoid

from loopsim.elements import BlockCooling, Exchanger, Film
from loopsim.elements.exchange import developed_nusselt, effectiveness, transfer_units, turbulent_nusselt
from loopsim.media import water

from .conftest import Case, published

_APPROXIMATION = 0.012  # how far the usual one-line formula for cross flow lies from the exact law, at most


def _exchanger(ua: float, arrangement: str) -> Exchanger:
    """Of one UA, whatever flows."""
    half = Film(2 * ua, 1e-3, 0.0)
    return Exchanger(half, half, arrangement=arrangement)  # type: ignore[arg-type]


@published("he-crossflow-table")
def test_cross_flow_of_unmixed_streams_is_the_exact_solution(case: Case) -> None:
    ntu, ratio = np.array(case.given["ntu"])[:, None], np.array(case.given["cr"])
    exact = effectiveness(ntu, ratio)
    case.check("exact", exact.ravel())
    assert exact.ravel() == pytest.approx(case.expected["approximate"], abs=_APPROXIMATION)


@published("he-incropera-finned-crossflow-size")
def test_the_area_of_a_finned_exchanger_for_its_duty(case: Case) -> None:
    given = case.given
    water_rate = given["water_flow"] * given["water_cp"]
    gas_rate = water_rate * (given["water_out"] - given["water_in"]) / (given["gas_in"] - given["gas_out"])
    reached = (given["gas_in"] - given["gas_out"]) / (given["gas_in"] - given["water_in"])
    ntu = float(transfer_units(reached, gas_rate / water_rate))
    case.check("ntu", ntu)
    case.check("area", ntu * gas_rate / given["overall_coefficient"])


@published("he-automotive-radiator")
def test_the_ua_of_an_automotive_radiator(case: Case) -> None:
    """By effectiveness; the source goes by a mean temperature difference with a factor from a chart."""
    given = case.given
    rate = given["water_flow"] * given["water_cp"]
    air_rate = rate * (given["water_in"] - given["water_out"]) / (given["air_out"] - given["air_in"])
    reached = (given["water_in"] - given["water_out"]) / (given["water_in"] - given["air_in"])
    ua = float(transfer_units(reached, rate / air_rate)) * rate
    case.check("ua_from_effectiveness", ua)


@published("he-counterflow-geothermal")
def test_a_counterflow_exchanger_forth_and_back(case: Case) -> None:
    """Its size from its duty, and its duty from the printed size."""
    given = case.given
    rate, hot_rate = given["water_flow"] * given["water_cp"], given["geo_flow"] * given["geo_cp"]
    reached = (given["water_out"] - given["water_in"]) / (given["geo_in"] - given["water_in"])
    ntu = float(transfer_units(reached, rate / hot_rate, "counterflow"))
    area = ntu * rate / given["overall_coefficient"]
    case.check("ntu", ntu)
    case.check("area", area)
    case.check("length", area / (math.pi * given["diameter"]))
    made = _exchanger(given["overall_coefficient"] * case.expected["area"], "counterflow")
    passed = float(made.conductance(1e-3, rate, 1e-3, hot_rate))
    heat = passed * (given["geo_in"] - given["water_in"])
    case.check("effectiveness", passed / rate)
    case.check("heat_rate", heat)
    case.check("hot_out", given["geo_in"] - heat / hot_rate)


@published("he-chip-resistance-chain")
def test_a_chip_through_its_joint_and_plate_into_the_stream(case: Case) -> None:
    """Per square metre: the lower face as a block, whose film counts half as still and half as flowing."""
    given = case.given
    film = given["film_coefficient"]
    base = given["joint_resistance"] + given["plate_thickness"] / given["plate_conductivity"]
    below = BlockCooling(base, film / 2, Film(film / 2, 1e-4, 0.5))
    upper = film
    rise = given["heat_flux"] / (upper + 1 / float(below.resistance(1e-4)))
    case.check("chip_temperature", given["air_temperature"] + rise)


@published("he-turbulent-tube-dittus-boelter")
def test_water_in_a_tube_with_oil_around_it(case: Case) -> None:
    given = case.given
    viscosity = given["kinematic_viscosity"] * given["density"]
    reynolds = 4 * given["flow"] / (math.pi * given["diameter"] * viscosity)
    nusselt = float(turbulent_nusselt(reynolds, given["prandtl"]))
    inner = nusselt * given["conductivity"] / given["diameter"]
    outer = given["annulus_nusselt"] * given["annulus_conductivity"] / given["annulus_hydraulic_diameter"]
    case.check("nusselt", nusselt)
    case.check("overall", float(Exchanger(Film(inner, 1e-4, 0.8), Film(outer, 1e-4, 0.0)).ua(1e-4, 1e-4)))


@published("he-rect-laminar-nusselt")
def test_laminar_flow_in_rectangular_channels(case: Case) -> None:
    case.check("nusselt", developed_nusselt(case.given["aspect_short_over_long"]))


def _warmed(low: float, high: float) -> float:
    """Heat that warms a kilogram of water from one temperature to another [J/kg]."""
    between = np.linspace(low, high, 201)
    return float(trapezoid(water().heat_capacity(between), between))


@published("he-mixing-shower-ratio")
def test_two_streams_of_water_mix_in_the_printed_ratio(case: Case) -> None:
    given = case.given
    ratio = _warmed(given["cold"], given["mixed"]) / _warmed(given["mixed"], given["hot"])
    case.check("flow_ratio", ratio)


@published("he-mixing-cold-flow")
def test_the_cold_water_that_brings_a_hot_stream_down(case: Case) -> None:
    given = case.given
    ratio = _warmed(given["mixed"], given["hot"]) / _warmed(given["cold"], given["mixed"])
    case.check("cold_flow", given["hot_flow"] * ratio)


@published("he-crossflow-effectiveness")
def test_the_one_line_formula_of_a_cross_flow_example_is_near_the_exact_law(case: Case) -> None:
    """The source prints an approximation, so the exact law is held near it and not counted as compared."""
    smaller, larger = sorted((case.given["c1"], case.given["c2"]))
    passed = float(_exchanger(case.given["ua"], "cross flow").conductance(1e-3, smaller, 1e-3, larger))
    assert passed / smaller == pytest.approx(case.expected["effectiveness"], abs=_APPROXIMATION)

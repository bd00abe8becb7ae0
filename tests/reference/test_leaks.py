"""Pressure that changes, and gas that is lost."""

from loopsim.studies.fill import expected_pressure, leak_rate, leak_test
from loopsim.units import STANDARD_ATMOSPHERE

from .conftest import Case, published

KELVIN = 273.15


@published("le-vacuum-decay-40cfr1065")
def test_gas_that_leaks_into_a_vacuum(case: Case) -> None:
    first, second = case.given["t1"] - KELVIN, case.given["t2"] - KELVIN
    rate = leak_rate(case.given["volume"], case.given["duration"], case.given["p1"], case.given["p2"], first, second)
    case.check("molar_leak_rate", -rate / (case.given["gas_constant"] * case.given["t1"]))


@published("le-gauge-temperature-correction")
def test_a_sealed_loop_that_cools(case: Case) -> None:
    given = case.given
    expected = expected_pressure(given["gauge_start"], given["t_start"], given["t_end"], given["atmosphere"])
    case.check("expected_gauge", expected)
    case.check("apparent_loss", given["gauge_start"] - expected)
    test = leak_test(given["gauge_start"], given["gauge_end"], given["t_start"], given["t_end"], given["atmosphere"])
    case.check("leak_part_if_46kpa", test.unexplained)


@published("le-pressure-decay-rate")
def test_a_leak_rate_from_the_fall_of_pressure(case: Case) -> None:
    start = STANDARD_ATMOSPHERE
    rate = leak_rate(case.given["volume"], case.given["duration"], start, start - case.given["pressure_drop"])
    case.check("leak_rate", rate)
    case.check("leak_rate_mbar_l_s", rate)
    case.check("standard_flow", rate / STANDARD_ATMOSPHERE * 1e6 * 60)

"""Valves against the definition of the flow coefficient and published sizing examples."""

import math

import pytest

from loopsim.elements import CheckValve, Valve, kv_from_cv
from loopsim.elements.valve import WATER_15C
from loopsim.media import State, water
from loopsim.units import to_si

from .conftest import Case, published

PA_PER_PSI = 6894.757


@published("mi-kv-definition")
def test_kv_is_the_flow_at_one_bar(case: Case) -> None:
    """The case rounds the reference density to 1000 kg/m3; what counts is the ratio to it."""
    plain = State(WATER_15C, 1e-3)
    glycol = State(WATER_15C * case.given["density_glycol"] / case.given["density_ref"], 1e-3)
    case.check("dp_kv1_q1", Valve(1.0).dp(1 / 3600, plain)[0])
    case.check("dp_kv1p5_q0p3", Valve(1.5).dp(0.3 / 3600, plain)[0])
    case.check("dp_kv1p5_q0p3_glycol", Valve(1.5).dp(0.3 / 3600, glycol)[0])
    case.check("kv_of_cv1", to_si(kv_from_cv(1.0), "m3_h"))


def test_the_reference_density_is_that_of_water_at_15_degrees() -> None:
    assert water().at(15.0).density == pytest.approx(WATER_15C, abs=0.05)


@published("mi-kv-to-k-globe-valve")
def test_velocity_heads_of_a_globe_valve(case: Case) -> None:
    state, flow, bore = State(WATER_15C, 1e-3), 0.02, case.given["diameter"]
    v = flow / (math.pi / 4 * bore**2)
    k = Valve(case.given["kv"]).dp(flow, state)[0] / (state.density * v**2 / 2)
    case.check("K", k)
    case.check("equivalent_length_over_d", k / case.given["darcy_f"])
    case.check("equivalent_length", k / case.given["darcy_f"] * bore)


@published("mi-control-valve-cv")
def test_a_control_valve_of_the_printed_cv_passes_the_flow_at_the_printed_drop(case: Case) -> None:
    """The printed Cv, put in, gives the printed drop within twice the case's tolerance: dp goes with 1/Cv^2."""
    state = State(case.given["density"] / case.given["reference_density"] * WATER_15C, 3e-4)
    dp = Valve(kv_from_cv(case.expected["cv"])).dp(case.given["flow"], state)[0]
    case.check("cv", case.expected["cv"] * math.sqrt(dp / case.given["pressure_drop"]))


def test_cv_is_the_flow_in_us_gallons_per_minute_at_one_psi() -> None:
    """Definition, IEC 60534-1; the gallon is 3.785411784 L, the factor 0.865 is rounded to three digits."""
    flow = 3.785411784e-3 / 60
    assert Valve(kv_from_cv(1.0)).dp(flow, State(WATER_15C, 1e-3))[0] == pytest.approx(PA_PER_PSI, rel=1e-3)


@published("mi-kv-definition")
def test_an_open_check_valve_adds_its_spring_to_the_same_law(case: Case) -> None:
    """``cracking + 1 bar (Q/Kv)^2``; the bend between leak and open law adds up to 2 % of cracking."""
    cracking = 700.0
    dp = CheckValve(1.5, cracking).dp(0.3 / 3600, State(WATER_15C, 1e-3))[0]
    assert dp == pytest.approx(cracking + case.expected["dp_kv1p5_q0p3"], abs=0.02 * cracking)

"""Pumps on their systems against published operating points."""

import math
from collections.abc import Sequence

import numpy as np
import pytest

from loopsim.elements import Element, PowerLaw, Pump, StoppedPump, Tube
from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import FlowResult, solve_flow
from loopsim.units import GRAVITY

from .conftest import Case, published

WATER = State(998.2, 1.002e-3)


def square_law(head_coefficient: float) -> PowerLaw:
    """``H = k Q|Q|`` with k in m / (m3/s)^2."""
    return PowerLaw(head_coefficient * WATER.density * GRAVITY)


def lift(pumps: Sequence[Sequence[Element]], system: Element, static_head: float = 0.0) -> FlowResult:
    """Pumps from a lower to a higher surface: each inner sequence in series, the sequences side by side."""
    network = Network(WATER)
    network.add_junction("low", pressure=0.0)
    network.add_junction("delivery")
    network.add_junction("high", elevation=static_head, pressure=0.0)
    for row, chain in enumerate(pumps):
        names = ["low", *(f"between {row} {step}" for step in range(1, len(chain))), "delivery"]
        for name in names[1:-1]:
            network.add_junction(name)
        for step, pump in enumerate(chain):
            network.add_element(f"pump {row} {step}", names[step], names[step + 1], pump)
    network.add_element("system", "delivery", "high", system)
    return solve_flow(network)


def quadratic(coefficients: Sequence[float]) -> Pump:
    """``H = a + c Q^2``."""
    return Pump.from_polynomial([coefficients[0], 0.0, coefficients[1]])


@published("pu-operating-point-hi")
def test_operating_point_and_raised_tank(case: Case) -> None:
    pump = Pump.from_polynomial(case.given["pump_curve"])
    system, static = square_law(case.given["system_coefficient"]), case.given["static_head"]
    result = lift([[pump]], system, static)
    case.check("flow", result.flow["system"])
    case.check("head", result.head("delivery"))
    case.check("flow_static_275ft", lift([[pump]], system, 275 * 0.3048).flow["system"])


@published("pu-operating-point-abulencia", "pu-operating-point-small-pump")
def test_operating_point_of_two_quadratics(case: Case) -> None:
    static, coefficient = case.given["system_curve"]
    result = lift([[quadratic(case.given["pump_curve"])]], square_law(coefficient), static)
    case.check("flow", result.flow["system"])
    case.check("head", result.head("delivery"))


@published("pu-duty-point-table-and-speed")
def test_duty_point_of_a_tabulated_curve(case: Case) -> None:
    """Fanning 0.005 over 100 m and one exit loss, as a square law."""
    d, f, length = case.given["diameter"], case.given["fanning_f"], case.given["length"]
    exits = case.given["exit_loss_velocity_heads"]
    coefficient = 16 / (2 * GRAVITY * math.pi**2 * d**4) * (4 * f * length / d + exits)
    case.check("system_coefficient", coefficient)
    pump = Pump.from_points(case.given["pump_flow_points"], case.given["pump_head_points"])
    result = lift([[pump]], square_law(coefficient), case.given["static_head"])
    case.check("flow", result.flow["system"])
    case.check("head", result.head("delivery"))


@published("pu-series-parallel-table-curve")
def test_tabulated_pumps_alone_in_series_and_side_by_side(case: Case) -> None:
    """The source joins its points by straight lines; ours curves smoothly through them, at most 1 % apart here."""
    pump = Pump.from_points(case.given["pump_flow_points"], case.given["pump_head_points"])
    system, static = square_law(case.given["system_coefficient"]), case.given["static_head"]
    arrangements = {"one": [[pump]], "series": [[pump, pump]], "parallel": [[pump], [pump]]}
    for name, pumps in arrangements.items():
        got = lift(pumps, system, static).flow["system"]
        assert got == pytest.approx(case.expected[name], rel=0.01), case.source


@published("pu-white-single-pump")
def test_large_pump_alone(case: Case) -> None:
    result = lift([[quadratic(case.given["pump_curve"])]], _rough_main(case), case.given["static_head"])
    case.check("flow", result.flow["system"])
    case.check("head", result.head("delivery"))


@published("pu-white-two-parallel")
def test_two_large_pumps_side_by_side(case: Case) -> None:
    pump = quadratic(case.given["pump_curve"])
    result = lift([[pump], [pump]], _rough_main(case), case.given["static_head"])
    case.check("total_flow", result.flow["system"])
    case.check("flow_per_pump", result.flow["pump 0 0"])
    case.check("head", result.head("delivery"))


def _rough_main(case: Case) -> PowerLaw:
    d = case.given["diameter"]
    return square_law(8 * case.given["darcy_f"] * case.given["length"] / (GRAVITY * math.pi**2 * d**5))


@published("pu-affinity-crane-7-33")
def test_affinity_laws(case: Case) -> None:
    """One point of the curve moves with the speed as printed."""
    flow, head = case.given["flow"], case.given["head"]
    ratio = case.given["speed2"] / case.given["speed1"]
    pump = Pump.from_points([0.0, flow, 2 * flow], [1.2 * head, head, 0.3 * head], speed=ratio)
    case.check("head", float(pump.curve(case.expected["flow"])[0]))
    case.check("flow", flow * ratio)


@published("pu-closed-loop-two-pump-failure")
def test_closed_loop_with_one_of_two_pumps_stopped(case: Case) -> None:
    pump = quadratic(case.given["pump_curve"])
    loop = square_law(case.given["loop_coefficient"])
    in_series = StoppedPump.from_coefficients(*[case.given["stopped_pump_coefficient_in_series"]] * 2)
    in_parallel = StoppedPump.from_coefficients(*[case.given["stopped_pump_coefficient_in_parallel"]] * 2)
    case.check("one", lift([[pump]], loop).flow["system"])
    case.check("series_both", lift([[pump, pump]], loop).flow["system"])
    case.check("series_one_stopped", lift([[pump, in_series]], loop).flow["system"])
    case.check("parallel_both", lift([[pump], [pump]], loop).flow["system"])
    stopped = lift([[pump], [in_parallel]], loop)
    case.check("parallel_one_stopped_no_check_valve_loop_flow", stopped.flow["system"])
    case.check("parallel_one_stopped_no_check_valve_pump_flow", stopped.flow["pump 0 0"])
    assert stopped.flow["pump 1 0"] < 0


@published("pu-operating-point-fitted-curve")
def test_pump_curve_fitted_by_the_source(case: Case) -> None:
    """The source fits a parabola to its points; its fit is taken as printed, its friction at 1 ft3/s too."""
    pump = quadratic([case.expected["pump_shutoff"], -case.expected["pump_coefficient"]])
    result = lift([[pump]], square_law(case.expected["system_coefficient"]), case.given["static_head"])
    case.check("flow", result.flow["system"])
    case.check("head", result.head("delivery"))


@published("hy-closed-loop-static")
def test_static_pressures_follow_the_height(case: Case) -> None:
    network = Network(State(case.given["density"], 1e-3))
    network.add_junction("surface", pressure=0.0)
    network.add_junction("top", elevation=case.given["top_above_surface"])
    network.add_junction("bottom", elevation=-case.given["bottom_below_surface"])
    for name, start, end in (("rise", "surface", "top"), ("fall", "top", "bottom"), ("back", "bottom", "surface")):
        network.add_element(name, start, end, Tube(0.01, 1.0))
    result = solve_flow(network)
    case.check("top_static", result.pressure["top"])
    case.check("bottom_static", result.pressure["bottom"])
    assert np.abs(list(result.flow.values())).max() < 1e-15

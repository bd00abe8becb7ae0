"""Pipe networks against published solutions."""

import math

import numpy as np
import pytest

from loopsim.elements import Pump, Tube
from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import solve_flow
from loopsim.units import GRAVITY

from .conftest import Case, published
from .laws import darcy, losses

WATER = State(1000.0, 1.0e-3)


def with_inflows(case: Case, state: State = WATER) -> Network:
    """The junctions of a case with what they take in and give off."""
    network = Network(state)
    supply, demand = case.given["supply"], case.given["demand"]
    for name in sorted({end for ends in case.given["pipe_ends"] for end in ends}):
        network.add_junction(name, inflow=supply.get(name, 0.0) - demand.get(name, 0.0))
    return network


@published("ne-three-loop-fixed-f")
def test_three_loops_with_fixed_friction_factors(case: Case) -> None:
    network = with_inflows(case)
    rows = zip(*(case.given[name] for name in ("pipe_ends", "darcy_f", "length", "diameter")), strict=True)
    for number, ((start, end), f, length, diameter) in enumerate(rows):
        network.add_element(f"pipe {number}", start, end, darcy(WATER, f, length, diameter))
    result = solve_flow(network)
    flow, head = (np.array(list(each.values())) for each in (result.flow, result.dp))
    case.check("pipe_flow", flow)
    case.check("resistance", head / (WATER.density * GRAVITY * flow * np.abs(flow)))
    assert result.mass_imbalance < 1e-9
    assert result.pressure_imbalance < 1e-9


@published("ne-three-loop-cast-iron")
def test_three_loops_of_cast_iron(case: Case) -> None:
    network = with_inflows(case, State(1000.0, 1000.0 * case.given["kinematic_viscosity"]))
    rows = zip(*(case.given[name] for name in ("pipe_ends", "relative_roughness", "length", "diameter")), strict=True)
    for number, ((start, end), roughness, length, diameter) in enumerate(rows):
        network.add_element(f"pipe {number}", start, end, Tube(diameter, length, roughness * diameter))
    case.check("pipe_flow", list(solve_flow(network).flow.values()))


def swamee_jain(flow: float, diameter: float, roughness: float, kinematic_viscosity: float) -> float:
    """Friction factor as the next case takes it: Swamee and Jain's explicit form, 1 % from Colebrook's."""
    reynolds = 4 * abs(flow) / (math.pi * diameter * kinematic_viscosity)
    return 0.25 / math.log10(roughness / (3.7 * diameter) + 5.74 / reynolds**0.9) ** 2


@published("ne-six-node-eight-pipe")
def test_eight_pipes_from_one_reservoir(case: Case) -> None:
    """Solved with fixed factors, these brought up to date from the flows until nothing moves."""
    pipes = list(zip(*(case.given[name] for name in ("pipe_ends", "length", "diameter")), strict=True))
    flows = [0.1] * len(pipes)
    for _ in range(30):
        network = Network(WATER)
        network.add_junction("S", elevation=case.given["reservoir_head"], pressure=0.0)
        for name, demand in case.given["demand"].items():
            network.add_junction(name, elevation=case.given["elevation"][name], inflow=-demand)
        for number, ((start, end), length, diameter) in enumerate(pipes):
            f = swamee_jain(flows[number], diameter, case.given["roughness"], case.given["kinematic_viscosity"])
            network.add_element(f"pipe {number}", start, end, darcy(WATER, f, length, diameter))
        result = solve_flow(network)
        flows = list(result.flow.values())
    case.check("pipe_flow", flows)
    case.check("node_head", [result.head(name) for name in case.given["demand"]])


@published("ne-three-reservoirs-munson")
def test_three_reservoirs_share_as_printed(case: Case) -> None:
    network = Network(WATER)
    network.add_junction("meeting", elevation=0.0)
    for name, level, length, diameter in zip(
        "ABC", case.given["levels"], case.given["length"], case.given["diameter"], strict=True
    ):
        network.add_junction(name, elevation=level, pressure=0.0)
        network.add_element(f"pipe {name}", name, "meeting", darcy(WATER, case.given["darcy_f"], length, diameter))
    flow = solve_flow(network).flow
    case.check("flow_out_of_A", flow["pipe A"])
    case.check("flow_into_B", -flow["pipe B"])
    case.check("flow_into_C", -flow["pipe C"])


@published("ne-branching-pipes-douglas")
def test_one_pipe_splits_to_two_lower_reservoirs(case: Case) -> None:
    network = Network(WATER)
    network.add_junction("A", elevation=0.0, pressure=0.0)
    network.add_junction("fork")
    network.add_junction("B", elevation=-case.given["level_difference_A_to_B"], pressure=0.0)
    network.add_junction("C", elevation=-case.given["level_difference_A_to_C"], pressure=0.0)
    ends = (("A", "fork"), ("fork", "B"), ("fork", "C"))
    for (start, end), length, diameter in zip(ends, case.given["length"], case.given["diameter"], strict=True):
        network.add_element(f"{start}{end}", start, end, darcy(WATER, 4 * case.given["fanning_f"], length, diameter))
    case.check("flow", list(solve_flow(network).flow.values()))


@published("ne-parallel-pipes-douglas")
def test_two_parallel_pipes_between_reservoirs(case: Case) -> None:
    network = Network(WATER)
    network.add_junction("upper", elevation=case.given["level_difference"], pressure=0.0)
    network.add_junction("lower", pressure=0.0)
    for diameter in case.given["diameter"]:
        pipe = darcy(
            WATER, 4 * case.given["fanning_f"], case.given["length"], diameter, case.given["K_entrance_plus_exit"]
        )
        network.add_element(f"{diameter}", "upper", "lower", pipe)
    flow = list(solve_flow(network).flow.values())
    case.check("flow", flow)
    case.check("total", sum(flow))


@published("ne-parallel-pipes-colebrook")
def test_two_rough_pipes_share_a_flow(case: Case) -> None:
    network = Network(State(958.0, 958.0 * case.given["kinematic_viscosity"]))
    network.add_junction("in", inflow=case.given["total_flow"])
    network.add_junction("out", inflow=-case.given["total_flow"])
    for length, diameter in zip(case.given["length"], case.given["diameter"], strict=True):
        network.add_element(f"{diameter}", "in", "out", Tube(diameter, length, case.given["roughness"]))
    result = solve_flow(network)
    case.check("flow", list(result.flow.values()))
    case.check("head_loss", result.head("in") - result.head("out"))
    areas = math.pi / 4 * np.array(case.given["diameter"]) ** 2
    case.check("velocity", (np.array(list(result.flow.values())) / areas).tolist())


@published("ne-balancing-valve")
def test_a_balancing_valve_equalises_two_branches(case: Case) -> None:
    """The coefficient that makes up the difference between both branches at one flow; with it they share equally."""
    f, flow, bore = case.given["darcy_f"], 0.02, case.given["diameter_with_valve"]
    bare = darcy(WATER, f, case.given["length_with_valve"], bore)
    other = darcy(WATER, f, case.given["length_other"], case.given["diameter_other"])
    velocity_head = losses(WATER, 1.0, bore).dp(flow, WATER)[0]
    k = (other.dp(flow, WATER)[0] - bare.dp(flow, WATER)[0]) / velocity_head
    case.check("valve_K", k)
    network = Network(WATER)
    network.add_junction("in", inflow=2 * flow)
    network.add_junction("out", inflow=-2 * flow)
    network.add_element("valve", "in", "out", darcy(WATER, f, case.given["length_with_valve"], bore, float(k)))
    network.add_element("other", "in", "out", other)
    assert solve_flow(network).flow["valve"] == pytest.approx(flow, rel=1e-9)


@published("ne-equivalent-pipes")
def test_one_pipe_stands_for_three(case: Case) -> None:
    """At one friction factor the drop per metre goes with D^-5; three pipes in series, then side by side."""
    f, pipes = 0.02, list(zip(case.given["length"], case.given["diameter"], strict=True))
    series, parallel = Network(WATER), Network(WATER)
    for network, count in ((series, 4), (parallel, 2)):
        for number in range(count):
            network.add_junction(f"{number}", inflow={0: 0.1, count - 1: -0.1}.get(number, 0.0))
    for number, (length, diameter) in enumerate(pipes):
        series.add_element(f"{number}", f"{number}", f"{number + 1}", darcy(WATER, f, length, diameter))
        parallel.add_element(f"{number}", "0", "1", darcy(WATER, f, length, diameter))
    in_series = solve_flow(series).head("0") - solve_flow(series).head("3")
    side_by_side = solve_flow(parallel).head("0") - solve_flow(parallel).head("1")

    def per_metre(diameter: float) -> float:
        return float(darcy(WATER, f, 1.0, diameter).dp(0.1, WATER)[0]) / (WATER.density * GRAVITY)

    case.check("series_equivalent_length_40cm", in_series / per_metre(0.4))
    case.check("series_equivalent_diameter_3600m", (3600.0 * per_metre(1.0) / in_series) ** 0.2)
    case.check("parallel_equivalent_length_50cm", side_by_side / per_metre(0.5))


@published("ne-parallel-pipes-with-pump")
def test_a_pump_of_constant_power_through_two_pipes(case: Case) -> None:
    """``H = eta W / (rho g Q)`` given to the pump as 200 points of that hyperbola around the answer."""
    state = State(case.given["density"], case.given["viscosity"])
    power = case.given["overall_efficiency"] * case.given["electric_power"]
    flow = np.geomspace(0.01, 0.1, 200)
    network = Network(state)
    network.add_junction("a", elevation=case.given["level_a"], pressure=0.0)
    network.add_junction("delivery")
    network.add_junction("b", elevation=case.given["level_b"], pressure=0.0)
    network.add_element("pump", "a", "delivery", Pump.from_points(flow, power / (state.density * GRAVITY * flow)))
    for name, diameter, length in zip(("40", "80"), case.given["diameter"], case.given["length"], strict=True):
        network.add_element(name, "delivery", "b", Tube(diameter, length, case.given["roughness"]))
    result = solve_flow(network)
    case.check("total_flow", result.flow["pump"])
    case.check("flow_40mm", result.flow["40"])
    case.check("flow_80mm", result.flow["80"])
    case.check("pump_head", result.head("delivery") - result.head("a"))


def test_gravity_is_the_standard_value() -> None:
    """ISO 80000-3."""
    assert GRAVITY == 9.80665

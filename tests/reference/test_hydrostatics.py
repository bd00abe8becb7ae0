"""Pressures at heights: columns at rest, siphons, the top of a pipeline."""

import numpy as np

from loopsim.elements import Tube, velocity
from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import FlowResult, solve_flow
from loopsim.units import GRAVITY

from .conftest import Case, published
from .laws import losses


@published("hy-closed-loop-static")
def test_static_pressures_follow_the_height(case: Case) -> None:
    network = Network(State(case.given["density"], 1e-3))
    network.add_junction("surface", pressure=0.0)
    network.add_junction("top", elevation=case.given["top_above_surface"])
    network.add_junction("bottom", elevation=-case.given["bottom_below_surface"])
    network.add_junction("pump", elevation=-case.given["pump_below_surface"])
    ways = (("surface", "top"), ("top", "bottom"), ("bottom", "pump"), ("pump", "surface"))
    for start, end in ways:
        network.add_element(start, start, end, Tube(0.01, 1.0))
    result = solve_flow(network)
    case.check("top_static", result.pressure["top"])
    case.check("bottom_static", result.pressure["bottom"])
    case.check("inlet_with_pump_off_pump_40cm_below", result.pressure["pump"])
    case.check("closed_loop_net_static", sum(result.dp.values()))
    assert np.abs(list(result.flow.values())).max() < 1e-15


@published("hy-layered-tank")
def test_two_liquids_one_above_the_other(case: Case) -> None:
    """One network per liquid: where they meet, the upper one's pressure is the lower one's."""
    pressure = 0.0
    for name, gravity, depth in (("interface", "gasoline_sg", "gasoline_depth"), ("bottom", "", "water_depth")):
        weight = case.given["water_specific_weight"] * case.given.get(gravity, 1.0)
        network = Network(State(weight / GRAVITY, 1e-3))
        network.add_junction("above", elevation=case.given[depth], pressure=pressure)
        network.add_junction("below")
        network.add_element("column", "above", "below", Tube(0.1, case.given[depth]))
        pressure = solve_flow(network).pressure["below"]
        case.check(name, pressure)


def _over_a_crest(state: State, levels: tuple[float, float, float], heads: tuple[float, float], d: float) -> FlowResult:
    """Flow from a surface over a crest to an outlet, with the velocity heads lost before and after the crest."""
    network = Network(state)
    network.add_junction("surface", elevation=levels[0], pressure=0.0)
    network.add_junction("crest", elevation=levels[1])
    network.add_junction("outlet", elevation=levels[2], pressure=0.0)
    network.add_element("rise", "surface", "crest", losses(state, heads[0], d))
    network.add_element("fall", "crest", "outlet", losses(state, heads[1], d))
    return solve_flow(network)


@published("hy-siphon-gasoline")
def test_a_siphon_without_friction(case: Case) -> None:
    """All that is lost is the velocity head of the jet."""
    state, d = State(case.given["density"], 1e-3), case.given["diameter"]
    levels = (case.given["outlet_below_surface"], case.given["crest_above_outlet"], 0.0)
    result = _over_a_crest(state, levels, (1e-9, 1.0), d)
    v = float(velocity(result.flow["rise"], d))
    case.check("velocity", v)
    case.check("time", case.given["volume"] / result.flow["rise"])
    case.check("crest_pressure", case.given["atmosphere"] + result.pressure["crest"] - state.density * v**2 / 2)


@published("hy-summit-long-pipeline")
def test_the_summit_of_a_long_pipeline(case: Case) -> None:
    state, d = State(case.given["specific_weight"] / GRAVITY, 1e-3), case.given["diameter"]
    top, whole = case.given["length_to_summit"], case.given["length"]
    heads = (case.given["darcy_f"] * top / d, case.given["darcy_f"] * (whole - top) / d)
    upstream = case.given["upstream_level"]
    levels = (upstream, case.given["summit_level"], upstream - case.given["level_difference"])
    result = _over_a_crest(state, levels, heads, d)
    v = float(velocity(result.flow["rise"], d))
    case.check("velocity", v)
    atmosphere = case.given["atmospheric_head"] * case.given["specific_weight"]
    case.check("summit_pressure", atmosphere + result.pressure["crest"] - state.density * v**2 / 2)

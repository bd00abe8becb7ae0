"""Networks in which not everything holds the same liquid at the same temperature."""

import numpy as np
import pytest

from loopsim.elements import PowerLaw, Pump, Tube
from loopsim.media import State, propylene_glycol, water
from loopsim.network import Network
from loopsim.solve import solve_flow, solve_variants
from loopsim.units import GRAVITY

COLD, WARM = water().at(20.0), water().at(70.0)


def ring(state: State = COLD) -> Network:
    """A loop that rises 2 m on one side and falls 2 m on the other, without a pump."""
    network = Network(state)
    network.add_junction("low", elevation=0.0, pressure=0.0)
    network.add_junction("high", elevation=2.0)
    network.add_element("up", "low", "high", Tube(0.02, 2.0))
    network.add_element("down", "high", "low", Tube(0.02, 2.0))
    return network


def test_a_warm_column_rises_by_what_it_weighs_less() -> None:
    """Hand calculation: the buoyancy of two columns of 2 m equals the friction of both at the flow found."""
    network = ring()
    network.states["up"] = WARM
    result = solve_flow(network)
    drive = (COLD.density - WARM.density) * GRAVITY * 2.0
    up, down = result.flow["up"], result.flow["down"]
    friction = Tube(0.02, 2.0).dp(up, WARM)[0] + Tube(0.02, 2.0).dp(down, COLD)[0]
    assert friction == pytest.approx(drive, rel=1e-9)
    assert up > 0


def test_mass_is_conserved_where_densities_meet() -> None:
    network = ring()
    network.states["up"] = WARM
    flow = solve_flow(network).flow
    assert flow["up"] * WARM.density == pytest.approx(flow["down"] * COLD.density, rel=1e-12)


def test_equal_columns_drive_nothing() -> None:
    network = ring()
    network.states.update(up=WARM, down=WARM)
    assert solve_flow(network).flow["up"] == pytest.approx(0.0, abs=1e-15)


def test_pressures_are_those_of_the_column_that_stands_there() -> None:
    """Hydrostatics: 2 m above the datum at rest the pressure has fallen by the weight of what fills the loop."""
    network = ring()
    network.states.update(up=WARM, down=WARM)
    assert solve_flow(network).pressure["high"] == pytest.approx(-WARM.density * GRAVITY * 2.0, rel=1e-12)


def test_a_second_liquid_flows_as_in_a_network_of_its_own() -> None:
    glycol = propylene_glycol(0.4).at(5.0)

    def loop(network: Network, name: str) -> None:
        network.add_junction(f"{name} s", pressure=0.0)
        network.add_junction(f"{name} d", elevation=0.3)
        pump = Pump.from_points([0, 5e-5, 1e-4], [4.0, 3.3, 1.0])
        network.add_element(f"{name} pump", f"{name} s", f"{name} d", pump)
        network.add_element(f"{name} tube", f"{name} d", f"{name} s", Tube(0.008, 4.0, 1e-6, 6.0))

    both, alone = Network(COLD), Network(glycol)
    loop(both, "a")
    loop(both, "b")
    loop(alone, "b")
    both.states.update({"b pump": glycol, "b tube": glycol})
    together, by_itself = solve_flow(both), solve_flow(alone)
    for name in ("b pump", "b tube"):
        assert together.flow[name] == pytest.approx(by_itself.flow[name], rel=1e-9)
        assert together.dp[name] == pytest.approx(by_itself.dp[name], rel=1e-9)
    assert together.pressure["b d"] == pytest.approx(by_itself.pressure["b d"], rel=1e-9)


def test_a_change_of_states_is_taken_up_by_the_next_solve() -> None:
    network = ring()
    assert solve_flow(network).flow["up"] == 0.0
    network.states["down"] = WARM
    assert solve_flow(network).flow["up"] < 0
    network.states.clear()
    assert solve_flow(network).flow["up"] == pytest.approx(0.0, abs=1e-15)


def test_a_factor_on_a_drop_leaves_the_columns_weight() -> None:
    network = ring()
    network.states["up"] = WARM
    solved = solve_variants(network, {}, {"up": [1.0, 2.0], "down": [1.0, 2.0]})
    drive = (COLD.density - WARM.density) * GRAVITY * 2.0
    up, down = solved.flows[:, 1]
    friction = Tube(0.02, 2.0).dp(up, WARM)[0] + Tube(0.02, 2.0).dp(down, COLD)[0]
    assert 2 * friction == pytest.approx(drive, rel=1e-9)


def test_a_warm_start_takes_volume_flows_as_results_give_them() -> None:
    network = ring()
    network.add_element("load", "low", "high", PowerLaw(k=1e9))
    network.states["up"] = WARM
    result = solve_flow(network)
    again = solve_flow(network, start=result)
    assert again.iterations <= 1
    assert np.allclose(list(again.flow.values()), list(result.flow.values()), rtol=1e-9)

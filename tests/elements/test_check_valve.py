"""The opening law of a check valve, and that the solver takes it."""

import numpy as np
import pytest

from loopsim.elements import CheckValve, Pump, Tube
from loopsim.media import State, water
from loopsim.network import Network
from loopsim.solve import solve_flow

WATER = water().at(20.0)
VALVE = CheckValve(1.5, 2000.0)
PUMP = Pump.from_points([0, 4e-5, 8e-5, 1.3e-4], [4.0, 3.8, 3.0, 0.6])


def test_shut_it_leaks_in_proportion_to_the_pressure() -> None:
    """Leak coefficient by definition: its flow at 1 bar; a ten-thousandth of kv where none is given."""
    at_one_bar = 1.5e-4 / 3600
    flow = at_one_bar * np.array([-1.0, -0.3, 0.0, 0.01])
    assert VALVE.dp(flow, State(999.1, 1e-3))[0] == pytest.approx([-1e5, -3e4, 0.0, 1e3])
    assert CheckValve(1.5, 2000.0, 0.03).dp(-0.03 / 3600, State(999.1, 1e-3))[0] == pytest.approx(-1e5)


def test_open_it_costs_the_cracking_pressure_and_the_square_law() -> None:
    flow = np.array([1e-5, 6e-5, 2e-4])
    expected = 2000.0 + 1e5 * (flow * 3600 / 1.5) ** 2
    assert VALVE.dp(flow, State(999.1, 1e-3))[0] == pytest.approx(expected, rel=0.01)


def test_its_drop_has_no_jump_and_no_kink() -> None:
    """Around both ends of the short bend, where the leak's line turns into the open law."""
    for knot in VALVE.curve.knots:
        below, above = VALVE.curve(np.nextafter(knot, -1.0)), VALVE.curve(np.nextafter(knot, 1.0))
        assert below[0] == pytest.approx(above[0], rel=1e-6, abs=1e-6)
        assert below[1] == pytest.approx(above[1], rel=1e-5)


def test_it_says_how_far_it_is_open() -> None:
    """Fully open where the square law asks for as much as the spring: 1.5 m3/h sqrt(0.02) = 0.212 m3/h."""
    flows = np.array([-1e-4, 0.0, 1e-10, 1e-8, 0.2 / 3600, 0.22 / 3600])
    states = [VALVE.opening_state(flow) for flow in flows]
    assert states == ["shut", "shut", "shut", "part open", "part open", "open"]
    assert VALVE.opening_state(0.2 / 3600, density=1200.0) == "open"  # a denser liquid asks for more pressure


def _two_pumps(second: CheckValve | None, running: bool) -> Network:
    """Two pumps side by side, each with a check valve, and one loop for both."""
    network = Network(WATER)
    network.add_junction("suction", pressure=0.0)
    for name in ("delivery", "a", "b"):
        network.add_junction(name)
    network.add_element("P1", "suction", "a", PUMP)
    network.add_element("C1", "a", "delivery", VALVE)
    network.add_element("P2", "suction", "b", PUMP if running else PUMP.stopped())
    network.add_element("C2", "b", "delivery", second or Tube(0.01, 0.05))
    network.add_element("loop", "delivery", "suction", Tube(0.008, 3.0, 1.5e-6, 12.0))
    return network


def test_it_keeps_a_stopped_pump_from_short_circuiting_the_running_one() -> None:
    with_valve, without = (solve_flow(_two_pumps(valve, running=False)) for valve in (VALVE, None))
    assert -1e-6 < with_valve.flow["P2"] < 0
    assert without.flow["P2"] < -1e-5
    assert with_valve.flow["loop"] > 1.3 * without.flow["loop"]


def test_two_alike_share_the_flow() -> None:
    result = solve_flow(_two_pumps(VALVE, running=True))
    assert result.flow["P1"] == pytest.approx(result.flow["P2"], rel=1e-9)
    assert result.flow["P1"] > 0


@pytest.mark.parametrize("cracking", [1.0, 300.0, 5e3, 3.7e4, 3.9e4, 4.2e4, 2e5])
@pytest.mark.parametrize("leak_kv", [1e-9, None, 0.1])
def test_the_solver_closes_the_loop_wherever_it_cracks(cracking: float, leak_kv: float | None) -> None:
    """From valves that hardly count to those that the pump (39 kPa) can not open, and from tight seats to leaky."""
    network = _two_pumps(CheckValve(1.5, cracking, leak_kv), running=True)
    result = solve_flow(network)
    assert result.pressure_imbalance < 1e-9
    assert result.iterations <= 30

"""Two equal pumps on a square-law loop, one stopped: closed forms, and an independent solver.

Each pump gives the head ``H = h - a q^2``; the loop takes ``k Q^2``; standing, the impeller takes ``f q^2`` forward and
``b q^2`` backward. All closed forms are derived beside their test.
"""

from collections.abc import Callable
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import root

from loopsim.elements import CheckValve, Element, PowerLaw, Pump, StoppedPump
from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import solve_flow
from loopsim.units import GRAVITY

WATER = State(1000.0, 1e-3)
H, A, K, F, B = 4.0, 2e8, 4e8, 1.5e8, 2.0e8  # [m], [m/(m3/s)^2]
FACTORS = st.tuples(*[st.floats(0.2, 5.0)] * 4)

running = Pump.from_polynomial([H, 0.0, -A])


def system(k: float) -> PowerLaw:
    return PowerLaw(k * WATER.density * GRAVITY)


def in_series(*pumps: Element, k: float = K) -> float:
    """Loop flow with pumps one behind the other."""
    network = Network(WATER)
    for number in range(len(pumps) + 1):
        network.add_junction(str(number), pressure=0.0 if number == 0 else None)
    for number, pump in enumerate(pumps):
        network.add_element(f"pump {number}", str(number), str(number + 1), pump)
    network.add_element("loop", str(len(pumps)), "0", system(k))
    return solve_flow(network).flow["loop"]


def side_by_side(*pumps: Element, k: float = K, valve: CheckValve | None = None) -> dict[str, float]:
    """Flows with pumps side by side, each with a check valve behind it if one is given."""
    network = Network(WATER)
    network.add_junction("suction", pressure=0.0)
    network.add_junction("delivery")
    for number, pump in enumerate(pumps):
        end = "delivery"
        if valve is not None:
            network.add_junction(end := f"behind {number}")
            network.add_element(f"valve {number}", end, "delivery", valve)
        network.add_element(f"pump {number}", "suction", end, pump)
    network.add_element("loop", "delivery", "suction", system(k))
    return solve_flow(network).flow


def test_two_in_series_add_their_heads() -> None:
    """2 (h - a Q^2) = k Q^2."""
    assert in_series(running, running) == pytest.approx(sqrt(2 * H / (2 * A + K)), rel=1e-9)


def test_one_of_two_in_series_pushes_through_the_other() -> None:
    """H - a Q^2 = (k + f) Q^2."""
    stopped = StoppedPump.from_coefficients(F, B)
    expected = sqrt(H / (A + K + F))
    assert in_series(running, stopped) == pytest.approx(expected, rel=1e-9)
    assert in_series(stopped, running) == pytest.approx(expected, rel=1e-9)


def test_two_side_by_side_share_the_flow() -> None:
    """H - a (Q/2)^2 = k Q^2."""
    flow = side_by_side(running, running)
    assert flow["loop"] == pytest.approx(sqrt(H / (K + A / 4)), rel=1e-9)
    assert flow["pump 0"] == pytest.approx(flow["loop"] / 2, rel=1e-9)


@settings(max_examples=50)
@given(factors=FACTORS)
def test_one_of_two_side_by_side_loses_flow_back_through_the_other(factors: tuple[float, ...]) -> None:
    """The head X across both drives X = k Q^2 round the loop and X = b r^2 back; the pump gives X = h - a (Q + r)^2.

    So Q = sqrt(X/k), r = sqrt(X/b), and X = h / (1 + a (1/sqrt(k) + 1/sqrt(b))^2).
    """
    k, b, a, h = K * factors[0], B * factors[1], A * factors[2], H * factors[3]
    pump = Pump.from_polynomial([h, 0.0, -a])
    flow = side_by_side(pump, StoppedPump.from_coefficients(F, b), k=k)
    head = h / (1 + a * (1 / sqrt(k) + 1 / sqrt(b)) ** 2)
    assert flow["loop"] == pytest.approx(sqrt(head / k), rel=1e-6)
    assert flow["pump 1"] == pytest.approx(-sqrt(head / b), rel=1e-6)


def test_a_check_valve_that_shuts_leaves_one_pump_alone_on_the_loop() -> None:
    """With no drop when open and no leak when shut: h - a Q^2 = k Q^2. A wide valve with a tiny leak comes near."""
    valve = CheckValve(kv=500.0, cracking=1.0, leak_kv=1e-7)
    flow = side_by_side(running, StoppedPump.from_coefficients(F, B), valve=valve)
    assert flow["loop"] == pytest.approx(sqrt(H / (A + K)), rel=1e-4)
    assert abs(flow["pump 1"]) < 1e-5 * flow["loop"]


def test_series_or_side_by_side_depends_on_where_the_system_curve_crosses() -> None:
    """Equal where both closed forms are: 2 / (2 a + k) = 1 / (k + a/4), so at k = 3a/2: above it series gives more."""
    for k, series_is_more in ((1.2 * A, False), (1.8 * A, True)):
        assert (in_series(running, running, k=k) > side_by_side(running, running, k=k)["loop"]) == series_is_more
    at = 1.5 * A
    assert in_series(running, running, k=at) == pytest.approx(side_by_side(running, running, k=at)["loop"], rel=1e-9)


def _by_root(equations: Callable[[np.ndarray], list[float]], start: list[float]) -> np.ndarray:
    scale = np.array(start)
    found = root(lambda unknown: equations(unknown * scale), np.ones(len(start)), tol=1e-13)
    assert found.success
    return found.x * scale


@pytest.mark.parametrize("leak_kv", [0.01, 0.1, 0.4])
def test_back_flow_through_a_leaking_check_valve_agrees_with_hand_written_equations(leak_kv: float) -> None:
    """By `scipy.optimize.root`: unknown are loop flow, back-flow and head; the leak's law is a line through 1 bar.

    The open valve is wide enough to cost its cracking pressure, 1 Pa, and no more.
    """
    valve = CheckValve(kv=500.0, cracking=1.0, leak_kv=leak_kv)
    flow = side_by_side(running, StoppedPump.from_coefficients(F, B), valve=valve)
    leak = 1e5 / (leak_kv / 3600) / (WATER.density * GRAVITY)  # head over flow of the shut valve [s/m2]

    def balances(unknown: np.ndarray) -> list[float]:
        loop, back, head = unknown
        return [
            H - A * (loop + back) ** 2 - 1.0 / (WATER.density * GRAVITY) - head,
            K * loop * abs(loop) - head,
            leak * back + B * back * abs(back) - head,
        ]

    loop, back, _ = _by_root(balances, [8e-5, 1e-6, 3.0])
    assert flow["loop"] == pytest.approx(loop, rel=1e-4)
    assert flow["pump 1"] == pytest.approx(-back, rel=2e-3)  # water of 999.1 kg/m3 in the law of the valve

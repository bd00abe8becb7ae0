"""The course in time of small networks with constant properties against closed forms and a matrix exponential."""

import numpy as np
import pytest
from scipy.integrate import trapezoid
from scipy.linalg import expm

from loopsim.solve import Rates, Watch

from .lumped import Constant, course, lumps, metal, network

HEAT, AIR_RATE, CONDUCTANCE = 200.0, 1e7, 12.5


def ring(rate, heat=HEAT, capacity=(400.0, 1600.0), **values):
    """One heated stretch and one radiator in a ring, in plenty of air at the room's temperature."""
    made = network(
        ["hot", "cold", "room"],
        [("block", "cold", "hot"), ("radiator", "hot", "cold"), ("air", "room", "room")],
        held=("room",),
        exchange=[("radiator", "air")],
    )
    return Constant(made, [rate, rate, AIR_RATE], [heat, 0.0, 0.0], [CONDUCTANCE]), lumps(made, capacity, **values)


def test_a_quick_ring_warms_up_as_a_stirred_tank() -> None:
    """P/G (1 - exp(-t G/C)): block and radiator are as warm as each other while the flow is large."""
    streams, of = ring(rate=1e6)
    found = course(streams, of, end=800.0)
    tau = 2000.0 / CONDUCTANCE
    expected = HEAT / CONDUCTANCE * (1 - np.exp(-found.time / tau))
    assert found.outlet[:, 0] == pytest.approx(expected, abs=2e-3)
    assert found.settled == pytest.approx(tau * np.log(20), rel=2e-3)


def test_a_slow_ring_follows_the_matrix_exponential() -> None:
    """Two cells, equations by hand: C1 T1' = W (T2 - T1) + P and C2 T2' = W (T1 - T2) - G T1."""
    rate, capacity = 30.0, np.array([400.0, 1600.0])
    streams, of = ring(rate)
    found = course(streams, of, end=300.0)
    matrix = np.array([[-rate, rate], [rate - CONDUCTANCE, -rate]]) / capacity[:, None]
    load = np.array([HEAT, 0.0]) / capacity
    at_rest = np.linalg.solve(matrix, -load)
    expected = [at_rest - expm(matrix * time) @ at_rest for time in found.time]
    assert found.lumps == pytest.approx(np.array(expected), abs=1e-3)


def test_the_way_round_does_not_matter() -> None:
    forward, back = (course(*ring(rate, cells=[3, 4]), end=300.0).outlet[:, 0] for rate in (30.0, -30.0))
    assert back == pytest.approx(forward, abs=1e-3)


def test_a_limit_is_met_when_the_exponential_meets_it() -> None:
    streams, of = ring(rate=1e6)
    found = course(streams, of, end=800.0, watches=[Watch(0, 10.0), Watch(0, 20.0), Watch(0, -1.0)])
    expected = -2000.0 / CONDUCTANCE * np.log(1 - 10.0 / (HEAT / CONDUCTANCE))
    assert found.crossed[0] == pytest.approx(expected, rel=1e-4)
    assert found.crossed[1:] == (None, 0.0)


def still_block(components, **values):
    made = network(["a", "b", "room"], [("block", "a", "b")], held=("room",))
    heat = sum(each[0] for each in components)
    block = metal(0, 150.0, film=4.0, components=components, **values)
    return Constant(made, [0.0], [heat]), lumps(made, [80.0], metals=[block])


def test_a_still_block_takes_up_all_of_its_load() -> None:
    """dT/dt = load / capacity: of the component alone at first, of all of it together in the end."""
    streams, of = still_block([(100.0, 25.0, 0.05)], base=0.02)
    rates = Rates(of, streams.transport)
    assert rates.change(np.zeros(of.count))[of.components[0]] == pytest.approx(100.0 / 25.0)
    found = course(streams, of, end=1000.0)
    slopes = np.diff(found.lumps[-10:], axis=0) / np.diff(found.time)[-9:, None]
    assert slopes == pytest.approx(100.0 / (25.0 + 150.0 + 80.0), rel=1e-6)
    assert found.given_off == pytest.approx(0.0, abs=1e-6)
    assert found.settled is None


def test_joints_and_base_hold_their_share_of_the_rise_at_rest() -> None:
    """Two components on one block: own heat through the own joint, all heat through base and film."""
    components = [(100.0, 25.0, 0.05), (40.0, 10.0, 0.0)]
    made = network(["a", "room"], [("in", "room", "a"), ("out", "a", "room")], held=("room",))
    of = lumps(made, [80.0, 10.0], metals=[metal(0, 150.0, 20.0, components, base=0.02)])
    rates = Rates(of, Constant(made, [50.0, 50.0], [140.0, 0.0]).transport)
    at_rest = rates.rest(np.zeros(of.count))
    mean = 140.0 / 50.0 / 2
    face = mean + 140.0 * (1 / 20.0 + 0.02)
    assert at_rest[of.components[0]] == pytest.approx([face + 100.0 * 0.05, face], abs=1e-4)


@pytest.mark.parametrize("rate", [0.0, 1e-6, 0.01, 1.0, 9.0, 11.0, 300.0])
def test_nothing_is_pushed_away_from_what_is_warmer(rate) -> None:
    """Every rate of change rises with every other temperature, at any flow: no swing can be made on paper."""
    made = network(
        ["hot", "cold", "chamber", "room"],
        [("block", "cold", "hot"), ("radiator", "hot", "cold"), ("fan", "room", "chamber"),
         ("fins", "chamber", "room")],
        held=("room",),
        exchange=[("radiator", "fins")],
    )  # fmt: skip
    of = lumps(
        made, [80.0, 300.0], cells=[1, 1], nodes={"chamber": 50.0}, metals=[metal(0, 150.0, 20.0, [(9, 5, 0.1)])]
    )
    conductance = 0.6 * min(rate, 40.0)
    matrix = Rates(of, Constant(made, [rate, rate, 40.0, 40.0], [9, 0, 1, 0], [conductance]).transport).matrix
    assert (matrix - np.diag(np.diag(matrix)) >= 0).all()
    assert (matrix.sum(axis=1) <= 1e-9).all()


@pytest.mark.parametrize("cells", [1, 4, 12])
def test_warmth_travels_along_a_run_at_the_speed_of_the_liquid(cells) -> None:
    """Mean delay behind a step, the area above the response, is volume over flow whatever the number of cells."""
    made = network(["in", "out", "room"], [("heater", "room", "in"), ("run", "in", "out")], held=("room",))
    of = lumps(made, [1e-3, 600.0], cells=[1, cells])
    found = course(Constant(made, [30.0, 30.0], [60.0, 0.0]), of, end=400.0)
    assert trapezoid(1 - found.outlet[:, 1] / 2.0, found.time) == pytest.approx(600.0 / 30.0, rel=5e-3)


def test_warmth_of_a_vessel_lags_by_what_it_holds() -> None:
    """A stirred vessel behind a heater: (P/W) (1 - exp(-t W/C))."""
    made = network(["vessel", "room"], [("heater", "room", "vessel"), ("drain", "vessel", "room")], held=("room",))
    of = lumps(made, [1e-3, 1e-3], nodes={"vessel": 900.0})
    found = course(Constant(made, [30.0, 30.0], [60.0, 0.0]), of, end=100.0)
    assert found.nodes[:, 0] == pytest.approx(2.0 * (1 - np.exp(-found.time / 30.0)), abs=1e-3)


def test_air_warms_its_space_at_once_and_the_space_in_time() -> None:
    """Fan heat enters with the air; what stands in the space warms it too: T = (q + p)/W (1 - exp(-t W/C))."""
    made = network(
        ["a", "b", "chamber", "room"],
        [("run", "a", "b"), ("fan", "room", "chamber"), ("exit", "chamber", "room")],
        held=("room",),
    )
    of = lumps(made, [1.0], nodes={"chamber": 50.0})
    streams = Constant(made, [0.0, 10.0, 10.0], [0.0, 3.0, 0.0], node_heat=[0.0, 0.0, 17.0, 0.0])
    found = course(streams, of, end=20.0)
    assert found.outlet[:, 1] == pytest.approx(0.3)
    assert found.nodes[:, 2] == pytest.approx(2.0 * (1 - np.exp(-found.time / 5.0)), abs=1e-3)


def test_boiling_ends_the_run() -> None:
    """A still cell of 80 J/K with 40 W passes 30 K above the room after 60 s."""
    made = network(["a", "b", "room"], [("block", "a", "b")], held=("room",))
    of = lumps(made, [80.0])
    found = course(Constant(made, [0.0], [40.0]), of, end=500.0, boils_at=lambda _: np.array([30.0]))
    assert found.boiled == (pytest.approx(60.0, rel=1e-5), 0)
    assert found.time[-1] == pytest.approx(60.0, rel=1e-5)
    assert found.outlet[-1, 0] == pytest.approx(30.0, abs=1e-4)


def test_liquid_that_boils_at_the_start_ends_the_run_at_once() -> None:
    streams, of = still_block([(100.0, 25.0, 0.05)])
    found = course(streams, of, end=500.0, start=np.full(of.count, 50.0), boils_at=lambda _: np.array([40.0]))
    assert found.boiled == (0.0, 0)
    assert found.time.tolist() == [0.0]


@pytest.mark.parametrize("rate", [5.0, -40.0, 1e4])
def test_heat_put_in_is_stored_or_given_off(rate) -> None:
    """Against the course itself too: given off is what the radiator passes, by quadrature of what was told."""
    streams, of = ring(rate, cells=[2, 5])
    found = course(streams, of, end=600.0)
    assert found.heat_in == pytest.approx(HEAT * 600.0)
    assert found.imbalance < 1e-9
    passed = CONDUCTANCE * trapezoid(found.inlet[:, 1], found.time)
    assert found.given_off == pytest.approx(passed, rel=2e-3)


def test_what_is_at_rest_stays() -> None:
    streams, of = ring(30.0)
    at_rest = Rates(of, streams.transport).rest(np.zeros(of.count))
    found = course(streams, of, end=1e5, start=at_rest)
    assert found.lumps == pytest.approx(np.tile(at_rest, (101, 1)), abs=1e-4)
    assert found.settled == 0.0

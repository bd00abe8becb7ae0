"""Temperatures of streams against closed forms."""

import numpy as np
import pytest

from loopsim.network import HeatNetwork
from loopsim.solve import solve_heat

ROW = np.array([], dtype=np.intp)


def network(nodes, streams, held=(), exchange=(), returns=()):
    """`streams` as (name, start, end), `exchange` as pairs of names, `returns` as (from, to, share)."""
    number = {name: index for index, name in enumerate(nodes)}
    row = {name: index for index, (name, _, _) in enumerate(streams)}
    return HeatNetwork(
        nodes=nodes,
        streams=list(row),
        start=np.array([number[start] for _, start, _ in streams], dtype=np.intp),
        end=np.array([number[end] for _, _, end in streams], dtype=np.intp),
        held=np.array([0.0 if name in held else np.nan for name in nodes]),
        exchange_a=np.array([row[a] for a, _ in exchange], dtype=np.intp),
        exchange_b=np.array([row[b] for _, b in exchange], dtype=np.intp),
        return_from=np.array([row[a] for a, _, _ in returns], dtype=np.intp),
        return_to=np.array([row[b] for _, b, _ in returns], dtype=np.intp),
        return_share=np.array([share for _, _, share in returns], dtype=float),
    )


def one_block_one_radiator():
    return network(
        ["hot", "cold", "room"],
        [("block", "cold", "hot"), ("radiator", "hot", "cold"), ("air", "room", "room")],
        held=("room",),
        exchange=[("radiator", "air")],
    )


def test_one_block_and_one_radiator_meet_the_closed_form() -> None:
    """Heat q, conductance G between inlets: hot = q / G above the air, cold = hot - q / C."""
    q, rate, air_rate, conductance = 200.0, 250.0, 40.0, 12.5
    found = solve_heat(
        one_block_one_radiator(),
        np.array([rate, rate, air_rate]),
        np.array([q, 0.0, 0.0]),
        np.zeros(3),
        np.array([conductance]),
    )
    hot, cold, _ = found.node
    assert hot == pytest.approx(q / conductance, rel=1e-9)
    assert cold == pytest.approx(q / conductance - q / rate, rel=1e-9)
    assert found.exchanged[0] == pytest.approx(q, rel=1e-9)
    assert found.outlet[2] == pytest.approx(q / air_rate, rel=1e-9)


def test_the_way_round_does_not_matter() -> None:
    """Pumped the other way, coolant enters the block from the other side; the warm side is now the other node."""
    q, rate = 200.0, 250.0
    forward, back = (
        solve_heat(
            one_block_one_radiator(),
            np.array([s * rate, s * rate, 40.0]),
            np.array([q, 0, 0]),
            np.zeros(3),
            np.array([9.0]),
        ).node[:2]
        for s in (1, -1)
    )
    assert back[::-1] == pytest.approx(forward, rel=1e-9)


def test_two_streams_mix_by_their_heat_capacity_rates() -> None:
    """Textbook: 3 parts at 40 K and 1 part at 20 K above make 35 K."""
    mixed = network(
        ["a", "b", "mix", "room"],
        [
            ("one", "a", "mix"),
            ("two", "b", "mix"),
            ("out", "mix", "room"),
            ("in a", "room", "a"),
            ("in b", "room", "b"),
        ],
        held=("room",),
    )
    rate = np.array([3.0, 1.0, 4.0, 3.0, 1.0])
    found = solve_heat(mixed, rate, np.array([0, 0, 0, 120.0, 20.0]), np.zeros(4), np.zeros(0))
    assert found.node[2] == pytest.approx(35.0, rel=1e-9)


@pytest.mark.parametrize("order", [("first", "second"), ("second", "first")])
def test_two_loads_in_either_order_leave_the_reservoir_as_warm(order) -> None:
    """The coolant's temperature after both is the same whichever comes first."""
    loads = {"first": 150.0, "second": 70.0}
    made = network(
        ["vessel", "between", "after", "room"],
        [(order[0], "vessel", "between"), (order[1], "between", "after"), ("radiator", "after", "vessel"),
         ("air", "room", "room")],
        held=("room",),
        exchange=[("radiator", "air")],
    )  # fmt: skip
    heat = np.array([loads[order[0]], loads[order[1]], 0.0, 0.0])
    found = solve_heat(made, np.array([300.0, 300.0, 300.0, 60.0]), heat, np.zeros(4), np.array([20.0]))
    assert found.node[0] == pytest.approx(220 / 20 - 220 / 300, rel=1e-9)


def test_air_drawn_in_again_warms_the_intake_by_its_share() -> None:
    """Share r of the outlet's air: T_in = r T_out and T_out = T_in + q/C, so T_in = r q / (C (1 - r))."""
    q, rate, share = 100.0, 20.0, 0.25
    made = network(
        ["chamber", "room"],
        [("fan", "room", "chamber"), ("exit", "chamber", "room")],
        held=("room",),
        returns=[("exit", "fan", share)],
    )
    found = solve_heat(made, np.array([rate, rate]), np.zeros(2), np.array([q, 0.0]), np.zeros(0))
    assert found.inlet[0] == pytest.approx(share * q / (rate * (1 - share)), rel=1e-9)
    assert found.node[0] == pytest.approx(q / (rate * (1 - share)), rel=1e-9)


def test_a_place_that_nothing_reaches_has_the_rooms_temperature() -> None:
    found = solve_heat(one_block_one_radiator(), np.zeros(3), np.zeros(3), np.zeros(3), np.zeros(1))
    assert found.node == pytest.approx([0.0, 0.0, 0.0])
    assert found.outlet == pytest.approx(found.inlet)


def test_heat_without_a_way_out_is_a_temperature_beyond_all_sense_but_a_number() -> None:
    found = solve_heat(
        one_block_one_radiator(), np.array([250.0, 250.0, 0.0]), np.array([200.0, 0, 0]), np.zeros(3), np.zeros(1)
    )
    assert np.isfinite(found.node).all()
    assert found.node[0] > 1e6


@pytest.mark.parametrize("size", [5, 400], ids=["few places", "many places"])
def test_random_rings_lose_all_heat_that_enters(size) -> None:
    """A ring of streams with random heat, one of which passes it to air; dense and sparse equations alike."""
    random = np.random.default_rng(7)
    names = [f"n{index}" for index in range(size)]
    streams = [(f"s{index}", names[index], names[(index + 1) % size]) for index in range(size)]
    made = network([*names, "room"], [*streams, ("air", "room", "room")], held=("room",), exchange=[("s0", "air")])
    heat = np.append(random.uniform(0, 50, size), 0.0)
    rate = np.append(np.full(size, 180.0), 30.0)
    found = solve_heat(made, rate, heat, np.zeros(size + 1), np.array([14.0]))
    assert found.exchanged[0] == pytest.approx(heat.sum(), rel=1e-7)
    assert found.inlet[0] == pytest.approx(heat.sum() / 14.0, rel=1e-7)

"""Thousands of random networks: each is solved, from any start, in both forms, and as other solvers solve it."""

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import root

from loopsim.elements import Tube
from loopsim.media import water
from loopsim.network import Network
from loopsim.solve import solve_flow
from loopsim.solve.forms import LoopForm, NodalForm
from loopsim.solve.newton import Iterate, close_loops
from loopsim.units import GRAVITY

from .networks import WATER, random_network

FloatArray = np.ndarray
TYPICAL_FLOW, TYPICAL_DROP = 1e-4, 1e4  # the units in which another solver sees the problem [m3/s], [Pa]


def _values(of: dict[str, float]) -> FloatArray:
    return np.array(list(of.values()))


@pytest.mark.parametrize("block", range(4))
def test_every_network_is_solved_and_balances(block: int) -> None:
    """2000 of them, each balance taken here anew from flows and heads."""
    for seed in range(500 * block, 500 * (block + 1)):
        network = random_network(seed)
        result = solve_flow(network)
        assert result.mass_imbalance < 1e-9, seed
        assert result.pressure_imbalance < 1e-9, seed
        most_flow = max(1e-9, *np.abs(_values(result.flow)))
        most_drop = max(1.0, *np.abs(_values(result.dp)))
        left = {name: junction.inflow for name, junction in network.junctions.items()}
        for link in network.links.values():
            head_drop = (result.head(link.start) - result.head(link.end)) * WATER.density * GRAVITY
            assert abs(head_drop - result.dp[link.name]) < 1e-9 * most_drop, (seed, link)
            left[link.start] -= result.flow[link.name]
            left[link.end] += result.flow[link.name]
        held = {name for name, junction in network.junctions.items() if junction.pressure is not None}
        assert all(abs(each) < 1e-9 * most_flow for name, each in left.items() if name not in held), seed


def test_networks_of_unlike_temperatures_balance_mass_and_weight() -> None:
    """300 of them: mass at every junction, and pressures along every element, each taken here anew."""
    media = {temperature: water().at(temperature) for temperature in (2.0, 20.0, 45.0, 80.0)}
    for seed in range(300):
        network, rng = random_network(seed), np.random.default_rng(seed)
        network.states = {name: media[rng.choice(list(media))] for name in network.links if rng.random() < 0.7}
        result = solve_flow(network)
        most_flow = max(1e-9, *np.abs(_values(result.flow)))
        most_drop = max(1.0, *np.abs(_values(result.dp)), *(abs(each) for each in result.pressure.values()))
        left = {name: junction.inflow * WATER.density for name, junction in network.junctions.items()}
        for link in network.links.values():
            state, flow = network.state_in(link.name), result.flow[link.name]
            at = network.junctions
            column = state.density * GRAVITY * (at[link.end].elevation - at[link.start].elevation)
            across = result.pressure[link.start] - result.pressure[link.end]
            assert abs(across - column - float(link.element.dp(flow, state)[0])) < 1e-8 * most_drop, (seed, link)
            left[link.start] -= flow * state.density
            left[link.end] += flow * state.density
        held = {name for name, junction in network.junctions.items() if junction.pressure is not None}
        free = set(left) - held if held else set(left)
        assert all(abs(left[name]) < 1e-9 * most_flow * WATER.density for name in free), seed


@pytest.mark.parametrize("form", [LoopForm, NodalForm])
def test_the_answer_is_the_same_from_any_start_in_both_forms(
    form: type[LoopForm] | type[NodalForm], monkeypatch: pytest.MonkeyPatch
) -> None:
    """From a little beside the usual start and from a thousand times too much.

    Where a wide valve and a long tube lie in one ring, a drop that is right to 1e-11 leaves the flow right to 1e-5.
    """
    rng, steps = np.random.default_rng(7), []

    def from_elsewhere(drops: Callable, start: FloatArray, usual: LoopForm | NodalForm) -> Iterate:
        topology = usual.topology
        astray = topology.loops @ rng.normal(0.0, size, (topology.loop_count, 1))
        found = close_loops(drops, start + astray, form(topology))
        steps.append(found.steps)
        return found

    for seed in range(80):
        network = random_network(seed)
        if all(junction.pressure is not None for junction in network.junctions.values()):
            continue
        usual = solve_flow(network)
        for size in (1e-6, 0.1):
            with monkeypatch.context() as patched:
                patched.setattr("loopsim.solve.flow.close_loops", from_elsewhere)
                other = solve_flow(network)
            for mine, wanted, least in ((other.flow, usual.flow, 1e-5), (other.dp, usual.dp, 1.0)):
                most = max(least, *np.abs(_values(wanted)))
                assert _values(mine) == pytest.approx(_values(wanted), abs=1e-4 * most), (seed, size)
    assert len(steps) > 100
    assert max(steps) < 40


def test_a_large_network_of_nothing_but_fixed_pressures_is_solved() -> None:
    network = Network(WATER)
    network.add_junction("a", pressure=100.0)
    network.add_junction("b", pressure=0.0)
    for number in range(125):
        network.add_element(f"{number}", "a", "b", Tube(0.01, 1.0 + number))
    alone = float(Tube(0.01, 1.0).dp(solve_flow(network).flow["0"], WATER)[0])
    assert alone == pytest.approx(100.0)


def _equations(network: Network) -> tuple[Callable[[FloatArray], tuple[FloatArray, FloatArray]], int]:
    """Every element's law and every junction's balance, written down as they stand; and how many unknowns."""
    names, links = list(network.junctions), list(network.links.values())
    held = [name for name in names if network.junctions[name].pressure is not None] or names[:1]
    free = [names.index(name) for name in names if name not in held]
    leaves = np.zeros((len(names), len(links)))
    for column, link in enumerate(links):
        leaves[names.index(link.start), column] += 1
        leaves[names.index(link.end), column] -= 1
    inflow = np.array([junction.inflow for junction in network.junctions.values()])
    fixed = np.zeros(len(names))
    for name in held:
        junction = network.junctions[name]
        fixed[names.index(name)] = (junction.pressure or 0.0) + WATER.density * GRAVITY * junction.elevation

    def equations(unknown: FloatArray) -> tuple[FloatArray, FloatArray]:
        flow, potential = unknown[: len(links)] * TYPICAL_FLOW, fixed.copy()
        potential[free] = unknown[len(links) :] * TYPICAL_DROP
        dp, slope = np.array([link.element.dp(q, WATER) for link, q in zip(links, flow, strict=True)]).T
        laws = (dp - leaves.T @ potential) / TYPICAL_DROP
        balances = (leaves[free] @ flow - inflow[free]) / TYPICAL_FLOW
        scaled = np.diag(slope) * TYPICAL_FLOW / TYPICAL_DROP
        corner = np.zeros((len(free), len(free)))
        return np.concatenate((laws, balances)), np.block([[scaled, -leaves[free].T], [leaves[free], corner]])

    return equations, len(links) + len(free)


def test_a_plain_root_finder_finds_the_same_flows() -> None:
    """`scipy.optimize.root` on all equations at once, from random starts that know nothing of the answer."""
    for seed in range(3000, 3050):
        network, rng = random_network(seed), np.random.default_rng(seed)
        equations, count = _equations(network)
        tries = (root(equations, rng.normal(0.0, 0.3, count), jac=True, tol=1e-13) for _ in range(20))
        found = next(each for each in tries if np.abs(each.fun).max() < 1e-9)
        ours = _values(solve_flow(network).flow)
        most = max(1e-5, *np.abs(ours))
        assert found.x[: len(ours)] * TYPICAL_FLOW == pytest.approx(ours, abs=1e-5 * most), seed

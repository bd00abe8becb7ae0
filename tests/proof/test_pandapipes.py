"""Whole networks by the `pandapipes` library as an independent answer.

It offers Colebrook's law at every Reynolds number, with 3.71 where Colebrook has 3.7, so it is given walls rougher by
that ratio; and ``64/Re`` with the constant of a rough wall added. So the first is compared in clearly turbulent flow,
the second in a liquid so thick that the constant vanishes. It has no transition to compare.
"""

from typing import Any

import numpy as np
import pytest

from loopsim.elements import Pump, Tube
from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import FlowResult, solve_flow
from loopsim.units import GRAVITY

pytestmark = pytest.mark.filterwarnings("ignore")  # the library's, of changes to come in its own dependencies

PA_PER_BAR = 1e5
WATER = State(998.2, 1.002e-3)
TIGHT = {"tol_p": 1e-10, "tol_m": 1e-10, "tol_res": 1e-9, "tolerance_colebrook": 1e-13, "max_iter_colebrook": 200}
HEAD, FALL = 5.0, 4e7  # of the pump: ``H = HEAD - FALL Q^2`` [m], [m / (m3/s)^2]


def _by_pandapipes(network: Network, friction_model: str) -> tuple[dict[str, float], dict[str, float]]:
    """Flows [m3/s] and pressures [Pa] of the same network; vessels and fixed pressures 10 bar above its zero."""
    import pandapipes

    state, other = network.state, pandapipes.create_empty_network()
    properties = {"density": state.density, "viscosity": state.viscosity, "heat_capacity": 4180.0, "molar_mass": 18.0}
    other.fluid = pandapipes.create_constant_fluid("liquid", "liquid", **properties)
    number = {}
    for name, junction in network.junctions.items():
        number[name] = pandapipes.create_junction(other, 10.0, 293.15, height_m=junction.elevation)
        if junction.pressure is not None:
            pandapipes.create_ext_grid(other, number[name], 10.0 + junction.pressure / PA_PER_BAR, 293.15)
        pandapipes.create_sink(other, number[name], -junction.inflow * state.density)
    for name, link in network.links.items():
        _add_element(pandapipes, other, name, link.element, number[link.start], number[link.end], state)
    model = {"friction_model": friction_model, "use_numba": False, "max_iter_hyd": 300}
    pandapipes.pipeflow(other, **model, **TIGHT)
    flow = {}
    for table, found in ((other.pipe, other.res_pipe), (other.pump, other.res_pump)):
        flow.update(zip(table.name, found.mdot_from_kg_per_s / state.density, strict=True))
    pressure = (other.res_junction.p_bar - 10.0) * PA_PER_BAR
    return flow, dict(zip(network.junctions, pressure, strict=True))


def _add_element(pandapipes: Any, other: Any, name: str, element: Any, start: int, end: int, state: State) -> None:
    if isinstance(element, Pump):
        weight = state.density * GRAVITY / PA_PER_BAR  # its polynomial gives bar from m3/h, highest power first
        curve = [-FALL * weight / 3600.0**2, 0.0, HEAD * weight]
        pandapipes.create_pump_from_parameters(other, start, end, name, poly_coefficents=curve, name=name)
        return
    bore_mm, wall_mm, k = element.bore * 1e3, element.roughness * 1e3 * 3.71 / 3.7, element.loss_coefficient
    length_km = element.length / 1e3
    pandapipes.create_pipe_from_parameters(
        other, start, end, length_km, inner_diameter_mm=bore_mm, k_mm=wall_mm, loss_coefficient=k, name=name
    )


def _agrees(ours: FlowResult, theirs: tuple[dict[str, float], dict[str, float]]) -> None:
    """Flows to a millionth; pressures less closely, for it takes 9.81 m/s2 and lets the air thin with height."""
    for mine, wanted, rel in ((ours.flow, theirs[0], 1e-6), (ours.pressure, theirs[1], 5e-4)):
        most = max(map(abs, wanted.values()))
        assert wanted.keys() == mine.keys()
        for name, each in wanted.items():
            assert mine[name] == pytest.approx(each, abs=rel * most), name


def _grid(state: State, feed: float, seed: int, wall: float) -> Network:
    """Four by four junctions at different heights, fed at one corner, drawn from at two places, held at a third."""
    rng, network, side = np.random.default_rng(seed), Network(state), 4
    drawn = {(3, 3): -0.4 * feed, (0, 3): -0.6 * feed, (0, 0): feed}
    for row, column in np.ndindex(side, side):
        held = 2e4 if (row, column) == (3, 0) else None
        inflow = drawn.get((row, column), 0.0)
        network.add_junction(f"{row}{column}", rng.uniform(0, 1), inflow, held)
    for row, column in np.ndindex(side, side):
        for down, right in ((1, 0), (0, 1)):
            if row + down < side and column + right < side:
                tube = Tube(rng.uniform(0.03, 0.06), rng.uniform(3, 30), wall, 2 * rng.random())
                start, end = f"{row}{column}", f"{row + down}{column + right}"
                network.add_element(f"{start}-{end}", start, end, tube)
    return network


def _reynolds(network: Network, result: FlowResult) -> np.ndarray:
    speed = [abs(result.flow[name]) * 4 / (np.pi * link.element.bore) for name, link in network.links.items()]
    return np.array(speed) * network.state.density / network.state.viscosity


@pytest.mark.parametrize("seed", [4, 26, 36])
def test_a_turbulent_grid_of_tubes(seed: int) -> None:
    network = _grid(WATER, 5e-3, seed, wall=5e-5)
    result = solve_flow(network)
    assert _reynolds(network, result).min() > 4000
    _agrees(result, _by_pandapipes(network, "colebrook"))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_laminar_grid_of_tubes(seed: int) -> None:
    """At Re below 1 its wall constant, with a roughness of 1e-20 m, is less than 1e-4 of 64/Re."""
    network = _grid(State(998.2, 10.0), 1e-4, seed, wall=1e-20)
    result = solve_flow(network)
    assert _reynolds(network, result).max() < 1
    _agrees(result, _by_pandapipes(network, "nikuradse"))


@pytest.mark.parametrize("lengths", [(2.0, 3.0), (0.5, 4.0)])
def test_a_closed_loop_with_a_pump_and_two_branches(lengths: tuple[float, float]) -> None:
    """The pump by its curve, the vessel as their external grid: nothing may come out of it."""
    network = Network(WATER)
    network.add_junction("vessel", pressure=0.0)
    for name, elevation in (("delivery", 0.0), ("fork", 0.4), ("meeting", 0.2)):
        network.add_junction(name, elevation)
    network.add_element("pump", "vessel", "delivery", Pump.from_polynomial([HEAD, 0.0, -FALL]))
    network.add_element("supply", "delivery", "fork", Tube(0.01, 1.0, 1e-5, 3.0))
    for number, length in enumerate(lengths):
        network.add_element(f"branch {number}", "fork", "meeting", Tube(0.008, length, 1e-5, 1.0))
    network.add_element("return", "meeting", "vessel", Tube(0.01, 1.0, 1e-5, 2.0))
    result = solve_flow(network)
    assert _reynolds(network.part_of(["supply", "branch 0", "branch 1", "return"]), result).min() > 4000
    _agrees(result, _by_pandapipes(network, "colebrook"))

"""What solves are measured against: evaluations, factorisations, and the `pandapipes` library."""

from collections.abc import Callable
from typing import Any

import numpy as np

from loopsim.elements import Pump, Tube
from loopsim.network import Network
from loopsim.solve import FlowResult
from loopsim.solve.compiled import Compiled

__all__ = ["evaluation", "factorisation", "pandapipes_net", "run_pandapipes", "run_pandapipes_roughly"]

PA_PER_BAR = 1e5
TIGHT = {"tol_p": 1e-10, "tol_m": 1e-10, "tol_res": 1e-9, "tolerance_colebrook": 1e-13}
STUB = Tube(0.008, 0.1)  # stands for a part that pandapipes has no curve for, with the same loss at the flow found


def evaluation(network: Network, result: FlowResult) -> Callable[[], object]:
    """One evaluation of all elements at the flows found, many at once."""
    made = Compiled(network)
    flow = np.array(list(result.flow.values()))[made.order]
    flow = np.append(flow, np.zeros(len(made.topology.grounded)))[:, None]
    return lambda: made.drops(flow, made.banks)


def factorisation(network: Network, result: FlowResult) -> Callable[[], object]:
    """One sparse factorisation of the nodal system at the flows found, as scipy does it when left alone."""
    from scipy.sparse import csc_matrix
    from scipy.sparse.linalg import splu

    free = [name for name, junction in network.junctions.items() if junction.pressure is None]
    if len(free) == len(network.junctions):
        free = free[1:]
    row = {name: number for number, name in enumerate(free)}
    entries: dict[tuple[int, int], float] = {}
    for link in network.links.values():
        slope = float(link.element.dp(result.flow[link.name], network.state)[1])
        a, b = row.get(link.start), row.get(link.end)
        for i, j, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
            if i is not None and j is not None:
                entries[i, j] = entries.get((i, j), 0.0) + sign / slope
    rows, columns = np.array(list(entries)).T
    matrix = csc_matrix((list(entries.values()), (rows, columns)), shape=(len(free), len(free)))
    return lambda: splu(matrix)


def pandapipes_net(network: Network, result: FlowResult) -> Any:
    """The same network there, as near as it goes.

    Pumps become circulation pumps of the lift found here, the first of a row of pumps lifting for all; parts with
    curves become short pipes that lose the same at the flow found.
    """
    import pandapipes

    net = pandapipes.create_empty_network()
    state = network.state
    properties = {"density": state.density, "viscosity": state.viscosity, "heat_capacity": 4180.0, "molar_mass": 18.0}
    net.fluid = pandapipes.create_constant_fluid("water", "liquid", **properties)
    number = {name: row for row, name in enumerate(network.junctions)}
    pandapipes.create_junctions(net, len(number), 5.0, 298.15)
    for name, junction in network.junctions.items():
        if junction.inflow:
            pandapipes.create_sink(net, number[name], -junction.inflow * state.density)
    pumps = [link for link in network.links.values() if isinstance(link.element, Pump)]
    if pumps:
        lift = -sum(result.dp[link.name] for link in pumps) / PA_PER_BAR
        back, on = number[pumps[0].start], number[pumps[0].end]
        pandapipes.create_circ_pump_const_pressure(net, back, on, 5.0 + lift, lift, t_flow_k=298.15)
    else:
        pandapipes.create_ext_grid(net, 0, 5.0, 298.15)
    links = [link for link in network.links.values() if link not in pumps[:1]]
    tubes = [_as_tube(link.element, result.flow[link.name], result.dp[link.name], network) for link in links]
    pandapipes.create_pipes_from_parameters(
        net,
        [number[link.start] for link in links],
        [number[link.end] for link in links],
        length_km=[tube.length / 1e3 for tube in tubes],
        inner_diameter_mm=[tube.bore * 1e3 for tube in tubes],
        k_mm=[max(tube.roughness, 1e-7) * 1e3 for tube in tubes],
        loss_coefficient=[tube.loss_coefficient for tube in tubes],
    )
    return net


def _as_tube(element: object, flow: float, dp: float, network: Network) -> Tube:
    if isinstance(element, Tube):
        return element
    velocity = flow / STUB.area
    loss = max(dp, 0.0) / (0.5 * network.state.density * velocity**2)
    return Tube(STUB.bore, STUB.length, 0.0, loss)


def run_pandapipes(net: Any) -> None:
    """Solve there by the same friction law, to an answer nearly as exact."""
    import pandapipes

    pandapipes.pipeflow(net, friction_model="colebrook", max_iter_hyd=200, max_iter_colebrook=200, **TIGHT)


def run_pandapipes_roughly(net: Any) -> None:
    """Solve there as it does when left alone: Nikuradse's law, to about 1 Pa."""
    import pandapipes

    pandapipes.pipeflow(net, max_iter_hyd=200)

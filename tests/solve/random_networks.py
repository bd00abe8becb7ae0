"""Random networks for the solver's tests, up to several hundred elements."""

import numpy as np

from loopsim.elements import CheckValve, Element, Leg, PowerLaw, Pump, Restriction, StoppedPump, Tube, Valve
from loopsim.media import water
from loopsim.network import Network

WATER = water().at(20.0)


def random_element(rng: np.random.Generator) -> Element:
    """An element of any class, within some decades of what occurs in a loop."""
    kind = rng.integers(9)
    if kind == 0:
        bore = 10 ** rng.uniform(-2.6, -1.8)
        return Tube(bore, 10 ** rng.uniform(-2, 1), 1e-5 * rng.random(), 3 * rng.random(), 3 * rng.random())
    if kind == 1:
        return PowerLaw(10 ** rng.uniform(9, 14), rng.uniform(1, 2))
    if kind == 2:
        flow, dp = np.cumsum(rng.uniform(0.1, 3, 4)) * 2e-5, np.cumsum(rng.uniform(0.1, 5, 4)) * 1e3
        return Restriction.from_points(flow.tolist(), dp.tolist(), WATER)
    if kind == 3:
        return Pump.from_polynomial([rng.uniform(0.5, 5), 0.0, -(10 ** rng.uniform(6.5, 8.5))])
    if kind == 4:
        return StoppedPump.from_coefficients(10 ** rng.uniform(7, 9), 10 ** rng.uniform(7, 9))
    if kind == 5:
        return Valve(10 ** rng.uniform(-2, 0.5))
    if kind == 6:
        return CheckValve(10 ** rng.uniform(-1, 0.5), 10 ** rng.uniform(2, 4))
    if kind == 7:
        return Leg(10 ** rng.uniform(-2.3, -1.8), 2 * rng.random(), 2 * rng.random())
    return Pump.from_points([0, 4e-5, 8e-5, 1.3e-4], [4.0, 3.8, 3.0, 0.6], speed=rng.uniform(0.2, 1.2))


def random_network(seed: int, most_elements: int = 18) -> Network:
    """Junctions at random heights, a fifth of them at fixed pressures, joined at random."""
    rng = np.random.default_rng(seed)
    elements = int(rng.integers(1, most_elements))
    network, count = Network(WATER), 2 + int(elements * rng.uniform(0.1, 0.9))
    for number in range(count):
        fixed = rng.uniform(-2e4, 2e4) if rng.random() < 0.2 else None
        network.add_junction(f"j{number}", elevation=rng.uniform(-1, 1), pressure=fixed)
    for number in range(elements):
        a, b = rng.choice(count, 2, replace=False)
        network.add_element(f"e{number}", f"j{a}", f"j{b}", random_element(rng))
    return network

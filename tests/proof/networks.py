"""Random networks of every class of element."""

from collections.abc import Callable

import numpy as np

from loopsim.elements import (
    Channel,
    CheckValve,
    Element,
    Leg,
    Opening,
    PowerLaw,
    Pump,
    Restriction,
    StoppedPump,
    Tube,
    Valve,
)
from loopsim.media import water
from loopsim.network import Network

__all__ = ["KINDS", "WATER", "random_network", "random_network_of"]

WATER = water().at(20.0)
Rng = np.random.Generator


def _ten_to(rng: Rng, low: float, high: float) -> float:
    return float(10 ** rng.uniform(low, high))


def _tube(rng: Rng) -> Tube:
    k, k_back, k_laminar = 3 * rng.random(), 3 * rng.random(), 500 * rng.random()
    return Tube(_ten_to(rng, -2.6, -1.8), _ten_to(rng, -2, 1), 1e-5 * rng.random(), k, k_back, k_laminar)


def _restriction(rng: Rng) -> Restriction:
    flow, dp = np.cumsum(rng.uniform(0.1, 3, 4)) * 2e-5, np.cumsum(rng.uniform(0.1, 5, 4)) * 1e3
    return Restriction.from_points(flow.tolist(), dp.tolist(), WATER)


def _tabulated_pump(rng: Rng) -> Pump:
    flow = np.concatenate(([0.0], np.cumsum(rng.uniform(1e-5, 4e-5, 4))))
    head = np.cumsum(rng.uniform(0.05, 2.0, 5))[::-1]
    return Pump.from_points(flow, head, speed=rng.uniform(0.3, 1.2))


KINDS: tuple[Callable[[Rng], Element], ...] = (
    _tube,
    lambda rng: Channel(_ten_to(rng, -2.8, -2), _ten_to(rng, -3, -2), rng.uniform(0.05, 1), 1e-6, 2 * rng.random()),
    lambda rng: Valve(_ten_to(rng, -1, 1)),
    lambda rng: CheckValve(_ten_to(rng, -0.5, 1), _ten_to(rng, 2, 4)),
    lambda rng: PowerLaw(_ten_to(rng, 9, 14), rng.uniform(1, 2)),
    _restriction,
    lambda rng: Pump.from_polynomial([rng.uniform(0.5, 5), 0.0, -_ten_to(rng, 6.5, 8.5)]),
    _tabulated_pump,
    lambda rng: StoppedPump.from_coefficients(_ten_to(rng, 7, 9), _ten_to(rng, 7, 9)),
    lambda rng: Leg(_ten_to(rng, -2.5, -1.9), rng.random(), rng.random()),
    lambda rng: Opening(_ten_to(rng, -5, -3), 0.5 + 3 * rng.random()),
)


def random_network(seed: int) -> Network:
    """Two to nine junctions, some of fixed pressure or with inflow, and up to 17 elements of every class."""
    return random_network_of(seed, KINDS)


def random_network_of(seed: int, kinds: tuple[Callable[[Rng], Element], ...], closed: bool = False) -> Network:
    """The same of some kinds; `closed` to have neither fixed pressures nor inflows."""
    rng = np.random.default_rng(seed)
    network, count = Network(WATER), int(rng.integers(2, 10))
    inflows = np.zeros(count)
    if not closed and rng.random() < 0.5:
        inflows[:2] = _ten_to(rng, -6, -4) * np.array([1, -1])
    for number in range(count):
        fixed = rng.uniform(-2e4, 2e4) if not closed and rng.random() < 0.2 else None
        network.add_junction(f"j{number}", rng.uniform(-1, 1), float(inflows[number]), fixed)
    pairs = [(number, int(rng.integers(number))) for number in range(1, count)]  # a tree, so that all is one island
    pairs += [tuple(rng.choice(count, 2, replace=False).tolist()) for _ in range(int(rng.integers(1, 10)))]
    for number, (a, b) in enumerate(pairs):
        network.add_element(f"e{number}", f"j{a}", f"j{b}", kinds[int(rng.integers(len(kinds)))](rng))
    return network

"""Networks of the benchmarks, written down element by element as anyone would."""

import itertools
import math
from collections.abc import Sequence

import numpy as np

from loopsim.elements import Element, Pump, Restriction, Tube
from loopsim.media import water
from loopsim.network import Network

WATER = water().at(25.0)
BLOCK = Restriction.from_points([2e-5, 6e-5], [2e3, 1.6e4], WATER)
RADIATOR = Restriction.from_points([2e-5, 4e-5, 8e-5], [1e3, 3.3e3, 1.1e4], WATER)
BRANCHES_IN_RACK = 40
VELOCITY_IN_MAINS = 2.0  # as mains are commonly sized [m/s]


def thirty_elements() -> Network:
    """Two pumps one after the other feed three branches side by side and a radiator: 30 elements, 3 loops."""
    network = Network(WATER)
    network.add_junction("reservoir", pressure=0.0)
    for junction in ("supply", "return"):
        network.add_junction(junction)
    pump = Pump.from_points([0, 4e-5, 8e-5, 1.3e-4], [4.0, 3.8, 3.0, 0.6])
    _chain(network, "pumps", "reservoir", "supply", [_hose(0.3), pump, _hose(0.2), pump, _hose(0.5)])
    _chain(network, "one", "supply", "return", [_hose(0.3), BLOCK, _hose(0.4), RADIATOR, _hose(0.2), _hose(0.2)])
    _chain(network, "two", "supply", "return", [_hose(0.3), RADIATOR, _hose(0.4), _hose(0.1), _hose(0.3), BLOCK])
    _chain(
        network, "three", "supply", "return", [_hose(0.5), BLOCK, _hose(0.3), BLOCK, _hose(0.2), _hose(0.1), _hose(0.1)]
    )
    _chain(network, "home", "return", "reservoir", [_hose(0.4), RADIATOR, _hose(0.6), BLOCK, _hose(0.2), _hose(0.3)])
    return network


def racks(elements: int) -> Network:
    """Racks on one pair of mains, each with 40 branches between its manifolds: tube, block, tube."""
    network = Network(WATER)
    count = max(1, round(elements / (5 * BRANCHES_IN_RACK)))
    flow = count * BRANCHES_IN_RACK * 1e-4
    bore = math.sqrt(flow / (math.pi / 4 * VELOCITY_IN_MAINS))
    network.add_junction("suction", pressure=0.0)
    network.add_junction("delivery")
    network.add_element("pump", "suction", "delivery", Pump.from_points([0, flow / 2, flow], [20.0, 15.0, 2.0]))
    supply, back = "delivery", "suction"
    for rack in range(count):
        head, foot = f"supply {rack}", f"return {rack}"
        network.add_junction(head)
        network.add_junction(foot)
        network.add_element(f"main to {rack}", supply, head, Tube(bore, 1.0))
        network.add_element(f"main from {rack}", foot, back, Tube(bore, 1.0))
        _rack(network, rack, head, foot)
        supply, back = head, foot
    return network


def _rack(network: Network, rack: int, supply: str, back: str) -> None:
    for branch in range(BRANCHES_IN_RACK):
        names = [f"{rack}.{branch}{letter}" for letter in "abcd"]
        for name in names:
            network.add_junction(name)
        top, before, after, bottom = names
        network.add_element(f"manifold {top}", supply, top, Tube(0.04, 0.05))
        network.add_element(f"hose {top}", top, before, Tube(0.008, 0.6, 1e-6, 2.0))
        network.add_element(f"block {top}", before, after, BLOCK)
        network.add_element(f"hose {bottom}", after, bottom, Tube(0.008, 0.6, 1e-6, 2.0))
        network.add_element(f"manifold {bottom}", bottom, back, Tube(0.04, 0.05))
        supply, back = top, bottom


def grid(elements: int) -> Network:
    """Unlike tubes on the sides of a square of squares, fed at one corner: the worst case for filling in."""
    side = round(math.sqrt(elements / 2))
    rng = np.random.default_rng(0)
    network = Network(WATER)
    for row, column in itertools.product(range(side), repeat=2):
        corner = 1e-3 * ((row == column == 0) - (row == column == side - 1))
        network.add_junction(f"{row},{column}", inflow=corner)
    for row, column in itertools.product(range(side), repeat=2):
        for next_row, next_column in ((row + 1, column), (row, column + 1)):
            if max(next_row, next_column) < side:
                start, end = f"{row},{column}", f"{next_row},{next_column}"
                tube = Tube(float(rng.uniform(0.01, 0.03)), float(rng.uniform(0.5, 2.0)), 1e-6)
                network.add_element(f"{start} to {end}", start, end, tube)
    return network


def _hose(length: float) -> Tube:
    return Tube(0.008, length, 1.5e-6, 1.5)


def _chain(network: Network, name: str, start: str, end: str, elements: Sequence[Element]) -> None:
    """Elements one after the other between two junctions."""
    between = [f"{name} {number}" for number in range(1, len(elements))]
    for junction in between:
        network.add_junction(junction)
    for number, ((a, b), element) in enumerate(zip(itertools.pairwise([start, *between, end]), elements, strict=True)):
        network.add_element(f"{name}/{number}", a, b, element)

"""Bodies that are as warm inside as outside, against published examples: metal on a stream, a stirred tank."""

import math

import numpy as np
import pytest

from loopsim.solve import Rates, Watch

from ..solve.lumped import Constant, course, lumps, metal, network
from .conftest import Case, published

PLENTY = 1e9  # heat capacity rate of a stream that no body warms [W/K]


def _cooled(capacity: float, conductance: float, start: float, target: float) -> float:
    """Time in which a body comes down to a temperature above what flows past it [s]."""
    made = network(["a", "room"], [("in", "room", "a"), ("out", "a", "room")], held=("room",))
    of = lumps(made, [1.0, 1.0], metals=[metal(0, capacity, conductance, [])])
    at = np.zeros(of.count)
    at[of.first_metal] = -start  # the other way up, as a limit is passed from below
    end = 10 * capacity / conductance
    found = course(Constant(made, [PLENTY, PLENTY], [0.0, 0.0]), of, end, at, watches=[Watch(of.first_metal, -target)])
    (time,) = found.crossed
    assert time is not None
    return time


@published("lt-thermocouple-1s")
def test_a_thermocouple_in_a_gas_stream(case: Case) -> None:
    given = case.given
    size = case.expected["diameter"]
    capacity = given["density"] * given["cp"] * math.pi / 6 * size**3
    conductance = given["film_coefficient"] * math.pi * size**2
    time = _cooled(capacity, conductance, given["gas"] - given["initial"], given["gas"] - given["target"])
    case.check("time", time)


@published("lt-cooling-water-cylinder")
def test_a_cylinder_of_water_cools_in_a_room(case: Case) -> None:
    given = case.given
    radius, length = given["radius"], given["length"]
    capacity = given["density"] * given["cp"] * math.pi * radius**2 * length
    conductance = given["film_coefficient"] * 2 * math.pi * radius * (radius + length)
    start, target = given["initial"] - given["ambient"], given["final"] - given["ambient"]
    case.check("time", _cooled(capacity, conductance, start, target))


@published("lt-loop-warm-up")
def test_a_litre_of_water_warms_up(case: Case) -> None:
    """Half of it in the heated stretch, half in the radiator, mixed by a large flow."""
    given = case.given
    made = network(
        ["hot", "cold", "room"],
        [("block", "cold", "hot"), ("radiator", "hot", "cold"), ("air", "room", "room")],
        held=("room",),
        exchange=[("radiator", "air")],
    )
    of = lumps(made, [given["heat_capacity"] / 2] * 2)
    streams = Constant(made, [1e7, 1e7, 1e7], [given["power"], 0.0, 0.0], [given["ua"]])
    final = float(Rates(of, streams.transport).rest(np.zeros(of.count))[0])
    found = course(streams, of, end=1500.0, watches=[Watch(0, (1 - math.exp(-1)) * final)])
    case.check("final_rise", final)
    case.check("time_constant", found.crossed[0])
    case.check("rise_at_time_constant", np.interp(case.expected["time_constant"], found.time, found.outlet[:, 0]))
    case.check("rise_at_1000s", np.interp(1000.0, found.time, found.outlet[:, 0]))
    assert found.settled == pytest.approx(3 * case.expected["time_constant"], rel=2e-3)  # ln 20 is 2.996

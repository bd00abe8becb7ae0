"""Filling goes by the coolant of its own circuit."""

from collections.abc import Callable

import pytest

from loopsim.build import Build, BuildCoolant
from loopsim.network import height_graph
from loopsim.parts import FillPort, Reservoir, TubeRun, Valve
from loopsim.studies import operating_point
from loopsim.studies.fill import drain, gravity_fill, start_ups
from loopsim.studies.fill.circuit_coolant import coolant_at, weight_at
from loopsim.units import GRAVITY
from tests.studies.test_circuits import LAYOUT, two_circuits

from .test_check_valves import in_loop

Make = Callable[..., Build]
BRINE = BuildCoolant(id="brine", kind="propylene_glycol", glycol_mass_fraction=0.5)


def with_brine(build: Build) -> Build:
    """Its vessel filled with a coolant that the build names second."""
    parts = tuple(each.with_values(coolant="brine") if isinstance(each, Reservoir) else each for each in build.parts)
    return build.with_values(coolants=(*build.coolants, BRINE), parts=parts)


def test_every_part_has_the_coolant_that_the_flow_finds_in_its_circuit() -> None:
    build = two_circuits()
    graph, point = height_graph(build, build.layout()), operating_point(build)
    for item, passages in graph.passages_of.items():
        circuits = point.circuits_of(item)
        for passage in passages if len(circuits) == 1 else ():
            place = int(graph.ends[passage, 0])
            assert coolant_at(build, build.layout(), graph, place).id == circuits[0].coolant.id


def test_a_spring_costs_the_head_of_its_own_liquid(loop: Make, tube: Callable[..., TubeRun]) -> None:
    """As in a build that knows no other coolant: p over rho g, by the density of the circuit's own."""
    water = in_loop(loop, tube)
    named, only = with_brine(water), water.with_values(coolants=(BRINE,))
    locks = [start_ups(each, gravity_fill(each))[0].lock for each in (water, named, only)]
    assert locks[1] == pytest.approx(locks[2], rel=1e-9)
    assert locks[1] < locks[0]
    graph = height_graph(named, named.layout())
    density = BRINE.medium.at(named.ambient.temperature_c).density
    assert weight_at(named, named.layout(), graph, 0) == pytest.approx(density * GRAVITY)


def test_what_stays_freezes_as_the_first_of_the_liquids_does() -> None:
    build = two_circuits()
    brine = next(each for each in build.coolants if each.id == "brine")
    assert drain(build, LAYOUT, at=["cold"]).freezes_below_c == pytest.approx(0.0, abs=0.05)  # water stays in the other
    assert brine.medium.freezing_point_c < -10


def test_a_shut_valve_parts_no_circuit(build: Make, tube: Callable[..., TubeRun]) -> None:
    bench = build(
        {
            Reservoir(id="vessel", name="Vessel"): {"x_mm": 200, "y_mm": 200},
            Valve(id="valve", name="Valve"): {"x_mm": 600, "y_mm": 200, "opening_percent": 0.0},
            FillPort(id="fill", name="Fill"): {"x_mm": 1000, "y_mm": 200},
        },
        [tube("one", "vessel.outlet", "valve.a"), tube("two", "valve.b", "fill.a")],
    )
    bench = with_brine(bench)
    graph = height_graph(bench, bench.layout())
    assert coolant_at(bench, bench.layout(), graph, graph.number["fill/opening"]).id == "brine"

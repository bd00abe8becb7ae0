"""Whatever is drawn, at any setting: an answer that balances and is finite, or a refusal in the sketch's words."""

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import lru_cache
from itertools import chain

import numpy as np
import pytest

from loopsim.build import Ambient, Build, BuildCoolant, Placement, edits
from loopsim.elements import Pump as RunningPump
from loopsim.errors import SketchError
from loopsim.network import assemble
from loopsim.parts import KINDS, Pump, SidePort, TubeRun
from loopsim.solve.heat import LEAK
from loopsim.studies import grade_line, heat_point, operating_point, pump_plots, transient
from loopsim.units import GRAVITY

from .any_layout import any_build, movers
from .machines import LAYOUT, machine

COUNT = 120
BLOCKS = 2
NO_WAY_OUT = 1e3  # so warm is what nothing cools [K above the room]
MADE_ELSEWHERE = ("build", "layout", "coupled", "course")  # inputs, and what the study itself rests on

some_seeds = pytest.mark.parametrize("block", range(BLOCKS))


def seeds(block: int) -> range:
    return range(block, COUNT, BLOCKS)


@lru_cache(maxsize=COUNT)
def drawn(seed: int) -> Build:
    return any_build(seed)


def not_finite(value: object, where: str) -> Iterator[str]:
    """Places of all numbers in a result that are none."""
    if isinstance(value, float | np.ndarray):
        if not np.isfinite(np.asarray(value, dtype=float)).all():
            yield where
    elif isinstance(value, dict):
        yield from chain.from_iterable(not_finite(each, f"{where}[{key}]") for key, each in value.items())
    elif isinstance(value, tuple | list):
        yield from chain.from_iterable(not_finite(each, f"{where}[{place}]") for place, each in enumerate(value))
    elif is_dataclass(value):
        named = [field.name for field in fields(value) if field.name not in MADE_ELSEWHERE]
        yield from chain.from_iterable(not_finite(getattr(value, name), f"{where}.{name}") for name in named)


@some_seeds
def test_every_layout_has_an_operating_point_whose_pressures_are_those_of_its_flows(block: int) -> None:
    """Along every run: pressure falls by what it costs and by what its column weighs, taken here anew."""
    moving = 0
    for seed in seeds(block):
        build = drawn(seed)
        point = operating_point(build, stopped=movers(build, "pump", seed))
        assert not list(not_finite(point, "point")), seed
        assert not list(not_finite(grade_line(point), "grade line")), seed
        moving += any(circuit.is_moving for circuit in point.circuits)
        density = {run.id: point.state_of(run.id).density for run in build.layout().runs}
        for run in build.layout().runs:
            ends = []
            for reference in (run.start, run.end):
                part, port = build.port(reference)
                area = math.pi / 4 * (port.bore_mm / 1000) ** 2
                speed = 0.0 if part.surface_mm is not None else point.of(run.id).flow / area
                height = build.port_spot(build.layout(), reference).height_mm / 1000
                moved = density[run.id] * (speed**2 / 2 + GRAVITY * height)
                ends.append(point.pressures[reference] + moved)
            largest = max(1.0, *map(abs, ends))
            assert ends[0] - ends[1] == pytest.approx(point.of(run.id).dp, abs=1e-6 * largest), (seed, run.id)
    assert moving > COUNT / BLOCKS / 8  # enough of them flow, or nothing was shown


@some_seeds
def test_every_layout_has_temperatures_and_all_heat_is_found_again(block: int) -> None:
    """All that enters by cable ends in coolant, air or room; and leaves, where there is a way out at all."""
    cooled = 0
    for seed in seeds(block):
        build = drawn(seed)
        stopped = [*movers(build, "pump", seed), *movers(build, "fan", seed)]
        heat = heat_point(build, case_name=("full", "idle", "hot")[seed % 3], stopped=stopped)
        assert not list(not_finite(heat, "heat")), seed
        budget = heat.budget
        ends = budget.into_coolant + budget.into_air + budget.outside
        assert ends == pytest.approx(budget.electrical, rel=1e-6, abs=1e-6), seed
        found = heat.coupled
        if np.abs(found.temperatures.node).max() < NO_WAY_OUT and found.heat_in > 1e-3:
            cooled += 1
            # Each node gives off a trace, so that what nothing cools has a temperature at all; that much is not found.
            trace = LEAK * np.abs(found.temperatures.node).sum() / found.heat_in
            assert heat.imbalance < 1e-6 + trace, seed
    assert cooled > COUNT / BLOCKS / 10  # enough of them have one, or nothing was shown


@pytest.mark.parametrize("seed", range(10, 60, 10))
def test_every_layout_has_a_course_in_time_or_a_reason_for_none(seed: int) -> None:
    build = drawn(seed)
    stopped = [*movers(build, "pump", seed), *movers(build, "fan", seed)]
    course = transient(build, stopped=stopped, minutes=3, from_cold=True)
    assert not list(not_finite(course, "course"))
    assert course.course.imbalance < 1e-6
    try:
        assert not list(not_finite(transient(build, stopped=stopped, minutes=3), "course"))
    except SketchError as error:
        assert "no rest to start from" in str(error)  # noqa: PT017  a refusal is one of two right answers


def test_the_layouts_hold_every_part_kind_and_running_pumps() -> None:
    """A generator that leaves a kind out would prove nothing about it."""
    builds = [drawn(seed) for seed in range(COUNT)]
    assert {part.kind_name() for build in builds for part in build.parts} == set(KINDS)
    running = [assemble(build, build.layout()).network.links.values() for build in builds]
    assert sum(isinstance(link.element, RunningPump) for links in running for link in links) > COUNT / 2


def test_a_tube_that_ends_where_it_begins_carries_nothing_and_the_loop_runs_on() -> None:
    """Both ends in one reservoir: no pressure drives it, and its dead water is no reason to refuse the layout."""
    plain = machine()
    reservoir = plain.part("reservoir")
    holes = (*reservoir.port_list, SidePort(name="a", side="left"), SidePort(name="b", side="right"))
    build = edits.change_part(plain, "reservoir", port_list=holes).build
    build = edits.add_run(build, LAYOUT, TubeRun(id="idle", start="reservoir.a", end="reservoir.b", tube="t")).build
    point = operating_point(build)
    assert point.of("idle").flow == 0.0
    assert point.loop_flow == pytest.approx(operating_point(plain).loop_flow, rel=1e-9)
    assert heat_point(build).components[0].temperature == pytest.approx(heat_point(plain).components[0].temperature)
    assert pump_plots(build)


def test_a_standing_pump_makes_no_heat_of_the_weight_of_its_column() -> None:
    """Warm coolant creeps up through it: the light column drives more than the impeller resists, yet works for free."""
    cold = BuildCoolant(temperature_c=2.0)
    build = machine(coolants=(cold,), ambient=Ambient(temperature_c=50.0))
    high = Pump(id="second", name="Second", height_mm=600, inlet_height_mm=10, outlet_height_mm=590)
    second = Placement(part="second", x_mm=650, y_mm=300)
    build = edits.add_part(build, LAYOUT, high, second).build
    build = edits.change_run(build, LAYOUT, build.layout().runs[1].id, end="second.inlet").build
    build = edits.add_run(build, LAYOUT, TubeRun(id="on", start="second.outlet", end="block.inlet", tube="t")).build
    build = edits.change_placement(build, LAYOUT, "pump", speed_percent=3).build
    heat = heat_point(build, stopped=["second"])
    liquid = heat.coupled.liquid.variants
    row = list(liquid.network.links).index("second")
    assert liquid.flows[row, 0] > 0 > liquid.drops[row, 0]
    budget = heat.budget
    ends = budget.into_coolant + budget.into_air + budget.outside
    assert ends == pytest.approx(budget.electrical, rel=1e-9)

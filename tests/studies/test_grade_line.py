"""The grade line round a loop, against heads worked by hand and what must hold of every line."""

import math
from itertools import pairwise

import numpy as np
import pytest

from loopsim.build import Build, BuildCoolant, edits
from loopsim.errors import SketchError
from loopsim.parts import (
    KINDS,
    Block,
    Corner,
    ExpansionVessel,
    LiquidExchanger,
    Manifold,
    Pump,
    Reservoir,
)
from loopsim.studies import GradeLine, grade_line, operating_point
from loopsim.units import GRAVITY
from tests.studies.machines import LAYOUT, joined, placed

LAYOUTS = ("two pumps in series", "two pumps side by side", "one large pump")


def only(lines: tuple[GradeLine, ...]) -> GradeLine:
    (line,) = lines
    return line


def ids(line: GradeLine) -> list[str]:
    return [step.id for step in line.steps]


def test_heads_of_a_small_loop_are_those_worked_by_hand(empty: Build) -> None:
    """Slow laminar flow of water through equal bores: every loss along the way is known in closed form.

    Entrance 0.5 and exit 1 velocity heads, Hagen and Poiseuille in the tubes (128 mu L Q / (pi d^4)); the surface
    lies 44 mm, the suction port 12 mm above the floor. Common textbook formulas, no single source.
    """
    crawl = {"points": [{"flow_l_h": 20, "dp_kpa": 10}, {"flow_l_h": 40, "dp_kpa": 40}]}
    made = placed(empty, Reservoir(id="reservoir", name="Reservoir"), 100, 100)
    made = placed(made, Pump(id="pump", name="Pump"), 400, 100)
    made = placed(made, Block(id="block", name="Block", bore_mm=10, drop=crawl), 700, 100)
    made = joined(
        made, ("reservoir.outlet", "pump.inlet"), ("pump.outlet", "block.inlet"), ("block.outlet", "reservoir.inlet")
    )
    for part in ("reservoir", "pump", "block"):
        assert {port.bore_mm for port in made.part(part).ports.values()} == {10.0}
    point = operating_point(made)
    line, state = only(grade_line(point)), made.coolant.state
    flow, bore = point.loop_flow, 0.010
    v = flow / (math.pi / 4 * bore**2)
    assert v * bore * state.density / state.viscosity < 2000
    weight, velocity_head = state.density * GRAVITY, v**2 / (2 * GRAVITY)
    per_metre = 128 * state.viscosity * flow / (math.pi * bore**4) / weight
    lengths = [made.run_path(made.layout(), run).length_mm / 1000 for run in made.layout().runs]
    at_inlet = 0.044 - 0.5 * velocity_head - per_metre * lengths[0]
    at_outlet = at_inlet + point.of("pump").head
    into_block = at_outlet - per_metre * lengths[1]
    out_of_block = into_block - point.of("block").dp / weight
    expected = [0.044, 0.044, at_inlet, at_outlet, into_block, out_of_block, 0.044]
    assert [each.total_head for each in line.points] == pytest.approx(expected, abs=1e-6)
    assert out_of_block - per_metre * lengths[2] - 1.0 * velocity_head == pytest.approx(0.044, abs=1e-6)
    inlet = line.points[2]
    assert inlet.piezometric_head == pytest.approx(at_inlet - velocity_head, abs=1e-6)
    assert inlet.pressure == pytest.approx(weight * (inlet.piezometric_head - inlet.elevation), rel=1e-9)
    assert inlet.absolute == pytest.approx(inlet.pressure + 101_325.0)


@pytest.mark.parametrize("name", LAYOUTS)
@pytest.mark.parametrize("stopped", [(), ("pump_b",)])
def test_total_head_rises_in_running_pumps_and_nowhere_else(plinth: Build, name: str, stopped: tuple[str, ...]) -> None:
    stopped = tuple(set(stopped) & set(plinth.layout(name).placements))
    point = operating_point(plinth, name, stopped)
    items = [None, *plinth.layout(name).placements, *plinth.layout(name).runs_by_id]
    for line in (line for item in items for line in grade_line(point, item)):
        for step in line.steps:
            rises = np.diff(step.total_head)
            assert (rises > 0).all() if step.is_running_pump else (rises < 1e-9).all(), step.name
            assert (step.total_head >= step.piezometric_head - 1e-12).all()


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_line_closes_on_itself(plinth: Build, name: str) -> None:
    """What the pumps on it give is what the rest of it costs, and every metre is a part's or a tube's."""
    point = operating_point(plinth, name)
    line, weight = only(grade_line(point)), plinth.coolant.state.density * GRAVITY
    assert line.points[0].port == line.points[-1].port == "reservoir.inlet"
    for before, after in pairwise(line.steps):
        assert before.ports[1] == after.ports[0]
        assert before.distance[-1] == after.distance[0]
        assert before.total_head[-1] == pytest.approx(after.total_head[0], abs=1e-12)
    given = sum(pump.head for pump in point.pumps if line.holds(pump.id))
    lost = sum(abs(part.dp) for part in point.parts if line.holds(part.id)) / weight
    assert given == pytest.approx(lost, rel=1e-9)
    layout = plinth.layout(name)
    tubes = sum(plinth.run_path(layout, run).length_mm for run in layout.runs if line.holds(run.id))
    parts = sum(
        math.dist(*(plinth.port_spot(layout, port) for port in step.ports))
        for step in line.steps
        if step.kind != "tube_run"
    )
    assert line.length == pytest.approx((tubes + parts) / 1000)


def test_every_step_drops_by_what_the_budget_says(plinth: Build) -> None:
    point = operating_point(plinth, LAYOUTS[0])
    weight = plinth.coolant.state.density * GRAVITY
    for step in only(grade_line(point)).steps:
        result = point.of(step.id)
        change = result.head if step.is_running_pump else -abs(result.dp) / weight
        assert step.total_head[-1] - step.total_head[0] == pytest.approx(change, abs=1e-9), step.name


def test_in_the_reservoir_the_line_is_the_level(loop: Build) -> None:
    line = only(grade_line(operating_point(loop)))
    assert line.held_by == line.steps[0].id == "reservoir"
    assert line.steps[0].piezometric_head == pytest.approx(0.044)


def test_suction_reaches_from_the_reservoir_to_the_first_pump(plinth: Build) -> None:
    line = only(grade_line(operating_point(plinth, LAYOUTS[0])))
    by_port = {point.port: point.distance for point in line.points}
    assert (line.suction.start, line.suction.end) == (by_port["reservoir.outlet"], by_port["pump_a.inlet"])
    assert line.suction.steps == ("run_1", "fill_valve", "run_12", "fill_port", "run_13")


def test_a_tube_that_arches_above_the_line_is_below_atmosphere_there_only(loop: Build) -> None:
    """The way back climbs 600 mm over a reservoir at 44 mm: both ends press outward, the arch does not."""
    high = tuple(Corner(x_mm=x, y_mm=250, height_mm=600, turn="elbow") for x in (600, 20))
    line = only(grade_line(operating_point(edits.change_run(loop, LAYOUT, "run_3", corners=high).build)))
    arch = [stretch for stretch in line.below_atmosphere if "run_3" in stretch.steps]
    (stretch,) = arch
    step = next(step for step in line.steps if step.id == "run_3")
    assert stretch.steps == ("run_3",)
    assert step.distance[0] < stretch.start < stretch.end < step.distance[-1]
    for end in (stretch.start, stretch.end):
        assert np.interp(end, step.distance, step.piezometric_head - step.elevation) == pytest.approx(0, abs=1e-9)
    assert "Block to Reservoir" in line.sentence
    assert line.sentence.startswith("Below the room's pressure, by up to")


def test_nothing_below_atmosphere_is_said_with_the_lowest_place(loop: Build) -> None:
    raised = edits.change_placement(loop, LAYOUT, "reservoir", height_mm=800).build
    line = only(grade_line(operating_point(raised)))
    assert line.below_atmosphere == ()
    assert line.sentence.startswith("Nowhere below the room's pressure; lowest at Reservoir, inlet: ")


def branched(empty: Build, small_kpa: float = 9.0, large_kpa: float = 3.0) -> Build:
    """A pump feeds two blocks side by side, one of which lets much more through."""
    made = placed(empty, Reservoir(id="reservoir", name="Reservoir"), 100, 100)
    made = placed(made, Pump(id="pump", name="Pump"), 300, 100)
    for part, x in (("split", 400), ("merge", 700)):
        made = placed(made, Manifold(id=part, name=part, branches="2"), x, 100)
    for part, kpa, y in (("small", small_kpa, 200), ("large", large_kpa, 300)):
        points = [{"flow_l_h": flow, "dp_kpa": kpa * (flow / 100) ** 2} for flow in (50, 100, 400)]
        made = placed(made, Block(id=part, name=part, drop={"points": points}), 550, y)
    return joined(
        made, ("reservoir.outlet", "pump.inlet"), ("pump.outlet", "split.main"), ("split.branch_1", "small.inlet"),
        ("split.branch_2", "large.inlet"), ("small.outlet", "merge.branch_1"), ("large.outlet", "merge.branch_2"),
        ("merge.main", "reservoir.inlet"),
    )  # fmt: skip


def test_at_a_branching_the_larger_flow_is_followed(empty: Build) -> None:
    point = operating_point(branched(empty))
    assert "large" in ids(only(grade_line(point)))
    assert "small" not in ids(only(grade_line(point)))
    turned = operating_point(branched(empty, small_kpa=3.0, large_kpa=9.0))
    assert "small" in ids(only(grade_line(turned)))


@pytest.mark.parametrize("item", ["small", "run_3", "run_5"])
def test_a_chosen_part_leads_the_line_through_its_branch(empty: Build, item: str) -> None:
    point = operating_point(branched(empty))
    line = only(grade_line(point, through=item))
    assert ids(line)[0] == "reservoir"
    assert "small" in ids(line)
    assert "large" not in ids(line)


def test_choosing_what_lies_on_the_line_or_is_still_changes_nothing(empty: Build) -> None:
    made = placed(branched(empty), Block(id="spare", name="Spare"), 900, 300)
    point = operating_point(made)
    main = ids(only(grade_line(point)))
    for item in ("reservoir", "pump", "large", "run", "spare"):
        assert ids(only(grade_line(point, through=item))) == main


def test_a_name_that_is_not_in_the_layout_is_refused(loop: Build) -> None:
    with pytest.raises(SketchError, match="does not place a part 'blok'; did you mean 'block'"):
        grade_line(operating_point(loop), through="blok")


def test_a_stopped_pump_with_backflow_lies_on_a_ring_of_its_own(plinth: Build) -> None:
    point = operating_point(plinth, "two pumps side by side", ("pump_b",))
    assert point.of("pump_b").flow < 0
    main, ring = (only(grade_line(point, through=item)) for item in (None, "pump_b"))
    assert not main.holds("pump_b")
    assert main.holds("processor")
    assert ring.holds("pump_a")
    assert ring.holds("pump_b")
    assert not ring.holds("processor")


def two_circuits(empty: Build) -> Build:
    """Two loops that an exchanger parts, water on one side and glycol on the other."""
    glycol = BuildCoolant(id="glycol", kind="propylene_glycol", glycol_mass_fraction=0.5, temperature_c=10)
    made = empty.with_values(coolants=(*empty.coolants, glycol))
    made = placed(made, LiquidExchanger(id="exchanger", name="Exchanger"), 500, 400)
    for side, y in (("primary", 100), ("secondary", 700)):
        coolant = "glycol" if side == "secondary" else None
        made = placed(made, Reservoir(id=f"tank_{side}", name=f"Tank {side}", coolant=coolant), 100, y)
        made = placed(made, Pump(id=f"pump_{side}", name=f"Pump {side}"), 300, y)
        made = joined(
            made, (f"tank_{side}.outlet", f"pump_{side}.inlet"), (f"pump_{side}.outlet", f"exchanger.{side}_inlet"),
            (f"exchanger.{side}_outlet", f"tank_{side}.inlet"),
        )  # fmt: skip
    return made


def test_each_circuit_has_a_line(empty: Build) -> None:
    """Neither line passes from one side of the exchanger to the other."""
    lines = grade_line(operating_point(two_circuits(empty)))
    assert [line.held_by for line in lines] == ["tank_primary", "tank_secondary"]
    for line in lines:
        assert len(line.steps) == 6
        assert {port.partition(".")[2].partition("_")[0] for port in line.steps[4].ports} == {
            line.held_by.partition("_")[2]
        }


def test_each_circuit_is_weighed_with_its_own_coolant(empty: Build) -> None:
    """Common textbook values at these temperatures: water about 996, half propylene glycol about 1045 kg/m3."""
    point = operating_point(two_circuits(empty))
    water, glycol = grade_line(point)
    assert water.density == pytest.approx(996, abs=2)
    assert glycol.density == pytest.approx(1045, abs=8)
    for line in (water, glycol):
        for each in line.points:
            assert each.pressure == pytest.approx(point.pressures[each.port], rel=1e-9, abs=1e-6)
        pump = point.of(line.steps[2].id)
        assert pump.state == "running"
        assert line.steps[2].total_head[-1] - line.steps[2].total_head[0] == pytest.approx(pump.head, rel=1e-9)


def test_without_a_vessel_only_differences_have_a_meaning(empty: Build) -> None:
    made = placed(placed(empty, Pump(id="pump", name="Pump"), 300, 100), Block(id="block", name="Block"), 500, 100)
    made = joined(made, ("pump.outlet", "block.inlet"), ("block.outlet", "pump.inlet"))
    line = only(grade_line(operating_point(made)))
    assert line.held_by is None
    assert {point.absolute for point in line.points} == {None}
    assert line.below_atmosphere == ()
    assert line.suction is None
    assert "only differences of head" in line.sentence


def test_a_vessel_on_a_branch_holds_the_line_where_it_hangs(empty: Build) -> None:
    """Cushion of 250 mL precharged to 0.1 bar, 25 mL pushed in: (101.325 + 10) 250 / 225 - 101.325 = 22.37 kPa.

    The coolant is as warm as the room in which it was filled, so nothing swells and the gas is not warmed.
    """
    cold = edits.change_build(empty, ambient=empty.ambient.with_values(temperature_c=empty.coolant.temperature_c)).build
    made = placed(placed(cold, Pump(id="pump", name="Pump"), 300, 100), Block(id="block", name="Block"), 500, 100)
    made = placed(made, Manifold(id="tee", name="Tee", branches="2", branch_bore_mm=10), 100, 100)
    made = placed(made, ExpansionVessel(id="vessel", name="Vessel"), 100, 300)
    made = joined(
        made, ("pump.outlet", "block.inlet"), ("block.outlet", "tee.branch_1"), ("tee.main", "pump.inlet"),
        ("tee.branch_2", "vessel.a"),
    )  # fmt: skip
    line = only(grade_line(operating_point(made)))
    assert ids(line)[0] == "tee"
    assert line.held_by == "vessel"
    held = (line.steps[0].total_head[0] - 0.012) * made.coolant.state.density * GRAVITY
    assert held == pytest.approx(22_370, abs=10)
    assert line.points[0].absolute is not None
    assert line.suction.end == next(step for step in line.steps if step.id == "pump").distance[0]


def test_in_each_of_two_vented_vessels_the_line_is_the_level_that_settles(empty: Build) -> None:
    made = placed(empty, Reservoir(id="low", name="Low"), 100, 100)
    made = placed(made, Pump(id="pump", name="Pump"), 300, 100)
    made = placed(made, Reservoir(id="high", name="High"), 500, 100, 200)
    made = joined(made, ("low.outlet", "pump.inlet"), ("pump.outlet", "high.inlet"), ("high.outlet", "low.inlet"))
    point = operating_point(made)
    line, underside = only(grade_line(point)), {"low": 0.0, "high": 0.2}
    assert line.held_by == ids(line)[0] == "low"
    for level in point.circuits[0].levels:
        step = next(step for step in line.steps if step.id == level.vessel)
        assert step.piezometric_head == pytest.approx(underside[level.vessel] + level.settles, abs=1e-9)


def test_a_plate_with_several_ways_inside_is_one_step(loop: Build) -> None:
    plate = KINDS["channel_plate"](id="plate", name="Plate")
    made = placed(edits.remove_part(loop, LAYOUT, "block").build, plate, 500, 100)
    made = joined(made, ("pump.outlet", "plate.inlet"), ("plate.outlet", "reservoir.inlet"))
    line = only(grade_line(operating_point(made)))
    assert ids(line) == ["reservoir", "run", "pump", "run_2", "plate", "run_3"]
    assert line.steps[4].total_head[0] > line.steps[4].total_head[-1]


def test_where_nothing_flows_there_is_no_line(loop: Build) -> None:
    assert grade_line(operating_point(edits.remove_part(loop, LAYOUT, "pump").build)) == ()

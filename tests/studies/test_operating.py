"""Operating point, curves and failures of drawn layouts."""

import math

import numpy as np
import pytest

from loopsim.build import Build, Placement, arranging, edits
from loopsim.elements import Leg, TeeLaw
from loopsim.errors import SketchError
from loopsim.network import assemble
from loopsim.parts import KINDS, Block, CheckValve, Corner, Pump, Reservoir, Tee, TubeRun, Valve
from loopsim.studies import failures, findings, operating_point, pump_plots
from loopsim.units import GRAVITY
from tests.studies.machines import LAYOUT, joined, placed


def test_what_the_pump_gives_is_what_the_parts_cost(loop: Build) -> None:
    """Energy: flow times rise of the pump is the sum over all else."""
    point = operating_point(loop)
    given = sum(pump.flow * pump.dp for pump in point.pumps)
    lost = sum(part.flow * part.dp for part in point.parts if part.kind != "reservoir")
    assert given == pytest.approx(lost, rel=1e-9)
    assert sum(part.share for part in point.parts) == pytest.approx(1.0)
    assert [part.share for part in point.budget] == sorted((part.share for part in point.budget), reverse=True)


def test_one_flow_passes_everything_in_a_single_loop(loop: Build) -> None:
    point = operating_point(loop)
    assert {round(abs(part.flow), 12) for part in (*point.parts, *point.pumps)} == {round(point.loop_flow, 12)}
    assert point.loop_flow_at == "reservoir"


def test_pressure_at_the_reservoirs_port_is_the_depth_below_the_surface(loop: Build) -> None:
    """Level 44 mm, port at 12 mm: 32 mm of water, less the entrance's loss and velocity head beyond the port."""
    state = loop.coolant.state
    assert operating_point(loop).pressures["reservoir.outlet"] == pytest.approx(state.density * GRAVITY * 0.032)


def test_a_solve_that_begins_near_says_the_same_in_fewer_steps(plinth: Build) -> None:
    """Tees, two pumps, a ring: from the flows before a pump was moved, and from those of another layout."""
    moved = arranging.move_parts(plinth, "two pumps in series", ["pump_a"], 5.0, 0.0).build
    fresh = operating_point(moved)
    near = operating_point(moved, near=operating_point(plinth))
    far = operating_point(moved, near=operating_point(plinth, "one large pump"))
    assert near.iterations < fresh.iterations
    for point in (near, far):
        assert {each.id: each.flow for each in point.parts} == pytest.approx(
            {each.id: each.flow for each in fresh.parts}, rel=1e-9
        )
        assert point.pressures == pytest.approx(fresh.pressures, rel=1e-9, abs=1e-6)


def test_the_pump_lies_on_its_curve(loop: Build) -> None:
    pump = operating_point(loop).pumps[0]
    curve = loop.part("pump").curve
    assert pump.head == pytest.approx(np.interp(pump.flow, curve.flow, curve.head), abs=0.1)


def test_half_speed_gives_a_quarter_of_head_against_a_square_law(loop: Build) -> None:
    """Affinity; blocks and tubes here are near a square law, so flow falls to about half."""
    slow = edits.change_placement(loop, LAYOUT, "pump", speed_percent=50).build
    full, half = operating_point(loop), operating_point(slow)
    assert half.pumps[0].speed == 0.5
    assert 0.42 < half.loop_flow / full.loop_flow < 0.52


def test_a_longer_way_round_gives_less_flow(loop: Build) -> None:
    corners = [Corner(x_mm=x, y_mm=y) for x, y in ((580, 380), (-60, 380), (-60, 100))]
    longer = edits.change_run(loop, LAYOUT, "run_3", corners=corners).build
    assert operating_point(longer).loop_flow < operating_point(loop).loop_flow


def test_the_loop_flow_is_read_where_the_layout_says(plinth: Build) -> None:
    layout = plinth.layout().with_values(loop_flow_at="graphics_1")
    point = operating_point(plinth.with_values(layouts=(layout,)))
    assert point.loop_flow == pytest.approx(abs(point.of("graphics_1").flow))
    assert point.loop_flow_at == "graphics_1"


def test_without_a_reservoir_the_hottest_part_stands_for_the_loop(empty: Build) -> None:
    made = placed(
        placed(empty, Pump(id="pump", name="Pump"), 100, 100),
        Block(id="cool", name="C", loads=[{"heat_w": 10}]),
        300,
        100,
    )
    made = placed(made, Block(id="hot", name="H", loads=[{"heat_w": 90}]), 500, 100)
    made = joined(made, ("pump.outlet", "cool.inlet"), ("cool.outlet", "hot.inlet"), ("hot.outlet", "pump.inlet"))
    point = operating_point(made)
    assert point.loop_flow_at == "hot"
    assert point.datum
    assert "no_reservoir" in {finding.code for finding in point.findings}


def test_the_bench_is_solved_at_the_stated_temperature(loop: Build) -> None:
    """Thicker coolant, less flow."""
    mix = loop.coolant.with_values(kind="propylene_glycol", glycol_mass_fraction=0.4, temperature_c=0)
    cold = loop.with_values(coolants=(mix,))
    point = operating_point(cold)
    assert point.loop_flow < 0.9 * operating_point(loop).loop_flow


def test_findings_say_what_the_result_rests_on(loop: Build) -> None:
    point = operating_point(loop, stopped={"pump"})
    assert point.loop_flow == pytest.approx(0.0, abs=1e-12)
    assert point.worst_provenance == "guess"
    assert "stopped_estimate" in {finding.code for finding in point.findings}


def test_flow_beyond_the_data_is_said(loop: Build) -> None:
    small = {"points": [{"flow_l_h": 10, "dp_kpa": 0.05}, {"flow_l_h": 20, "dp_kpa": 0.15}]}
    point = operating_point(edits.change_part(loop, "block", drop=small).build)
    assert point.of("block").beyond_data
    assert any(finding.code == "beyond_data" and finding.part == "block" for finding in point.findings)


def test_stopping_what_is_no_pump_is_refused(loop: Build) -> None:
    with pytest.raises(SketchError, match="has no pump 'pumo' to stop; did you mean 'pump'"):
        operating_point(loop, stopped={"pumo"})
    with pytest.raises(SketchError, match="has no pump 'block' to stop"):
        operating_point(loop, stopped={"block"})


def test_an_empty_layout_is_refused_with_what_to_do(empty: Build) -> None:
    with pytest.raises(SketchError, match="is empty: place a reservoir, a pump and a block"):
        operating_point(empty)


def test_open_ends_and_a_missing_pump_are_quiet_marks(empty: Build) -> None:
    made = placed(empty, Reservoir(id="reservoir", name="Reservoir"), 100, 100)
    marks = findings(made)
    assert {mark.code for mark in marks} == {"no_pump", "open_port"}
    assert all(mark.quiet for mark in marks)
    assert operating_point(made).loop_flow == 0.0


@pytest.mark.parametrize(
    ("level_mm", "words"),
    [
        (10.0, "its level of 10 mm stands below the top of its lowest port at 17 mm: it draws air"),
        (53.0, "its level of 53 mm stands above the underside of its lid at 50 mm"),
        (17.0, None), (50.0, None),
    ],
)  # fmt: skip
def test_a_level_that_no_liquid_could_have_is_told_of(empty: Build, level_mm: float, words: str | None) -> None:
    """The usual vessel: 55 mm high with walls of 5 mm, both holes of 10 mm bore with their middle 12 mm up."""
    made = placed(empty, Reservoir(id="reservoir", name="Reservoir", level_mm=level_mm), 100, 100)
    told = [mark.text for mark in findings(made) if mark.code == "drawn_level"]
    assert [text.partition(": ")[2].partition(";")[0] for text in told] == ([words] if words else [])


def test_a_tube_without_a_wall_is_told_of_once(loop: Build) -> None:
    (tube,) = loop.tubes
    thin = loop.with_values(tubes=(tube.with_values(bore_mm=20.0, outer_mm=13.0),))
    (told,) = [mark for mark in findings(thin) if mark.code == "no_wall"]
    assert told.text == f"{tube.name}: its bore of 20 mm leaves no wall in 13 mm outside"
    assert told.part == loop.layout().runs[0].id


def test_a_coolant_that_cannot_be_is_told_of_before_anything_is_solved(loop: Build) -> None:
    (coolant,) = loop.coolants
    mixed = loop.with_values(coolants=(coolant.with_values(kind="water", glycol_mass_fraction=0.3),))
    (told,) = [mark.text for mark in findings(mixed) if mark.code == "coolant"]
    assert "for a mix, choose a glycol as kind" in told


def test_swapped_columns_are_asked_about(loop: Build) -> None:
    """A pump of 5 m and 800 L/h, a block of 7 kPa at 180 L/h: both the wrong way round; usual ones are not asked."""
    assert "swapped" not in {mark.code for mark in findings(loop)}
    curve = {"points": [{"flow_l_h": 0, "head_m": 800}, {"flow_l_h": 5, "head_m": 10}]}
    drop = {"points": [{"flow_l_h": 1, "dp_kpa": 60}, {"flow_l_h": 7, "dp_kpa": 180}]}
    wrong = edits.change_part(edits.change_part(loop, "pump", curve=curve).build, "block", drop=drop).build
    told = [mark.text.partition(": ")[2] for mark in findings(wrong) if mark.code == "swapped"]
    assert sorted(told) == [
        "it costs 180 kPa at 7 L/h: are flow and drop swapped?",
        "its curve begins at 800 m: are flow and head swapped?",
    ]


def test_a_pump_whose_inlet_would_boil_is_told_so_without_a_negative_distance(plinth: Build) -> None:
    """Water at 95 °C boils at 84.6 kPa (IAPWS-95, from memory); the room at 2,000 m has 79.5 kPa (ISO 2533)."""
    hot = plinth.with_values(
        coolants=(plinth.coolants[0].with_values(temperature_c=95.0),),
        ambient=plinth.ambient.with_values(altitude_m=2000.0),
    )
    told = [each.text for each in operating_point(hot).findings if each.code == "suction" and each.part == "pump_a"]
    assert told
    assert told[0].startswith("Pump A: the coolant boils in its inlet, 6 kPa are missing")


def test_a_loop_without_a_pump_is_solved_at_rest(loop: Build) -> None:
    made = edits.remove_part(loop, LAYOUT, "pump").build
    point = operating_point(made)
    assert point.loop_flow == 0.0
    assert pump_plots(made) == ()
    assert failures(made).cases == ()


def test_a_dead_end_carries_nothing(loop: Build) -> None:
    made = placed(loop, Pump(id="lonely", name="Lonely"), 300, 300)
    made = placed(made, Block(id="stub", name="Stub"), 500, 300)
    made = joined(made, ("lonely.outlet", "stub.inlet"))
    point = operating_point(made)
    assert point.of("stub").flow == 0.0
    assert point.loop_flow == pytest.approx(operating_point(loop).loop_flow)


def test_what_is_too_high_too_tight_or_outside_is_found(loop: Build) -> None:
    low = loop.with_values(enclosure=loop.enclosure.with_values(clear_height_mm=40, length_mm=520))
    corners = [Corner(x_mm=580, y_mm=110), Corner(x_mm=580, y_mm=130), Corner(x_mm=10, y_mm=130, height_mm=60)]
    found = findings(edits.change_run(low, LAYOUT, "run_3", corners=corners).build)
    by_code = {
        code: [each.part for each in found if each.code == code] for code in ("too_high", "tight_bend", "outside")
    }
    assert "reservoir" in by_code["too_high"]
    assert "run_3" in by_code["too_high"]
    assert set(by_code["tight_bend"]) == {"run_3"}
    assert by_code["outside"] == ["block"]


@pytest.mark.parametrize("name", ["two pumps in series", "two pumps side by side", "one large pump"])
def test_curves_cross_at_the_operating_point(plinth: Build, name: str) -> None:
    """Group curve and system curve are computed apart; both must pass through the solved point."""
    (plot,) = pump_plots(plinth, name)
    for line in (plot.combined, plot.system):
        assert np.interp(plot.flow, line.flow, line.head) == pytest.approx(plot.head, rel=3e-3)
    for case in plot.stopped:
        if case.flow > 1e-9:
            for line in (case.combined, case.system):
                assert np.interp(case.flow, line.flow, line.head) == pytest.approx(case.head, rel=5e-3)


def test_series_adds_heads_and_parallel_adds_flows(plinth: Build) -> None:
    (series,), (beside,) = pump_plots(plinth, "two pumps in series"), pump_plots(plinth, "two pumps side by side")
    single = series.each[0]
    assert series.combined.head[0] == pytest.approx(2 * single.head[0])
    middle = len(single.flow) // 2
    both = np.interp(2 * single.flow[middle], beside.combined.flow, beside.combined.head)
    assert single.head[middle] - both == pytest.approx(_branch_cost(plinth, single.flow[middle]), rel=2e-3)
    assert (np.diff(series.system.head) > 0).all()
    assert (np.diff(series.combined.head) < 0).all()


def _branch_cost(plinth: Build, flow: float) -> float:
    """Head that tees and tubes of one of two like branches take, each with half of the flow, added up by hand [m]."""
    build, name = plinth, "two pumps side by side"
    state, layout = build.coolant.state, build.layout(name)
    loop = assemble(build, layout)
    ends = ("pump_split.a", "pump_split.b", "pump_merge.a", "pump_merge.b")
    runs = [run.id for run in layout.runs if "pump_a" in run.start + run.end and {run.start, run.end} & set(ends)]
    tubes = sum(loop.network.links[run].element.dp(flow, state)[0] for run in runs)
    bore, legs = 0.01, 0.0
    for sign in (-1, 1):  # out of the split, into the merge
        through = sign * flow * np.array([[1.0], [1.0], [-2.0]])
        loss = TeeLaw(bore, bore).coefficients(through)[0][0, 0]
        legs += float(Leg(bore, loss, loss).dp(flow, state)[0])
    return float(tubes + legs) / (state.density * GRAVITY)


def test_pumps_of_two_circuits_each_meet_their_own(empty: Build) -> None:
    made = empty
    for row, y in enumerate((100, 300)):
        made = placed(made, Pump(id=f"pump_{row}", name=f"Pump {row}"), 100, y)
        made = placed(made, Block(id=f"block_{row}", name=f"Block {row}"), 300, y)
        made = joined(made, (f"pump_{row}.outlet", f"block_{row}.inlet"), (f"block_{row}.outlet", f"pump_{row}.inlet"))
    plots = pump_plots(made)
    assert [plot.pumps for plot in plots] == [("pump_0",), ("pump_1",)]
    assert [plot.why_single for plot in plots] == ["", ""]


def test_pumps_that_form_no_group_are_plotted_one_by_one(empty: Build) -> None:
    """Two loops that share nothing but a vessel: neither in series nor side by side."""
    holes = (("a", "left", 20), ("b", "left", -20), ("c", "right", 20), ("d", "right", -20))
    vessel = Reservoir(
        id="vessel", name="Vessel", port_list=[{"name": name, "side": side, "offset_mm": y} for name, side, y in holes]
    )
    made = placed(empty, vessel, 100, 200)
    for row, ends in enumerate(("ac", "bd")):
        made = placed(made, Pump(id=f"pump_{row}", name=f"Pump {row}"), 300, 100 + 200 * row)
        made = joined(made, (f"vessel.{ends[0]}", f"pump_{row}.inlet"), (f"pump_{row}.outlet", f"vessel.{ends[1]}"))
    plots = pump_plots(made)
    assert [plot.pumps for plot in plots] == [("pump_0",), ("pump_1",)]
    assert all("by itself" in plot.why_single for plot in plots)


def test_series_pumps_keep_a_share_and_say_why(plinth: Build) -> None:
    found = failures(plinth, "two pumps in series")
    assert len(found.cases) == 2
    for case in found.cases:
        assert 0.4 < case.share < 0.9
        assert case.back_flow == 0.0
        assert "carries on against the standing impeller" in case.sentence


def test_parallel_pumps_without_check_valves_let_flow_back(plinth: Build) -> None:
    worst = failures(plinth, "two pumps side by side").worst
    assert worst.back_flow > 0
    running, stopped = (worst.point.of(pump) for pump in ("pump_b", "pump_a"))
    if worst.stopped == "pump_b":
        running, stopped = stopped, running
    assert stopped.flow == pytest.approx(-worst.back_flow)
    loop_flow = worst.point.of("processor").flow
    assert running.flow == pytest.approx(loop_flow + worst.back_flow, rel=1e-9)
    assert "lets" in worst.sentence


def test_nothing_is_left_of_a_single_pump(plinth: Build) -> None:
    (case,) = failures(plinth, "one large pump").cases
    assert case.share == pytest.approx(0.0, abs=1e-9)
    assert case.sentence == "Nothing drives the flow: Large pump is the only pump."


def test_parallel_failure_agrees_with_equations_written_by_hand(empty: Build) -> None:
    """Two pumps between two tees, one block: three unknown flows, solved by an independent root finder."""
    from scipy.optimize import root

    made = empty
    for kind, part_id, x, y in (
        (Pump, "pump_a", 300, 200), (Pump, "pump_b", 300, 100), (Tee, "tee_in", 150, 150),
        (Tee, "tee_out", 450, 150), (Block, "block", 300, 300),
    ):  # fmt: skip
        values = {"losses": "constant per leg", "leg_loss": 0.6} if kind is Tee else {}
        made = placed(made, kind(id=part_id, name=part_id, **values), x, y)
    made = joined(
        made, ("tee_in.a", "pump_a.inlet"), ("tee_in.b", "pump_b.inlet"), ("pump_a.outlet", "tee_out.a"),
        ("pump_b.outlet", "tee_out.b"), ("tee_out.c", "block.inlet"), ("block.outlet", "tee_in.c"),
    )  # fmt: skip
    point = operating_point(made, stopped={"pump_b"})
    state, links = made.coolant.state, _links(made, {"pump_b"})

    def imbalance(flows: np.ndarray) -> list[float]:
        branch_a, branch_b = flows * 1e-5
        whole = branch_a + branch_b
        a = sum(links[name].dp(branch_a, state)[0] for name in ("run", "pump_a", "run_3", "tee_out/a"))
        a -= links["tee_in/a"].dp(-branch_a, state)[0]
        b = sum(links[name].dp(branch_b, state)[0] for name in ("run_2", "pump_b", "run_4", "tee_out/b"))
        b -= links["tee_in/b"].dp(-branch_b, state)[0]
        rest = sum(links[name].dp(whole, state)[0] for name in ("run_5", "block", "run_6", "tee_in/c"))
        rest -= links["tee_out/c"].dp(-whole, state)[0]
        return [float(a - b), float(a + rest)]

    solved = root(imbalance, [8.0, -2.0], tol=1e-13)
    assert solved.success
    assert point.of("pump_a").flow == pytest.approx(solved.x[0] * 1e-5, rel=1e-7)
    assert point.of("pump_b").flow == pytest.approx(solved.x[1] * 1e-5, rel=1e-7)
    assert solved.x[1] < 0 < solved.x[0]
    assert math.isclose(point.loop_flow, (solved.x[0] + solved.x[1]) * 1e-5, rel_tol=1e-7)


def _links(build: Build, stopped: set[str]):
    return {name: link.element for name, link in assemble(build, build.layout(), stopped).network.links.items()}


def with_check_valves(plinth: Build, cracking_kpa: float = 0.5) -> Build:
    """The parallel layout with a check valve behind each pump, in place of the tube from pump to elbow."""
    name, build = "two pumps side by side", plinth
    for pump, y in (("pump_a", 200), ("pump_b", 100)):
        valve = CheckValve(id=f"check_{pump}", name=f"Check {pump}", cracking_kpa=cracking_kpa)
        place = Placement(part=valve.id, x_mm=725, y_mm=y, height_mm=8)
        build = edits.add_part(build, name, valve, place).build
        (run,) = [run for run in build.layout(name).runs if run.start == f"{pump}.outlet"]
        build = edits.change_run(build, name, run.id, start=f"{valve.id}.outlet").build
        link = TubeRun(id=f"to_{valve.id}", start=f"{pump}.outlet", end=f"{valve.id}.inlet", tube=run.tube)
        build = edits.add_run(build, name, link).build
    return build


def test_check_valves_keep_the_flow_from_running_back(plinth: Build) -> None:
    """Common practice: parallel pumps get check valves. They cost a little while both run and save most of it after."""
    name = "two pumps side by side"
    bare, valved = failures(plinth, name), failures(with_check_valves(plinth), name)
    assert valved.base.loop_flow < bare.base.loop_flow
    assert valved.worst.share > bare.worst.share + 0.2
    assert valved.worst.back_flow < 0.02 * bare.worst.back_flow


def test_a_check_valve_that_is_hardly_opened_may_chatter(plinth: Build) -> None:
    point = operating_point(with_check_valves(plinth, cracking_kpa=20.0), "two pumps side by side")
    assert "chatter" in {finding.code for finding in point.findings}


def test_what_a_shut_check_valve_lets_past_is_no_flow_to_speak_of(plinth: Build) -> None:
    """Its leak is a share of a litre an hour: neither flow back through the pump, nor chatter."""
    point = operating_point(with_check_valves(plinth), "two pumps side by side", {"pump_a"})
    assert point.of("pump_a").flow < 0
    said = [finding.text for finding in point.findings if finding.part in ("pump_a", "check_pump_a")]
    assert not any("runs back" in text or "chatter" in text for text in said)


def test_a_valve_throttles_and_shut_it_stops_the_loop(loop: Build) -> None:
    made = placed(loop, Valve(id="valve", name="Valve"), 400, 300)
    made = edits.change_run(made, LAYOUT, "run_3", end="valve.a").build
    made = joined(made, ("valve.b", "reservoir.inlet"))
    flows = []
    for opening in (100, 40, 10, 0):
        set_so = edits.change_placement(made, LAYOUT, "valve", opening_percent=opening).build
        flows.append(operating_point(set_so).loop_flow)
    assert flows == sorted(flows, reverse=True)
    assert flows[2] > 1e-6
    assert flows[3] == pytest.approx(0.0, abs=1e-12)


def test_a_part_with_several_ways_inside_costs_what_its_power_says(loop: Build) -> None:
    """A channel plate in place of the block: power in is power out, and its drop is that over the flow through it."""
    plate = KINDS["channel_plate"](id="plate", name="Plate")
    made = placed(edits.remove_part(loop, LAYOUT, "block").build, plate, 500, 300)
    first, second = list(plate.ports)[:2]
    made = joined(made, ("pump.outlet", f"plate.{first}"), (f"plate.{second}", "reservoir.inlet"))
    point = operating_point(made)
    part = point.of("plate")
    assert part.flow == pytest.approx(point.loop_flow)
    given = sum(pump.flow * pump.dp for pump in point.pumps)
    assert part.flow * part.dp == pytest.approx(given * part.share, rel=1e-9)

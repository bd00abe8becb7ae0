"""The fill plan and its simulation, on loops that a hand can follow."""

import math
from collections.abc import Callable
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim import build as builds
from loopsim.build import Build, edits
from loopsim.errors import SketchError
from loopsim.network import HeightGraph, Tilt, height_graph
from loopsim.parts import BleedPort, FillPort, Pump, Reservoir, SidePort, Tube, Valve
from loopsim.studies import operating_point
from loopsim.studies.fill import FillPlan, TiltPlan, TiltStep, fill_plan, gravity_fill, start_ups

Make = Callable[..., Build]
BORE_ML_PER_MM = math.pi / 4 * 10.0**2 / 1000


def graph_of(build: Build) -> HeightGraph:
    return height_graph(build, build.layout())


def actions(plan: FillPlan) -> list[str]:
    return [step.action for step in plan.steps]


def codes(plan: FillPlan) -> set[str]:
    return {warning.code for warning in plan.warnings}


@pytest.fixture
def raised(build: Make, tube: Make) -> Callable[..., Build]:
    """A vessel with its level at 144 mm; a valve beside it, a fill port and a pump at 319 mm, and a hump behind it.

    The fill port's opening lies at 350 mm, the top of the pump at 335 mm. The line comes back into the vessel at
    `back_mm`, below its level or above.
    """

    def make(hump_mm: float = 450.0, back_mm: float = 112.0) -> Build:
        ports = (
            SidePort(name="inlet", side="left", height_mm=back_mm - 100),
            SidePort(name="outlet", side="right", height_mm=12),
        )
        placed = {
            Reservoir(id="vessel", name="Vessel", height_mm=80, port_list=ports): (200, 100),
            Valve(id="valve", name="Valve"): (320, 98),
            FillPort(id="port", name="Fill port"): (500, 310),
            Pump(id="pump", name="Pump"): (700, 300),
        }
        hump = [(800, 200, 319), (800, 200, hump_mm), (1000, 200, hump_mm)]
        back = [(1000, 400, back_mm), (60, 400, back_mm), (60, 200, back_mm)]
        return build(
            {part: {"x_mm": x, "y_mm": 200, "height_mm": height} for part, (x, height) in placed.items()},
            [
                tube("one", "vessel.outlet", "valve.a"),
                tube("two", "valve.b", "port.a", (400, 200, 112), (400, 200, 319)),
                tube("three", "port.b", "pump.inlet"),
                tube("four", "pump.outlet", "vessel.inlet", *hump, *back),
            ],
        )

    return make


def check_conserved(build: Build, plan: FillPlan) -> None:
    """At every moment liquid is what was poured, and with the air it fills what there is."""
    graph = graph_of(build)
    before = 0.0
    for moment in plan.snapshots:
        liquid, air = moment.liquid * graph.volume, (1 - moment.liquid) * graph.volume
        assert liquid.sum() == pytest.approx(moment.poured, abs=1e-10)
        assert (liquid + air).sum() == pytest.approx(graph.volume.sum())
        assert ((moment.liquid >= 0) & (moment.liquid <= 1)).all()
        assert moment.poured >= before - 1e-12
        before = moment.poured
    assert sum(step.volume for step in plan.steps) == pytest.approx(plan.poured, abs=1e-10)


def check_safe(build: Build, plan: FillPlan) -> None:
    """No pump runs that is not flooded, and no open port lies below the level."""
    graph = graph_of(build)
    heights = graph.heights()
    for step in plan.steps:
        before = [moment for moment in plan.snapshots if moment.step < step.number][-1]
        for pump in step.running:
            inside = [
                passage
                for passage in graph.passages_of[pump]
                if any(graph.names[end] in (f"{pump}.inlet", f"{pump}.outlet") for end in graph.ends[passage])
            ]
            assert before.liquid[inside] == pytest.approx(1.0, abs=1e-3), f"{pump} runs dry in step {step.number}"
        for opening in step.opened:
            assert heights[graph.number[opening]] >= step.level - 1e-6, f"{opening} runs over in step {step.number}"


def test_a_loop_below_the_level_is_full_after_one_pour(loop: Make) -> None:
    """A tube at the vessel's foot: its lid is the only opening, and all of it fills but the top of the pump."""
    build = loop(12, vessel_mm=100)
    plan = fill_plan(build)
    assert actions(plan) == ["make ready", "pour", "bleed", "top up", "check"]
    assert plan.opening.place == "vessel/lid"
    assert plan.poured == pytest.approx(plan.capacity, abs=3e-6)
    assert plan.is_complete
    check_conserved(build, plan)
    check_safe(build, plan)


def test_capacity_is_the_sum_of_parts_and_tube(loop: Make) -> None:
    """Vessel 150 mm by 80 mm inside, 39 mm deep; pump 15 mL; tubes of 10 mm bore by their length."""
    build = loop(12, vessel_mm=100)
    tubes = sum(build.run_path(build.layout(), run).length_mm for run in build.layout().runs)
    by_hand = 150 * 80 * 39 / 1000 + 15.0 + BORE_ML_PER_MM * tubes
    assert fill_plan(build).capacity * 1e6 == pytest.approx(by_hand)


def test_what_lies_behind_a_hump_is_pumped_and_topped_up(loop: Make) -> None:
    """The crest at 250 mm is above the level at 144 mm, so that gravity leaves air in the line."""
    build = loop(250, vessel_mm=100)
    plan = fill_plan(build)
    assert actions(plan) == ["make ready", "pour", "run", "top up", "bleed", "top up", "check"]
    fall = plan.steps[1].level - plan.snapshots_of(3)[-1].levels["vessel"]
    assert plan.steps[3].volume == pytest.approx(150e-3 * 80e-3 * fall), "as much as the vessel gave"
    (run,) = (step for step in plan.steps if step.action == "run")
    assert run.running == ("pump",)
    assert run.seconds == pytest.approx(plan.pumping)
    check_conserved(build, plan)
    check_safe(build, plan)


def test_the_level_never_falls_below_the_least_one(loop: Make) -> None:
    """Two bores of 10 mm above the middle of the outlet at 112 mm: 132 mm, common practice."""
    plan = fill_plan(loop(900, 150, 880, vessel_mm=100))
    assert plan.least_level == pytest.approx(0.132)
    running = [step.number for step in plan.steps if step.action == "run"]
    lowest = min(moment.levels["vessel"] for moment in plan.snapshots if moment.step in running)
    assert lowest >= plan.least_level - 1e-6


def test_pumping_takes_at_least_as_long_as_the_volume_at_the_full_flow(loop: Make) -> None:
    """Columns and gas only slow the pump down; the flow of the full loop is the fastest that it can be."""
    build = loop(900, 150, 880, vessel_mm=100)
    plan = fill_plan(build)
    volume = sum(step.volume for step in plan.steps if step.action == "top up")
    assert plan.pumping > volume / operating_point(build).loop_flow


def test_a_slim_vessel_is_emptied_many_times_and_takes_long_to_bleed(loop: Make) -> None:
    """Common practice, no source: several humps filled through a slim reservoir take an hour or more."""
    build = loop(900, 150, 880, vessel_mm=100)
    slim = edits.change_part(build, "vessel", length_mm=60.0, width_mm=50.0).build
    plan = fill_plan(slim)
    missing = plan.poured - plan.steps[1].volume
    once = 50e-3 * 40e-3 * (0.144 - 0.132)
    assert plan.top_ups == math.ceil(missing / once) + 1, "and once after bleeding"
    assert "slim vessel" in codes(plan)
    assert plan.bleeding_practice[0] >= 3600
    check_conserved(slim, plan)
    check_safe(slim, plan)


def test_a_pump_above_the_level_never_runs(loop: Make) -> None:
    plan = fill_plan(loop(50, vessel_mm=100, pump_mm=400))
    assert not plan.is_complete
    assert all(step.running == () for step in plan.steps)
    assert plan.pumping == 0
    assert "pump not flooded" in codes(plan)
    assert "Stop here" in plan.steps[-1].sentence


def test_a_pump_behind_a_hump_in_its_suction_line_never_runs(loop: Make) -> None:
    plan = fill_plan(loop(50, vessel_mm=100, suction_mm=(180,)))
    assert all(step.running == () for step in plan.steps)
    assert {"pump not flooded", "hump before a pump"} <= codes(plan)


def test_columns_higher_than_the_head_end_the_plan(loop: Make) -> None:
    """A crest at 4.5 m against a pump with 4.1 m without flow."""
    plan = fill_plan(loop(4500, 100, 4000, vessel_mm=100))
    assert not plan.is_complete
    assert "does not start" in codes(plan)
    assert "hold the pumps" in next(step.sentence for step in reversed(plan.steps) if step.action == "run")


def test_a_higher_port_with_the_valve_shut_floods_the_pump_first(raised: Make) -> None:
    """Common practice: the pump above the vessel is filled through a port above it, and does not run dry."""
    build = raised()
    plan = fill_plan(build)
    assert [step.shut for step in plan.steps if step.action == "pour"] == [("valve",), ("valve",)]
    assert [step.at.item for step in plan.steps if step.action == "pour"] == ["vessel", "port"]
    assert plan.is_complete
    opened = next(step.number for step in plan.steps if step.sentence.startswith("Open Valve"))
    assert all(step.number > opened for step in plan.steps if step.running)
    check_conserved(build, plan)
    check_safe(build, plan)


def test_where_air_gets_in_from_the_return_the_valve_does_not_help(raised: Make) -> None:
    """The line comes back above the level: opened, the valve would let all run back out of the pump."""
    plan = fill_plan(raised(back_mm=160.0))
    assert not any(step.running for step in plan.steps)
    assert "pump not flooded" in codes(plan)


def test_a_port_above_the_level_stays_shut_once_the_loop_is_full(raised: Make) -> None:
    plan = fill_plan(raised())
    late = [step for step in plan.steps if step.number > 5]
    assert all("port/opening" not in step.opened for step in late)
    assert "draws air" in codes(plan)


def test_where_a_stop_lets_all_run_back_the_vessel_is_topped_up_while_the_pump_runs(loop: Make) -> None:
    """The line comes back above the level, so that air gets at the riser of 1.5 m; the vessel gives 18 mL at a time."""
    build = loop(1500, 1500, vessel_mm=100)
    vented = (
        SidePort(name="inlet", side="left", height_mm=48),
        SidePort(name="outlet", side="right", height_mm=12),
    )
    slim = edits.change_part(build, "vessel", length_mm=60.0, width_mm=40.0, height_mm=70.0, port_list=vented).build
    plan = fill_plan(slim)
    (together,) = (step for step in plan.steps if step.action == "run" and step.volume > 0)
    assert together.at is not None
    assert together.at.item == "vessel"
    assert "runs back" in together.sentence
    assert together.volume / (together.seconds or 0.0) <= 50e-6 * (1 + 1e-6), "no faster than a hand pours"
    first = next(step for step in plan.steps if step.action == "run")
    assert plan.snapshots_of(first.number)[-1].levels["vessel"] == pytest.approx(0.144, abs=2e-3), "it has run back"
    check_conserved(slim, plan)
    check_safe(slim, plan)


def test_a_pump_pressed_full_by_another_may_run_then(loop: Make, tube: Make) -> None:
    """The second pump stands above the level; the first is flooded and feeds it."""
    build = loop(300, vessel_mm=100)
    placed = build.layout().placement("pump").with_values(part="second", x_mm=680.0, height_mm=200.0)
    second = build.part("pump").with_values(id="second", name="Second")
    with_second = edits.add_part(build, "bench", second, placed).build
    line = with_second.layout().run("line")
    two = edits.change_run(with_second, "bench", "line", start="second.outlet", corners=line.corners[1:]).build
    fed = edits.add_run(two, "bench", tube("feed", "pump.outlet", "second.inlet")).build
    plan = fill_plan(fed)
    running = [step.running for step in plan.steps if step.action == "run"]
    assert running[0] == ("pump",)
    assert running[-1] == ("pump", "second")
    assert plan.is_complete
    check_conserved(fed, plan)
    check_safe(fed, plan)


def test_a_lower_bleed_port_is_open_until_liquid_shows_and_then_capped(build: Make, tube: Make) -> None:
    """A hump at 60 mm beside a tall vessel with its level at 144 mm; its bleed port ends at 75 mm."""
    ports = (SidePort(name="inlet", side="left", height_mm=12), SidePort(name="outlet", side="right", height_mm=12))
    vessel = Reservoir(id="vessel", name="Vessel", port_list=ports, height_mm=170, level_mm=144)
    placed = {
        vessel: {"x_mm": 200, "y_mm": 200},
        BleedPort(id="bleed", name="Bleed port"): {"x_mm": 600, "y_mm": 200, "height_mm": 51},
    }
    made = build(
        placed,
        [
            tube("out", "vessel.outlet", "bleed.a", (300, 200, 0), (500, 200, 0), (500, 200, 60)),
            tube("back", "bleed.b", "vessel.inlet", (700, 200, 0), (700, 400, 0), (60, 400, 0), (60, 200, 12)),
        ],
    )
    plan = fill_plan(made)
    first = next(step for step in plan.steps if step.action == "pour")
    assert first.opened == ("vessel/lid", "bleed/opening")
    assert first.level == pytest.approx(0.075)
    assert "liquid shows at the cap of Bleed port" in first.sentence
    assert plan.steps[plan.steps.index(first) + 1].action == "cap"
    check_conserved(made, plan)
    check_safe(made, plan)


def test_the_builders_own_time_of_bleeding_stands_beside_common_practice(loop: Make) -> None:
    build = edits.change_layout(loop(250, vessel_mm=100), "bench", bleed_minutes=90.0).build
    plan = fill_plan(build)
    (bleed,) = (step for step in plan.steps if step.action == "bleed")
    assert plan.bleeding == 90 * 60
    assert bleed.seconds is None, "no published data tell"
    assert "cannot be worked out" in bleed.sentence
    assert "1 h 30 min" in bleed.sentence
    assert "common practice" in bleed.sentence
    unknown = fill_plan(loop(250, vessel_mm=100))
    assert unknown.bleeding is None
    assert "Note your own time" in next(step.sentence for step in unknown.steps if step.action == "bleed")


def test_tilts_are_steps_of_their_own(loop: Make) -> None:
    tilts = TiltPlan(2e-6, (TiltStep(Tilt(15.0, 0.0), 2e-6, 0.0, ("Vessel",)),), {})
    plan = fill_plan(loop(250, vessel_mm=100), tilts=tilts)
    (held,) = (step for step in plan.steps if step.action == "tilt")
    assert held.tilt == Tilt(15.0, 0.0)
    assert "right side up 15°" in held.sentence
    assert "Close Vessel first" in held.sentence
    assert plan.air_left == pytest.approx(0.0, abs=1e-7)


def test_a_u_without_a_pump_is_full_after_the_pour(between: Make) -> None:
    """Down from 109 mm to 0 and up again, air leaving by the other port: full, and nothing to run."""
    build = between(100, 100, 0)
    plan = fill_plan(build)
    assert plan.is_complete
    assert actions(plan) == ["make ready", "pour", "cap", "check"]
    assert plan.poured == pytest.approx(plan.capacity)
    assert "no vessel" in codes(plan)
    check_conserved(build, plan)


def test_a_hump_above_the_funnel_without_a_pump_stays_half_dry(between: Make) -> None:
    plan = fill_plan(between(0, 0, 109))
    assert not plan.is_complete
    assert "no pump is there" in plan.steps[-1].sentence


def test_an_end_that_nothing_joins_is_warned_of(loop: Make) -> None:
    build = edits.remove_run(loop(250, vessel_mm=100), "bench", "line").build
    assert "open end" in codes(fill_plan(build))


def test_an_unknown_opening_is_refused_by_name(loop: Make) -> None:
    with pytest.raises(SketchError, match="'funnel' is no opening"):
        fill_plan(loop(250, vessel_mm=100), opening="funnel")


def test_snapshots_come_in_the_order_of_time_and_steps(loop: Make) -> None:
    plan = fill_plan(loop(900, 150, 880, vessel_mm=100))
    assert [moment.step for moment in plan.snapshots] == sorted(moment.step for moment in plan.snapshots)
    assert [moment.time for moment in plan.snapshots] == sorted(moment.time for moment in plan.snapshots)
    assert {moment.step for moment in plan.snapshots} == {0, *(step.number for step in plan.steps)}
    assert plan.snapshots[-1].time == pytest.approx(plan.pouring + plan.pumping)


def test_while_a_front_goes_round_its_far_side_is_still_dry(loop: Make) -> None:
    """In the first moments of a run the rising leg fills and the far leg is as before."""
    build = loop(900, 150, 880, vessel_mm=100)
    plan, graph = fill_plan(build), graph_of(build)
    run = next(step for step in plan.steps if step.action == "run")
    before, first = plan.snapshots_of(run.number - 1)[-1], plan.snapshots_of(run.number)[0]
    line = graph.passages_of["line"]
    assert first.liquid[line[0]] > before.liquid[line[0]] + 0.1
    assert (first.liquid[line[1:]] == before.liquid[line[1:]]).all()


@settings(max_examples=25)
@given(
    heights=st.lists(st.floats(0.0, 1500.0), min_size=1, max_size=5),
    vessel=st.sampled_from([0.0, 100.0, 700.0]),
    bore=st.sampled_from([6.0, 10.0, 16.0]),
)
def test_liquid_is_never_lost_and_no_pump_runs_dry(
    loop: Make, heights: list[float], vessel: float, bore: float
) -> None:
    build = loop(*heights, vessel_mm=vessel)
    build = build.with_values(tubes=(Tube(id="t", name="T", bore_mm=bore),))
    plan = fill_plan(build)
    check_conserved(build, plan)
    check_safe(build, plan)


@pytest.mark.parametrize("name", ["render-plinth", "kiln-lamp", "pier-camera"])
def test_every_layout_of_the_samples_is_filled_without_losing_liquid(name: str, sample: Callable[[str], Build]) -> None:
    build = sample(name)
    for layout in build.layouts:
        one = build.with_values(layouts=(layout,))
        plan = fill_plan(one)
        check_conserved(one, plan)
        check_safe(one, plan)
        assert np.isfinite(plan.poured)


def test_every_warning_says_what_to_do(sample: Callable[[str], Build]) -> None:
    for warning in fill_plan(sample("render-plinth")).warnings:
        assert warning.text
        assert warning.remedy


@pytest.fixture
def sample() -> Callable[[str], Build]:
    return lambda name: builds.load(str(files("sample_loops") / f"{name}.loop.json"))


def test_a_plan_tells_which_level_floods_each_pump_and_the_lock_head() -> None:
    """The same figures as the studies give that they come from."""
    build = builds.load("sample_loops/render-plinth.loop.json")
    plan, poured = fill_plan(build), gravity_fill(build)
    assert plan.pumps == poured.pumps
    assert [each.pump for each in plan.pumps] == ["pump_a", "pump_b"]
    (start,) = plan.starts
    assert start == min(start_ups(build, poured), key=lambda each: (each.lock, each.lift))
    assert start.lock > 0


def test_a_cap_is_told_to_be_opened_only_where_there_is_one() -> None:
    build = builds.load("sample_loops/kiln-lamp.loop.json")
    plan = fill_plan(build)
    assert not [name for name, kind in height_graph(build, build.layout()).openings.items() if kind == "capped"]
    remedies = [each.remedy for each in plan.warnings if each.code == "air shut in"]
    assert remedies
    assert not any("open a cap" in each for each in remedies)

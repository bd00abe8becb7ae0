"""What failures lead to: flow, temperatures, verdict, time, and the alarm levels that follow."""

import math
from pathlib import Path

import pytest

import sample_loops
from loopsim.build import Build, Placement, edits, from_text, load
from loopsim.parts import CheckValve, TubeRun
from loopsim.studies import heat_point, operating_point
from loopsim.studies.failing.alarms import coolant_at
from loopsim.studies.failing.bearable import slack, with_load
from loopsim.studies.failing.catalogue import Situation, catalogue, pairs_of
from loopsim.studies.failing.grace import Grace
from loopsim.studies.failing.outcomes import each_outcome, failure_outcomes
from loopsim.studies.heat.transient import transient
from loopsim.units import from_si

from .struck import LAYOUT, machine


@pytest.fixture(scope="module")
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)


@pytest.fixture(scope="module")
def found(plinth: Build):
    return failure_outcomes(plinth)


def the(found, title: str):
    return next(outcome for outcome in found.outcomes if outcome.failure.title == title)


def test_every_failure_has_an_outcome_and_a_sentence(found, plinth: Build) -> None:
    assert [outcome.failure for outcome in found.outcomes] == list(catalogue(plinth))
    for outcome in found.outcomes:
        assert outcome.sentence.lower().startswith(outcome.failure.title.lower())


def test_a_case_is_the_coupled_solution_of_the_struck_machine(found, plinth: Build) -> None:
    alone = heat_point(plinth, stopped=["pump_a"])
    outcome = the(found, "Pump A stopped")
    assert outcome.flow == pytest.approx(alone.point.loop_flow, rel=2e-5)  # a thousandth of a kelvin may be left to go,
    assert outcome.margin == pytest.approx(alone.warmest.margin, abs=1e-3)  # and a kelvin makes 2 % of the viscosity
    assert outcome.share == pytest.approx(outcome.flow / found.base.point.loop_flow)
    assert outcome.block_flows["processor"] == pytest.approx(abs(alone.point.of("processor").flow), rel=2e-5)


def test_the_sample_holds_with_one_pump_out_and_not_with_one_fan_out(found) -> None:
    """As its note says."""
    assert the(found, "Pump A stopped").verdict == "holds"
    assert the(found, "Fan 1 stopped").verdict == "holds with less load"
    assert the(found, "all pumps stopped").verdict == "shut down"
    assert not found.survives_any
    assert found.worst.verdict == "shut down"
    down = [outcome for outcome in found.outcomes if outcome.verdict == "shut down"]
    assert found.worst.time_between[0] == min(outcome.time_between[0] for outcome in down)  # the soonest of them


def test_back_flow_through_a_standing_pump_and_a_standing_fan_is_told(plinth: Build) -> None:
    found = failure_outcomes(plinth, "two pumps side by side")
    alone = operating_point(plinth, "two pumps side by side", ["pump_a"])
    back = the(found, "Pump A stopped").back_flows
    assert back["pump_a"] == pytest.approx(-alone.of("pump_a").flow, rel=0.05)  # there at the stated temperature
    assert set(the(found, "Fan 1 stopped").back_flows) == {"fan_1"}
    assert the(found, "Intake filter clogged").back_flows == {}


def test_the_bearable_load_is_that_at_which_a_limit_is_just_held(found) -> None:
    """Solved again at the load found: held, and no longer held at 1 % more."""
    for title in ("Fan 1 stopped", "room 10 K warmer", "Intake filter clogged"):
        outcome = the(found, title)
        share = outcome.bearable_load / outcome.load
        margins = []
        for factor in (1.0, 1.01):
            situation = with_load(outcome.situation, factor * share)
            solved = heat_point(situation.build, situation.layout_name, stopped=situation.stopped)
            margins.append(solved.warmest.margin)
        assert 0 <= margins[0] < 0.1
        assert margins[1] < 0


def test_a_load_that_holds_is_no_reason_to_cut(found) -> None:
    for outcome in found.outcomes:
        assert (outcome.bearable_load is not None) == (outcome.verdict == "holds with less load")
        assert (outcome.verdict in ("holds", "dark")) == (outcome.heat is not None and slack(outcome.heat) >= 0)


def test_where_nothing_flows_the_own_capacity_bounds_the_time(found) -> None:
    """C dT / P by hand: 25 J/K of the component and 150 J/K of its block, 190 W, from rest to 80 °C."""
    outcome = the(found, "all pumps stopped")
    processor = next(each for each in found.base.components if each.part == "processor")
    least, most = outcome.time_between
    assert least == pytest.approx((25 + 150) * (80 - processor.temperature) / 190, rel=1e-6)
    assert most > least


def test_the_course_in_time_meets_its_limit_between_the_bounds(plinth: Build, found) -> None:
    for title, stopped in (("all pumps stopped", ["pump_a", "pump_b"]), ("Fan 1 stopped", ["fan_1"])):
        least, most = the(found, title).time_between
        assert least <= transient(plinth, stopped=stopped).time_to_limit <= most


def test_a_loop_of_one_lump_takes_the_time_of_an_exponential(found) -> None:
    """The upper bound where only the air fails, by hand: C r / P ln((E - T) / (E - limit))."""
    outcome = the(found, "Fan 1 stopped")
    before, after = (
        next(each for each in heat.components if each.part == "processor") for heat in (found.base, outcome.heat)
    )
    constant = Grace(found.base).capacity * outcome.heat.coolant_rise / outcome.heat.budget.into_coolant
    expected = constant * math.log((after.temperature - before.temperature) / (after.temperature - 80))
    assert outcome.time_between[1] == pytest.approx(expected, rel=1e-9)


def test_times_are_followed_on_request(plinth: Build) -> None:
    base = heat_point(plinth)
    failures = [each for each in catalogue(plinth) if each.title in ("all pumps stopped", "room 10 K warmer")]
    pumps, room = each_outcome(base, failures, timed=True)
    assert pumps.time == pytest.approx(transient(plinth, stopped=["pump_a", "pump_b"]).time_to_limit)
    assert f"the first limit is met after {pumps.time:.1f} s (its block alone would take" in pumps.sentence
    assert 0 < room.time < room.time_between[1]
    assert room.sentence.split("; ")[0].endswith("were the room to warm at once")


def test_a_course_begins_with_the_healthy_machine_and_goes_on_with_the_struck_one(plinth: Build) -> None:
    """A shut valve: every lump that both have starts as warm as it was, and no flow is left from the start."""
    base = heat_point(plinth)
    (shut,) = [each for each in catalogue(plinth) if each.title == "Fill valve shut"]
    struck = shut.strike(Situation(plinth, base.point.layout.name))
    course = transient(struck.build, healthy=base, until_limit=True)
    before = {(each.part, each.name): each.temperature for each in base.components}
    for each in course.components:
        assert each.temperature[0] == pytest.approx(before[each.part, each.name], abs=0.05)
    for vessel, temperature in course.vessels.items():
        assert temperature[0] == pytest.approx(base.ports[vessel], abs=0.05)
    assert abs(course.course.flow[0, : course.course.first.lumps.start_cell.size]).max() < 1e-9
    assert course.time[-1] < 10.0


def test_a_course_in_a_warmer_room_starts_where_the_cooler_one_had_come_to(plinth: Build) -> None:
    base = heat_point(plinth)
    (hot,) = [each for each in catalogue(plinth) if each.title == "room 10 K warmer"]
    struck = hot.strike(Situation(plinth, base.point.layout.name))
    course = transient(struck.build, healthy=base, minutes=240)
    first = next(each for each in course.components if each.part == "processor")
    after = heat_point(struck.build)
    assert course.room == pytest.approx(base.room + 10)
    healthy, end = (next(e for e in heat.components if e.part == "processor") for heat in (base, after))
    assert first.temperature[0] == pytest.approx(healthy.temperature, abs=0.05)
    assert first.temperature[-1] == pytest.approx(end.temperature, abs=0.05)


def test_every_case_past_a_limit_has_a_time(found) -> None:
    """With the course cut short at the first limit: what it says is what the whole course says."""
    must_act = [each.failure for each in found.outcomes if each.verdict in ("shut down", "holds with less load")]
    timed = list(each_outcome(found.base, must_act[::3], timed=True))
    for outcome in timed:
        assert outcome.time is not None, outcome.sentence
        assert outcome.time_between[0] < outcome.time
        struck = outcome.situation
        whole = transient(struck.build, struck.layout_name, stopped=struck.stopped, healthy=found.base)
        assert outcome.time == pytest.approx(whole.time_to_limit, rel=1e-3)


def test_a_lost_supply_that_feeds_the_loads_leaves_the_machine_dark() -> None:
    """One supply feeds block and fan: nothing gets too warm, and nothing runs that would make heat."""
    outcome = the(failure_outcomes(machine()), "Supply lost")
    assert (outcome.verdict, outcome.dark, outcome.load) == ("dark", ("block",), 0.0)
    assert outcome.time_between is None
    assert "without power" in outcome.sentence
    assert outcome.sentence.endswith("the machine is dark.")


def test_a_supply_of_some_of_the_loads_leaves_the_rest(found) -> None:
    outcome = the(found, "Supply 2 lost")
    assert outcome.verdict == "dark"
    assert 0 < outcome.load < sum(each.heat for each in found.base.components)
    assert outcome.sentence.endswith("what has power holds.")
    assert not found.survives_any


def test_no_time_runs_where_all_holds(found) -> None:
    for outcome in found.outcomes:
        if outcome.verdict in ("holds", "dark"):
            assert outcome.time_between is None
            assert outcome.time is None
    assert Grace(found.base).bounds(found.base) is None


def test_a_machine_without_rest_is_shut_down(monkeypatch, plinth: Build) -> None:
    from loopsim.studies.failing import bearable, outcomes

    base = heat_point(plinth)
    monkeypatch.setattr(outcomes, "at_rest", lambda *_: None)
    (outcome,) = outcomes.each_outcome(base, catalogue(plinth)[2:3])
    assert (outcome.heat, outcome.margin, outcome.verdict) == (None, None, "shut down")
    assert outcome.flow == pytest.approx(0.0, abs=1e-9)
    assert outcome.time_between[0] > 0
    assert "flow and heat come to no rest" in outcome.sentence
    assert bearable.at_rest(Situation(plinth, base.point.layout.name), base.case.name) is not None


def test_a_supply_that_gives_too_much_is_past_its_limit() -> None:
    """The block's 200 W and a fan's share on a supply of 150 W: about three quarters of the load can be borne."""
    build = edits.change_part(machine(), "supply", rating_w=150.0).build
    found = failure_outcomes(build)
    assert slack(found.base) == pytest.approx(1 - (200 + 0.9) / 150, abs=1e-3)
    outcome = the(found, "Fan 2 stopped")
    assert outcome.bearable_load == pytest.approx(149.1, rel=2e-3)
    assert "no level can help" in found.alarms.sentence


def test_the_load_case_counts() -> None:
    build = machine(load=250.0)
    cool, warm = (failure_outcomes(build, case_name=name) for name in ("full duty", "warm day"))
    assert warm.base.warmest.margin < cool.base.warmest.margin
    holding = [sum(each.verdict == "holds" for each in found.outcomes) for found in (warm, cool)]
    assert holding[0] < holding[1]


def test_pairs_are_solved_on_request() -> None:
    build = machine()
    found = failure_outcomes(build, pairs=True)
    assert len(found.outcomes) == len(catalogue(build)) + len(pairs_of(catalogue(build)))
    both = the(found, "Fan 1 stopped, Mat clogged")
    assert both.margin < min(the(found, "Fan 1 stopped").margin, the(found, "Mat clogged").margin)


def test_alarms_tell_failures_that_matter_from_those_that_do_not(found) -> None:
    """Every failure that must be acted on lies past a cut level, and the healthy machine short of all levels."""
    alarms, base = found.alarms, found.base
    assert base.point.loop_flow > alarms.flow_warn > alarms.flow_cut > 0
    assert coolant_at(base, alarms.place) < alarms.coolant_warn < alarms.coolant_cut
    full = sum(each.heat for each in base.components)
    for outcome in found.outcomes:
        if outcome.verdict in ("shut down", "holds with less load") and outcome.load > 0.99 * full:
            coolant = coolant_at(outcome.heat, alarms.place)
            assert outcome.flow < alarms.flow_cut or coolant > alarms.coolant_cut - 1e-6, outcome.sentence
    assert f"cut below {from_si(alarms.flow_cut, 'l_h'):.0f} L/h" in alarms.sentence


def test_a_stopped_pump_that_the_machine_survives_is_warned_of(found) -> None:
    outcome = the(found, "Pump A stopped")
    assert found.alarms.flow_cut < outcome.flow < found.alarms.flow_warn


def test_a_pump_against_a_shut_valve_is_no_reason_to_shut_the_machine_down(plinth: Build) -> None:
    """What stands in that pump warms without end, but another pump keeps every component cool."""
    name, build = "two pumps side by side", plinth
    valve = CheckValve(id="check", name="Check valve", stuck="shut")
    build = edits.add_part(build, name, valve, Placement(part="check", x_mm=725, y_mm=200, height_mm=8)).build
    (run,) = [run for run in build.layout(name).runs if run.start == "pump_a.outlet"]
    build = edits.change_run(build, name, run.id, start="check.outlet").build
    link = TubeRun(id="link", start="pump_a.outlet", end="check.inlet", tube=run.tube)
    heat = heat_point(edits.add_run(build, name, link).build, name)
    assert heat.is_steady
    assert "standing_boils" in {finding.code for finding in heat.findings}
    assert all(component.temperature is not None for component in heat.components)
    assert slack(heat) > 0


def test_no_time_is_told_where_a_limit_is_passed_with_everything_in_order() -> None:
    """Else each failure would seem to leave no time at all."""
    cold = [{"name": "die", "heat_w": 100, "limit_c": 25}]
    hot = edits.change_part(machine(), "block", loads=cold)
    sentence = the(failure_outcomes(hot.build), "Pump stopped").sentence
    assert "a limit is passed with everything in order" in sentence
    assert "first limit" not in sentence


def test_without_a_pump_there_is_nothing_to_watch() -> None:
    found = failure_outcomes(edits.remove_part(machine(), LAYOUT, "pump").build)
    assert found.alarms.flow_cut is None
    assert "Nothing flows" in found.alarms.sentence


def test_without_components_every_failure_is_told_by_its_flow() -> None:
    """There is nothing that could get too warm, so nothing has to be shut down."""
    bare = edits.remove_part(machine(), LAYOUT, "block").build
    joined = TubeRun(id="past", start="filter.outlet", end="radiator.a", tube="t")
    found = failure_outcomes(edits.add_run(bare, LAYOUT, joined).build)
    assert found.survives_any
    assert the(found, "Pump stopped").sentence == "Pump stopped: nothing flows; it holds."
    flowing = [outcome.flow for outcome in found.outcomes if outcome.flow > 1e-9]
    assert found.alarms.flow_cut == pytest.approx(min(flowing) / 2)  # halfway to none
    assert found.alarms.coolant_cut is None


def test_no_coolant_level_is_proposed_that_would_cut_the_healthy_machine() -> None:
    outcomes = failure_outcomes(from_text(sample_loops.sample("awkward-riser").read_text(encoding="utf-8")))
    healthy = coolant_at(outcomes.base, outcomes.alarms.place or "")
    alarms = outcomes.alarms
    assert healthy is not None
    assert alarms.coolant_cut is None or alarms.coolant_cut > healthy
    assert alarms.coolant_warn is None or alarms.coolant_warn <= (alarms.coolant_cut or 0.0)

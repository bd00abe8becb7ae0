"""What can fail, and what each failure makes of a machine."""

import pytest

from loopsim.build import FailureEvent, OwnFailure, edits
from loopsim.parts import Filter
from loopsim.studies import heat_point
from loopsim.studies.failing.catalogue import CLOGGED_FACTOR, Failure, Situation, catalogue, pairs_of

from .struck import LAYOUT, machine


def the(failures, title: str) -> Failure:
    return next(failure for failure in failures if failure.title == title)


@pytest.fixture(scope="module")
def build():
    return machine()


def struck(build, title: str) -> Situation:
    return the(catalogue(build), title).strike(Situation(build, LAYOUT))


def test_the_catalogue_holds_one_failure_of_everything(build) -> None:
    titles = [failure.title for failure in catalogue(build)]
    assert titles[:4] == ["Pump stopped", "Fan 1 stopped", "Fan 2 stopped", "all fans stopped"]
    assert {"Filter clogged", "Mat clogged", "Valve shut", "Check valve stuck open", "Check valve stuck shut"} < {
        *titles
    }
    assert {"Reservoir low", "room 10 K warmer", "Supply lost", "Second lost"} < {*titles}
    assert sum(title.startswith("Tube ") and title.endswith(" kinked") for title in titles) == 7
    assert "all pumps stopped" not in titles  # there is one


def test_a_failure_leaves_the_healthy_build_as_it_is(build) -> None:
    before = build.model_dump_json()
    for failure in catalogue(build):
        failure.strike(Situation(build, LAYOUT))
    assert build.model_dump_json() == before


def test_the_order_of_events_makes_no_difference(build) -> None:
    """But for one part that fails in two ways."""
    single = (failure.events[0] for failure in catalogue(build) if len(failure.events) == 1)
    events = tuple(event for event in single if event.what != "stuck open")
    one = Failure("all", events).strike(Situation(build, LAYOUT))
    other = Failure("all", events[::-1]).strike(Situation(build, LAYOUT))
    assert one.stopped == other.stopped
    assert one.build.parts == other.build.parts
    assert (one.layout.placed, one.layout.runs) == (other.layout.placed, other.layout.runs)
    assert one.build.load_cases == other.build.load_cases


def test_a_clogged_filter_costs_its_factor_at_every_flow(build) -> None:
    clean, clogged = build.part("filter"), struck(build, "Filter clogged").build.part("filter")
    assert isinstance(clogged, Filter)
    for before, after in zip(clean.drop.points, clogged.drop.points, strict=True):
        assert after.dp_kpa == pytest.approx(CLOGGED_FACTOR * before.dp_kpa)
        assert after.flow_l_h == before.flow_l_h


@pytest.mark.parametrize("title", ["Valve shut", "Check valve stuck shut"])
def test_a_row_with_a_shut_way_stands_still(build, title: str) -> None:
    after = struck(build, title)
    assert heat_point(after.build).point.loop_flow == pytest.approx(0.0, abs=1e-12)


def test_a_check_valve_stuck_open_lets_more_through(build) -> None:
    """It no longer asks for its cracking pressure."""
    assert heat_point(struck(build, "Check valve stuck open").build).point.loop_flow > heat_point(build).point.loop_flow


def test_a_reservoir_that_draws_air_stops_the_pumps_of_its_circuit(build) -> None:
    assert struck(build, "Reservoir low").stopped == {"pump"}
    sealed = edits.change_part(build, "reservoir", air_above="sealed").build
    assert struck(sealed, "Reservoir low").stopped == {"pump"}


def test_a_warmer_room_warms_every_case_up_to_what_is_known(build) -> None:
    hot = struck(build, "room 10 K warmer").build
    assert hot.ambient.temperature_c == build.ambient.temperature_c + 10
    assert [case.ambient_c for case in hot.load_cases] == [None, 45.0]
    desert = edits.change_build(build, ambient=build.ambient.with_values(temperature_c=55.0)).build
    assert struck(desert, "room 10 K warmer").build.ambient.temperature_c == 60.0


def test_a_lost_supply_takes_what_hangs_on_no_other(build) -> None:
    """The block hangs on the first supply alone, the first fan on both."""
    lost = struck(build, "Supply lost")
    assert lost.stopped == frozenset()
    assert all(lost.build.load_share(case, "block") == 0 for case in lost.build.load_cases)
    assert {part.id: part.load for part in heat_point(lost.build).supplies}["supply"] == 0


def test_the_other_supply_takes_the_whole_load(build) -> None:
    loads = {part.id: part.load for part in heat_point(build).supplies}
    after = {part.id: part.load for part in heat_point(struck(build, "Supply lost").build).supplies}
    assert after["second"] == pytest.approx(loads["second"] + build.part("fan_1").power_w / 2, rel=1e-6)
    assert struck(build, "Second lost").stopped == {"pump"}


def test_parts_that_cannot_fail_so_are_left_out(build) -> None:
    shut = edits.change_placement(build, LAYOUT, "valve", opening_percent=0.0).build
    assert "Valve shut" not in [failure.title for failure in catalogue(shut)]
    stuck = edits.change_part(build, "check", stuck="open").build
    assert "Check valve stuck open" not in [failure.title for failure in catalogue(stuck)]


def test_pairs_are_every_two_that_can_happen_together(build) -> None:
    single = [failure for failure in catalogue(build) if len(failure.events) == 1]
    pairs = pairs_of(catalogue(build))
    assert len(pairs) == len(single) * (len(single) - 1) // 2 - 1  # a check valve is not stuck both ways
    both = the(pairs, "Pump stopped, Fan 1 stopped").strike(Situation(build, LAYOUT))
    assert both.stopped == {"pump", "fan_1"}


def test_own_cases_follow_where_the_layout_has_what_they_speak_of(build) -> None:
    case = OwnFailure(
        name="dusty and hot", events=(FailureEvent(what="clogged", item="mat"), FailureEvent(what="hot room"))
    )
    with_case = edits.change_build(build, own_failures=(case,)).build
    last = catalogue(with_case)[-1]
    assert (last.title, last.own) == ("dusty and hot", True)
    after = last.strike(Situation(with_case, LAYOUT)).build
    assert after.part("mat") != build.part("mat")
    assert after.ambient.temperature_c == 32.0
    without_mat = edits.remove_part(build, LAYOUT, "mat").build
    placed = without_mat.with_values(parts=(*without_mat.parts, build.part("mat")), own_failures=(case,))
    assert all(not failure.own for failure in catalogue(placed))

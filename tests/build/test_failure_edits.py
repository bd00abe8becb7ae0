"""Failure cases of the builder's own, and alarm levels, are edits of the build."""

import pytest

from loopsim import build as builds
from loopsim.build import AlarmLevels, Build, FailureEvent, OwnFailure, edits
from loopsim.build.failure_edits import add_failure, free_failure_name, remove_failure
from loopsim.errors import PartDataError, SketchError
from loopsim.report.alarm_section import alarm_levels

CASE = OwnFailure(name="left socket dead", events=(FailureEvent(what="hot room"),))


def test_a_case_is_kept_with_the_build_and_its_file_and_forgotten_again():
    plain = Build(name="bench")
    kept = add_failure(plain, CASE)
    assert kept.text == "Keep case left socket dead"
    assert builds.from_text(builds.to_text(kept.build)) == kept.build
    assert remove_failure(kept.build, CASE.name).build == plain


def test_two_cases_of_one_name_and_parts_that_are_not_there_are_refused():
    kept = add_failure(Build(name="bench"), CASE).build
    with pytest.raises(SketchError, match="stands here twice"):
        add_failure(kept, CASE)
    gone = OwnFailure(name="gone", events=(FailureEvent(what="stopped", item="pump"),))
    with pytest.raises(SketchError, match="no part or tube run 'pump'"):
        add_failure(kept, gone)
    with pytest.raises(SketchError, match="no failure case 'left socket'; did you mean"):
        remove_failure(kept, "left socket")


def test_a_name_that_is_taken_gets_a_number():
    kept = add_failure(Build(name="bench"), CASE).build
    assert free_failure_name(kept, "left socket dead") == "left socket dead 2"
    assert free_failure_name(kept, "another") == "another"


def test_alarm_levels_are_kept_with_the_layout_and_stand_in_the_report():
    settled = AlarmLevels(read_at="Reservoir", flow_warn_l_h=280.0, flow_cut_l_h=114.5, coolant_cut_c=46.0)
    plain = Build(name="bench")
    levelled = edits.change_layout(plain, "layout 1", alarms=settled).build
    assert builds.from_text(builds.to_text(levelled)) == levelled
    (section,) = alarm_levels(levelled.layout())
    flow, coolant = section.blocks[0].rows
    assert flow == ("flow", "below 280 L/h", "below 114.5 L/h")
    assert coolant == ("coolant", "–", "above 46 °C")
    assert alarm_levels(plain.layout()) == ()


def test_a_cut_that_would_come_before_its_warning_is_refused():
    with pytest.raises(PartDataError, match="the warning comes before the cut, got 100 and 200 L/h"):
        edits.change_layout(Build(name="bench"), "layout 1", alarms={"flow_warn_l_h": 100.0, "flow_cut_l_h": 200.0})
    with pytest.raises(PartDataError, match="got 50 and 40 °C"):
        edits.change_layout(Build(name="bench"), "layout 1", alarms={"coolant_warn_c": 50.0, "coolant_cut_c": 40.0})

"""Failure cases of a builder's own in the document and its file."""

import json

import pytest
from pydantic import ValidationError

from loopsim.build import Build, CaseLoad, FailureEvent, OwnFailure, edits, from_text, to_text
from loopsim.errors import LoopsimError

CUT = OwnFailure(
    name="hot day, weak pump",
    events=(FailureEvent(what="stopped", item="pump"), FailureEvent(what="hot room")),
)


def test_they_are_kept_in_the_file(build: Build) -> None:
    with_case = edits.change_build(build, own_failures=(CUT,)).build
    assert from_text(to_text(with_case)).own_failures == (CUT,)


def test_a_build_without_any_says_nothing_of_them(build: Build) -> None:
    text = to_text(build)
    assert not any(word in text for word in ("own_failures", "kinked_percent", "stuck"))


def test_they_may_speak_of_tube_runs(build: Build) -> None:
    kink = OwnFailure(name="kink", events=(FailureEvent(what="kinked", item="run_2"),))
    assert edits.change_build(build, own_failures=(kink,)).build.own_failures == (kink,)


def test_an_unknown_part_is_refused_with_the_nearest(build: Build) -> None:
    wrong = CUT.with_values(events=(FailureEvent(what="stopped", item="pumpe"),))
    with pytest.raises(LoopsimError, match=r"'hot day, weak pump': .*no part or tube run 'pumpe'; did you mean 'pump'"):
        edits.change_build(build, own_failures=(wrong,))


def test_two_of_one_name_are_refused(build: Build) -> None:
    with pytest.raises(LoopsimError, match="failure case 'hot day, weak pump' stands here twice"):
        edits.change_build(build, own_failures=(CUT, CUT))


@pytest.mark.parametrize(
    ("events", "message"),
    [
        ((), "at least 1 thing that fails, got none"),
        ((FailureEvent(what="stopped"),), "'stopped' needs the id of what fails"),
        ((FailureEvent(what="hot room", item="pump"),), "'hot room' takes no id"),
    ],
)
def test_a_case_says_what_fails(events: tuple[FailureEvent, ...], message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        OwnFailure(name="case", events=events)


def test_a_file_with_an_unknown_kind_of_failure_is_refused(build: Build) -> None:
    data = json.loads(to_text(build))
    data["own_failures"] = [{"name": "case", "events": [{"what": "stolen", "item": "pump"}]}]
    with pytest.raises(LoopsimError, match="stolen"):
        from_text(json.dumps(data))


def test_removing_what_a_case_speaks_of_removes_the_case(build: Build) -> None:
    kink = OwnFailure(name="kink", events=(FailureEvent(what="kinked", item="run_2"),))
    both = edits.change_build(build, own_failures=(CUT, kink)).build
    assert edits.remove_run(both, "layout 1", "run_2").build.own_failures == (CUT,)
    assert edits.remove_part(both, "layout 1", "pump").build.own_failures == ()


def test_removing_a_part_removes_its_own_load(build: Build) -> None:
    loads = (CaseLoad(case="full duty", part="block", load_percent=50.0),)
    loaded = edits.change_build(build, case_loads=loads).build
    assert edits.remove_part(loaded, "layout 1", "block").build.case_loads == ()

"""The catalogue beside the editing: when it begins, when it lets go, what it keeps."""

import threading
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from app.answer import Answer, CaseHeat
from app.failing import catalogue as module
from app.failing.catalogue import Catalogue, Question
from app.failing.rows import rows
from app.failing.words import headline
from loopsim.build import Build
from loopsim.studies import FailureOutcome, each_outcome, heat_point
from loopsim.studies import catalogue as all_failures
from tests.app.conftest import PATIENCE_MS
from tests.studies.failing.struck import machine


class Gate:
    """The real study, which waits before each case until it may go on."""

    def __init__(self, closes_after: int | None = None) -> None:
        self.open, self.closes_after = threading.Event(), closes_after
        self.asked: list[Question] = []
        self.finished = 0
        self.open.set()

    def __call__(self, question: Question) -> Iterator[FailureOutcome]:
        self.asked.append(question)
        for outcome in each_outcome(question.base, question.failures):
            self.open.wait(PATIENCE_MS / 1000)
            self.finished += 1
            if self.finished == self.closes_after:
                self.open.clear()
            yield outcome


@pytest.fixture
def made() -> Iterator[list[Catalogue]]:
    found: list[Catalogue] = []
    yield found
    for each in found:
        each.close()


def new(made: list[Catalogue], gate: Gate) -> Catalogue:
    made.append(Catalogue(gate))
    return made[-1]


def answer_to(build: Build, heat_revision: int | None = None) -> Answer:
    heat = heat_point(build)
    revision = build.revision
    return Answer(revision, "layout 1", heat.point, heat=(CaseHeat(heat),), heat_revision=heat_revision or revision)


def wait(qtbot: QtBot, found: Catalogue) -> None:
    qtbot.waitUntil(lambda: found.is_complete and not found.is_working)


def test_every_failure_is_worked_out_in_the_worker_and_the_alarms_follow(qtbot: QtBot, made):
    found, build = new(made, gate := Gate()), machine()
    found.follow(answer_to(build), is_wanted=True)
    assert found.is_working
    assert not found.cases, "nothing is worked out on the window's thread"
    wait(qtbot, found)
    assert [each.failure for each in found.cases] == list(all_failures(build))
    assert found.summary.alarms.flow_cut > 0
    assert len(gate.asked) == 1


def test_it_waits_until_it_is_looked_at_and_until_heat_is_at_rest(made):
    found, build = new(made, gate := Gate()), machine()
    found.follow(answer_to(build), is_wanted=False)
    found.follow(answer_to(build, heat_revision=-1), is_wanted=True)
    assert not gate.asked
    found.follow(answer_to(build), is_wanted=True)
    assert found.is_working


def test_the_same_answer_again_does_not_begin_it_anew(qtbot: QtBot, made):
    found, answer = new(made, gate := Gate()), answer_to(machine())
    found.follow(answer, is_wanted=True)
    found.follow(answer, is_wanted=True)
    wait(qtbot, found)
    found.follow(answer, is_wanted=True)
    assert len(gate.asked) == 1


def test_a_change_lets_go_within_one_case_and_what_was_found_stays_as_old(qtbot: QtBot, made):
    found, gate = new(made, gate := Gate()), gate
    found.follow(answer_to(machine()), is_wanted=True)
    wait(qtbot, found)
    before = found.cases
    gate.open.clear()
    found.follow(answer_to(machine(load=150.0)), is_wanted=True)
    done = gate.finished
    found.grow_old()
    assert not found.is_working
    gate.open.set()
    found.close()
    assert gate.finished <= done + 1
    assert found.is_old
    assert found.cases == before
    assert found.in_view is None


def test_stopped_by_hand_it_keeps_what_came_and_can_go_on(qtbot: QtBot, made):
    found, build = new(made, gate := Gate(closes_after=2)), machine()
    found.follow(answer_to(build), is_wanted=True)
    qtbot.waitUntil(lambda: found.progress[0] == 2)
    found.stop()
    assert len(found.cases) == 2
    assert not found.is_complete
    assert found.summary is None
    gate.open.set()
    found.again()
    wait(qtbot, found)
    assert len(found.cases) == len(all_failures(build))


def test_the_case_in_view_stays_in_view_when_all_is_found_anew(qtbot: QtBot, made):
    found = new(made, Gate())
    found.follow(answer_to(machine()), is_wanted=True)
    wait(qtbot, found)
    found.choose_items(frozenset({"pump"}))
    first = found.in_view
    found.follow(answer_to(machine(load=150.0)), is_wanted=True)
    assert found.in_view is None, "an older case does not speak of the machine as it is"
    wait(qtbot, found)
    assert found.in_view is not first
    assert found.in_view.failure.title == first.failure.title == "Pump stopped"


def test_pairs_come_on_request_beside_the_single_failures(qtbot: QtBot, made):
    found, gate = new(made, gate := Gate()), gate
    found.follow(answer_to(machine()), is_wanted=True)
    wait(qtbot, found)
    single = found.cases
    gate.open.clear()
    found.add_pairs()
    assert found.is_working
    gate.open.set()
    qtbot.waitUntil(lambda: found.progress[0] >= 3)
    found.stop()
    assert found.cases == single
    assert len(found.pairs) >= 3
    assert all(len(each.failure.events) == 2 for each in found.pairs)
    assert found.is_complete


def test_a_study_that_breaks_down_is_told_and_leaves_the_rest(qtbot: QtBot, made):
    def broken(question: Question) -> Iterator[FailureOutcome]:
        yield next(each_outcome(question.base, question.failures))
        raise ZeroDivisionError("no such thing")

    made.append(found := Catalogue(broken))
    with qtbot.waitSignal(found.failed) as told:
        found.follow(answer_to(machine()), is_wanted=True)
    assert isinstance(told.args[0], ZeroDivisionError)
    assert len(found.cases) == 1
    assert not found.is_complete


def test_a_layout_without_heat_drops_what_was_found(qtbot: QtBot, made):
    found, build = new(made, Gate()), machine()
    found.follow(answer_to(build), is_wanted=True)
    wait(qtbot, found)
    found.follow(Answer(build.revision, "another", None), is_wanted=True)
    assert found.base is None
    assert not found.cases


def test_the_list_has_the_worst_verdict_first_and_tells_what_is_alike_once(qtbot: QtBot, made):
    found = new(made, Gate())
    found.follow(answer_to(machine()), is_wanted=True)
    wait(qtbot, found)
    shown = rows(found.cases)
    order = ["shut down", "holds with less load", "dark", "holds"]
    ranks = [order.index(row.verdict) for row in shown]
    assert ranks == sorted(ranks)
    assert sum(len(row.outcomes) for row in shown) == len(found.cases)
    fans = next(row for row in shown if "fan_1" in row.outcomes[0].failure.items and len(row.outcomes) > 1)
    assert fans.title == "Fan 1 or Fan 2 stopped"
    assert any(row.title.startswith("Any one of") and row.title.endswith("tubes kinked") for row in shown)
    down = sum(each.verdict == "shut down" for each in found.cases)
    shut = "shut" if down > 1 else "shuts"
    assert headline(found).startswith(f"{down} of {len(found.cases)} failures {shut} it down")


def test_the_study_in_use_is_the_real_one():
    base = heat_point(machine())
    failures = all_failures(base.point.build)[:1]
    (got,) = module.outcomes(Question(base, failures))
    assert got.failure == failures[0]


def test_times_to_a_limit_follow_the_verdicts_and_stand_in_their_cases(qtbot: QtBot, made):
    found, build = new(made, Gate()), machine(load=250.0, limit=72.0)
    found.follow(answer_to(build), is_wanted=True)
    qtbot.waitUntil(lambda: found.is_timed)
    assert found.is_complete
    passed = [each for each in found.cases if each.verdict in ("shut down", "holds with less load")]
    assert passed
    assert found.times_followed == (len(passed), len(passed))
    for each in passed:
        assert each.time is not None
        assert "the first limit is met" in each.sentence
    assert all(each.time is None for each in found.cases if each not in passed)


def test_a_stop_while_times_are_followed_keeps_the_verdicts_and_can_go_on(qtbot: QtBot, made):
    found = new(made, Gate())
    found.follow(answer_to(machine(load=250.0, limit=72.0)), is_wanted=True)
    qtbot.waitUntil(lambda: found.is_timing)
    chosen = next(each for each in found.cases if each.verdict == "shut down")
    found.choose(chosen)
    found.stop()
    assert not found.is_timing
    assert found.is_complete
    assert not found.is_timed
    found.again()
    qtbot.waitUntil(lambda: found.is_timed)
    assert found.chosen.failure == chosen.failure
    assert found.chosen.time is not None

"""Who is asked, on which thread, and which answers are shown."""

import threading
import time

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.answer import Answer
from app.document import Document
from app.solving import QUICK_S, Curves, Question, Solving, curves
from loopsim import studies
from loopsim.build import Build, edits
from loopsim.errors import NotSolved, SketchError
from tests.app.conftest import PATIENCE_MS


def operating_point(question: Question) -> studies.OperatingPoint:
    return studies.operating_point(*question)


class Slow:
    """The real study, made slow, with word of the threads it ran on."""

    def __init__(self, study=operating_point, seconds: float = 2 * QUICK_S) -> None:
        self.study, self.seconds = study, seconds
        self.threads: list[int] = []
        self.gate = threading.Event()
        self.gate.set()

    def __call__(self, question: Question):
        self.threads.append(threading.get_ident())
        until = time.thread_time() + self.seconds
        while time.thread_time() < until:
            pass
        self.gate.wait(PATIENCE_MS / 1000)
        return self.study(question)


@pytest.fixture
def solvings():
    made: list[Solving] = []
    yield made
    for solving in made:
        solving.close()


def heard(solving: Solving) -> list[Answer]:
    """Every answer from now on."""
    answers: list[Answer] = []
    solving.answered.connect(answers.append)
    return answers


def speed(document: Document, percent: float) -> None:
    document.do(edits.change_placement(document.build, document.layout.name, "pump_a", speed_percent=percent))


def test_the_first_answer_is_there_at_once_with_curves_and_failures(document: Document, solvings):
    solving = Solving(document)
    solvings.append(solving)
    solving.start()
    assert solving.answer.point.loop_flow == studies.operating_point(document.build).loop_flow
    assert solving.answer.plots
    assert len(solving.answer.failures.cases) == 2
    assert not solving.answer.curves_are_old


def test_a_quick_study_answers_within_the_edit_and_older_curves_are_marked_until_rest(
    qtbot: QtBot, document: Document, solvings
):
    known = {document.build.revision: operating_point(Question(document.build, document.layout.name))}
    solving = Solving(document, lambda question: known.get(question.build.revision, "new flow"))
    solvings.append(solving)
    solving.start()
    answers = heard(solving)
    speed(document, 90.0)
    assert [answer.point for answer in answers] == ["new flow"]
    assert answers[0].curves_are_old
    assert answers[0].plots
    qtbot.waitUntil(lambda: not solving.answer.curves_are_old)
    assert solving.answer.revision == document.build.revision


def test_a_slow_study_runs_on_another_thread_from_the_second_time_on(qtbot: QtBot, document: Document, solvings):
    slow = Slow()
    solving = Solving(document, slow)
    solvings.append(solving)
    solving.start()
    speed(document, 90.0)
    qtbot.waitUntil(lambda: solving.answer.revision == document.build.revision)
    assert slow.threads[0] == threading.get_ident()
    assert slow.threads[1] != threading.get_ident()


def test_an_answer_to_an_older_build_is_dropped(qtbot: QtBot, document: Document, solvings):
    slow = Slow()
    solving = Solving(document, slow)
    solvings.append(solving)
    solving.start()
    answers = heard(solving)
    slow.gate.clear()
    speed(document, 90.0)
    older = document.build.revision
    speed(document, 80.0)
    slow.gate.set()
    qtbot.waitUntil(lambda: solving.answer.revision == document.build.revision)
    assert older not in [answer.revision for answer in answers]


def test_of_the_questions_behind_a_slow_study_only_the_newest_is_asked(qtbot: QtBot, document: Document, solvings):
    slow = Slow()
    solving = Solving(document, slow)
    solvings.append(solving)
    solving.start()
    slow.gate.clear()
    for percent in range(80, 100):
        speed(document, float(percent))
    slow.gate.set()
    qtbot.waitUntil(lambda: solving.answer.revision == document.build.revision)
    assert len(slow.threads) == 3  # at the start, for the first of the edits, for the last of them


def test_a_sketch_that_cannot_be_solved_is_a_sentence_and_its_older_curves_go_at_rest(
    qtbot: QtBot, document: Document, solvings
):
    def refuse(question: Question):
        if question.build is not first:
            raise SketchError("the loop is open")
        return operating_point(question)

    first = document.build
    solving = Solving(document, refuse)
    solvings.append(solving)
    solving.start()
    speed(document, 90.0)
    qtbot.waitUntil(lambda: solving.answer.problem == "the loop is open" and not solving.answer.plots)
    assert solving.answer.point is None
    assert solving.answer.failures is None


@pytest.mark.parametrize("runs_in_worker", [False, True])
def test_a_defect_in_a_study_is_told_and_the_next_answer_comes_all_the_same(
    qtbot: QtBot, document: Document, solvings, runs_in_worker: bool
):
    def break_down(question: Question):
        if question.build.layouts[0].placement("pump_a").speed_percent == 90.0:
            raise ZeroDivisionError("by nothing")
        return operating_point(question)

    solving = Solving(document, Slow(break_down) if runs_in_worker else break_down)
    solvings.append(solving)
    solving.start()
    with qtbot.waitSignal(solving.failed) as told:
        speed(document, 90.0)
    assert "ZeroDivisionError" in told.args[0]
    assert "unharmed" in told.args[0]
    speed(document, 95.0)
    qtbot.waitUntil(lambda: solving.answer.revision == document.build.revision)
    assert solving.answer.point.loop_flow > 0


def test_curves_that_come_before_their_operating_point_are_kept_for_it(qtbot: QtBot, document: Document, solvings):
    slow = Slow()
    asked = []

    def quick(question: Question) -> Curves:
        asked.append(question)
        return plotted

    plotted = Curves(studies.pump_plots(document.build), None)
    solving = Solving(document, slow, quick)
    solvings.append(solving)
    solving.start()
    slow.gate.clear()
    speed(document, 90.0)
    qtbot.waitUntil(lambda: len(asked) == 2)
    assert solving.answer.curves_are_old or solving.answer.revision != document.build.revision
    slow.gate.set()
    qtbot.waitUntil(lambda: solving.answer.revision == document.build.revision)
    assert not solving.answer.curves_are_old
    assert solving.answer.plots == plotted.plots


def test_curves_that_cannot_be_worked_out_are_told_and_the_flow_stays(qtbot: QtBot, document: Document, solvings):
    def refuse(_: Question) -> Curves:
        raise NotSolved("the solver gave up")

    solving = Solving(document, curve_study=refuse)
    solvings.append(solving)
    with qtbot.waitSignal(solving.failed) as told:
        solving.start()
    assert told.args == ["the solver gave up"]
    assert solving.answer.point.loop_flow > 0
    assert not solving.answer.curves_are_old


def test_another_layout_does_not_inherit_curves(document: Document, solvings, qtbot: QtBot):
    solving = Solving(document)
    solvings.append(solving)
    solving.start()
    answers = heard(solving)
    document.view_layout("one large pump")
    qtbot.waitUntil(lambda: bool(solving.answer.plots))
    assert answers[0].plots == ()
    assert solving.answer.plots[0].pumps == ("large_pump",)


def test_opening_another_build_asks_once(sample: Build, document: Document, solvings, qtbot: QtBot):
    asked = []

    def study(question: Question):
        asked.append(question)
        return operating_point(question)

    solving = Solving(document, study, lambda _: Curves((), None))
    solvings.append(solving)
    solving.start()
    document.open(sample.with_values(name="Other"), None)
    qtbot.waitUntil(lambda: solving.answer.point is not None)
    assert solving.answer.revision == document.build.revision
    assert [question.build.name for question in asked] == ["Render plinth", "Other"]


def test_closing_waits_for_the_worker_and_announces_nothing_more(document: Document, qtbot: QtBot):
    slow = Slow(curves, 0.05)
    solving = Solving(document, curve_study=slow)
    solving.start()
    speed(document, 90.0)
    qtbot.waitUntil(lambda: len(slow.threads) == 2)
    answers = heard(solving)
    solving.close()
    QApplication.processEvents()  # whatever was told is heard
    assert all(answer.plots_revision != document.build.revision for answer in answers)
    assert solving._pool.activeThreadCount() == 0


def test_heat_follows_at_rest_for_every_load_case_and_is_marked_as_older_until_then(
    qtbot: QtBot, document: Document, solvings
):
    document.build = document.build.with_values(load_cases=({"name": "full"}, {"name": "idle", "load_percent": 10}))
    solving = Solving(document)
    solvings.append(solving)
    solving.start()
    qtbot.waitUntil(lambda: bool(solving.answer.heat))
    assert [each.point.case.name for each in solving.answer.heat] == ["full", "idle"]
    assert not solving.answer.heat_is_old
    answers = heard(solving)
    speed(document, 90.0)
    qtbot.waitUntil(lambda: bool(answers))
    assert answers[0].heat_is_old
    assert answers[0].heat
    qtbot.waitUntil(lambda: not solving.answer.heat_is_old)
    assert solving.answer.heat_revision == document.build.revision


def test_the_load_case_in_view_outlives_an_edit_and_falls_back_to_the_first(qtbot: QtBot, document: Document, solvings):
    document.build = document.build.with_values(load_cases=({"name": "full"}, {"name": "idle", "load_percent": 10}))
    solving = Solving(document)
    solvings.append(solving)
    solving.start()
    qtbot.waitUntil(lambda: bool(solving.answer.heat))
    assert solving.answer.in_view.point.case.name == "full"
    solving.view_case("idle")
    speed(document, 90.0)
    qtbot.waitUntil(lambda: solving.answer.heat_revision == document.build.revision)
    assert solving.answer.in_view.point.case.name == "idle"
    solving.view_case("gone")
    assert solving.answer.in_view.point.case.name == "full"


def test_heat_that_is_refused_is_a_sentence_and_leaves_the_flow_alone(qtbot: QtBot, document: Document, solvings):
    def refuse(_: Question):
        raise SketchError("the radiator needs more air")

    solving = Solving(document, heat_study=refuse)
    solvings.append(solving)
    complaints: list[str] = []
    solving.failed.connect(complaints.append)
    solving.start()
    qtbot.waitUntil(lambda: bool(solving.answer.heat_problem))
    assert solving.answer.heat_problem == "the radiator needs more air"
    assert solving.answer.point is not None
    assert complaints == []


def test_a_sketch_that_is_refused_is_not_refused_once_more_by_its_curves(qtbot: QtBot, document: Document, solvings):
    def refuse(_: Question):
        raise SketchError("the loop is open")

    solving = Solving(document, Slow(refuse), refuse, refuse)
    solvings.append(solving)
    complaints: list[str] = []
    solving.failed.connect(complaints.append)
    solving.start()
    speed(document, 90.0)
    qtbot.waitUntil(lambda: solving.answer.heat_revision == document.build.revision)  # at rest
    assert complaints == []
    assert solving.answer.problem == "the loop is open"

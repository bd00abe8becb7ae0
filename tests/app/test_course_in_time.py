"""The course in time on the heat bench: asked for, worked out aside, shown with its crossings."""

import threading

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.heat.time_view import TimeView
from app.heat_bench import HeatBench
from app.solving import Scenario, Solving, course
from app.theme import Follow, themes
from app.window import MainWindow
from loopsim.build import Build, edits
from loopsim.errors import SketchError
from loopsim.studies import transient
from loopsim.studies.words import duration
from tests.app.conftest import PATIENCE_MS
from tests.app.remembered import shared
from tests.app.test_heat_bench import open_view
from tests.studies.test_heat import LAYOUT, machine


@pytest.fixture(scope="module")
def one_block() -> Build:
    return shared(machine())


@pytest.fixture
def view(qtbot: QtBot, make_window, one_block: Build) -> TimeView:
    window = make_window(one_block)
    page = open_view(qtbot, window, "In time")
    return page.pages["In time"]


def window_of(view: TimeView) -> MainWindow:
    window = view.window()
    assert isinstance(window, MainWindow)
    return window


def choose(qtbot: QtBot, view: TimeView, words: str) -> None:
    """Choose an event with the keyboard, and wait for its course."""
    number = view.event_box.findText(words)
    assert number >= 0
    view.event_box.setFocus()
    view.event_box.setCurrentIndex(max(number - 1, 0) if number else 1)
    QTest.keyClick(view.event_box, Qt.Key.Key_Down if number else Qt.Key.Key_Up)
    qtbot.waitUntil(lambda: view.awaited is None)


def test_nothing_is_worked_out_before_it_is_asked_for(view: TimeView):
    assert view.shown is None
    assert not view.plot.isVisible()
    assert "Choose what happens" in view.sentence.text()


def test_each_pump_and_fan_all_of_a_kind_and_the_selected_are_offered(view: TimeView):
    offered = [view.event_box.itemText(n) for n in range(view.event_box.count())]
    assert offered == [
        "warm-up from cold", "all fans stop", "Pump stops", "Fan 0 stops", "Fan 1 stops", "what is selected stops",
    ]  # fmt: skip


def test_a_stopped_pump_is_followed_to_the_limit_with_both_bounds(qtbot: QtBot, view: TimeView):
    choose(qtbot, view, "Pump stops")
    expected = transient(window_of(view).document.build, stopped=("pump",))
    assert view.sentence.text().replace("\u00a0", " ").replace("\u2060", "") == expected.sentence
    (row,) = view.table.rows()
    chip = expected.components[0]
    assert row.cells[2:5] == (duration(chip.crosses), duration(chip.shortest), duration(chip.longest))
    assert row.attention
    assert len(view.plot.crossing_points()) == 1


def test_the_ring_of_a_crossing_lies_on_the_components_line(qtbot: QtBot, view: TimeView):
    choose(qtbot, view, "Pump stops")
    (point,) = view.plot.crossing_points()
    curve = view.plot.curves[0]
    line = view.plot._axes.points(view.plot.times, curve.values)
    assert np.interp(point.x(), line[:, 0], line[:, 1]) == pytest.approx(point.y(), abs=2.0)


def test_warm_up_starts_at_the_room_and_ends_at_rest(qtbot: QtBot, view: TimeView):
    choose(qtbot, view, "warm-up from cold")
    course_ = view.shown[1]
    assert course_.from_cold
    chip = view.plot.curves[0].values
    assert chip[0] == pytest.approx(22.0)
    assert chip[-1] == pytest.approx(view.answer.in_view.point.components[0].temperature, abs=0.05)


def test_the_time_may_be_changed_and_is_refused_where_it_makes_no_sense(qtbot: QtBot, view: TimeView):
    view.minutes.setFocus()
    view.minutes.selectAll()
    QTest.keyClicks(view.minutes, "2")
    QTest.keyClick(view.minutes, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: view.shown is not None and view.awaited is None)
    assert view.shown[1].time[-1] == pytest.approx(120.0)
    view.minutes.selectAll()
    QTest.keyClicks(view.minutes, "soon")
    QTest.keyClick(view.minutes, Qt.Key.Key_Return)
    assert view.awaited is None
    assert "must be above 0" in view.sentence.text().replace("\u00a0", " ")


def test_what_is_selected_stops_together(qtbot: QtBot, view: TimeView):
    window_of(view).document.select({"pump", "fan_1", "block"})
    choose(qtbot, view, "what is selected stops")
    assert view.shown[1].stopped == {"pump", "fan_1"}
    window_of(view).document.select(())
    QTest.mouseClick(view.button, Qt.MouseButton.LeftButton)
    assert view.awaited is None
    assert "Select the pumps and fans" in view.sentence.text()


def test_after_an_edit_the_older_course_says_so(qtbot: QtBot, view: TimeView):
    choose(qtbot, view, "Pump stops")
    document = window_of(view).document
    document.do(edits.change_placement(document.build, LAYOUT, "pump", speed_percent=90.0))
    qtbot.waitUntil(lambda: view.answer.heat_revision == document.build.revision)
    assert view.sentence.text().endswith("(sketch before)")
    QTest.mouseClick(view.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: view.awaited is None)
    assert not view.sentence.text().endswith("(sketch before)")


def test_what_is_given_up_is_not_shown(qtbot: QtBot, view: TimeView, monkeypatch: pytest.MonkeyPatch):
    choose(qtbot, view, "Pump stops")
    shown, gate, asker = view.shown, threading.Event(), window_of(view).solving._courses
    study = asker._study
    monkeypatch.setattr(asker, "_study", lambda scenario: gate.wait(PATIENCE_MS / 1000) and study(scenario))
    monkeypatch.setattr(asker, "_is_quick", False)  # or the window itself would stand at the gate
    view.event_box.setCurrentIndex(0)
    QTest.mouseClick(view.button, Qt.MouseButton.LeftButton)
    assert view.button.text() == "Give up"
    with qtbot.waitSignal(window_of(view).solving.course_answered):
        QTest.mouseClick(view.button, Qt.MouseButton.LeftButton)
        gate.set()
    assert view.shown is shown
    assert view.button.text() == "Work it out"


def test_the_window_stays_alive_while_a_course_is_worked_out(qtbot: QtBot, document):
    threads: list[int] = []

    def slow(scenario: Scenario):
        threads.append(threading.get_ident())
        return course(scenario)

    solving = Solving(document, course_study=slow)
    scenario = Scenario(machine(), LAYOUT, "full duty", ("pump",), False, 1.0)
    with qtbot.waitSignal(solving.course_answered) as told:
        solving.follow_course(scenario)
    solving.close()
    assert threads != [threading.get_ident()]
    assert told.args[0] is scenario


def test_a_course_that_cannot_be_followed_is_a_sentence(qtbot: QtBot, document):
    def refuse(_: Scenario):
        raise SketchError("there is no rest to start from")

    solving = Solving(document, course_study=refuse)
    with qtbot.waitSignal(solving.course_answered) as told:
        solving.follow_course(Scenario(machine(), LAYOUT, "full duty", (), False, 1.0))
    solving.close()
    assert told.args[1] == "there is no rest to start from"


def test_the_plot_paints_in_the_dark_too(qtbot: QtBot, view: TimeView):
    choose(qtbot, view, "Pump stops")
    light = view.plot.grab().toImage()
    themes.follow(Follow.DARK)
    assert view.plot.grab().toImage() != light


def test_a_selected_component_is_brought_out(qtbot: QtBot, view: TimeView):
    choose(qtbot, view, "Pump stops")
    before = view.plot.grab().toImage()
    window_of(view).document.select({"block"})
    assert view.plot.ids == {"block"}
    assert view.plot.grab().toImage() != before
    assert isinstance(window_of(view).bench.page, HeatBench)

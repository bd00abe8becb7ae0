"""Quieter speeds on the bench of comparison: found point by point, chosen from, set in the layout and undone."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.build_files import sample_build
from app.compare.quiet_view import QuietView
from app.document import Document
from app.measures import System, measures
from loopsim.build import edits
from loopsim.studies import heat_point, quiet
from tests.studies.failing.struck import LAYOUT, machine


@pytest.fixture
def view(qtbot: QtBot):
    made = QuietView(Document(machine(load=250.0, limit=72.0)))
    qtbot.addWidget(made)
    made.show()
    yield made
    made.close_work()


def press(button) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def find(qtbot: QtBot, view: QuietView) -> None:
    press(view.search.button)
    qtbot.waitUntil(lambda: view.found is not None and not view.search.is_working)


def test_speeds_are_found_shown_set_in_one_step_and_undone(qtbot: QtBot, view: QuietView) -> None:
    document = view.document
    before = document.build
    find(qtbot, view)
    expected = quiet(before, case_name=view.case.currentText())
    assert view.sentence.text().replace("\u00a0", " ") == expected.sentence
    assert [row.cells[0] for row in view.table.rows()] == [group.name for group in expected.groups]
    press(view.take)
    assert document.history.count() == 1
    placements = document.layout.placements
    for group, speed in zip(expected.groups, expected.best.speeds, strict=True):
        for part in group.parts:
            set_to = placements[part].speed_percent
            assert set_to == round(set_to)
            assert 0 <= set_to - 100 * speed <= 1
    assert heat_point(document.build).warmest.margin >= 0
    assert view.search.words.text() == "(sketch before)"
    assert not view.take.isEnabled()
    document.history.undo()
    assert document.build is before
    assert view.take.isEnabled()


def test_another_point_of_the_trade_off_brings_its_speeds_into_view(qtbot: QtBot, view: QuietView) -> None:
    find(qtbot, view)
    quietest = view.table.rows()
    assert [line.name for line in view.plot.lines] == ["quietest speeds", "now", "in view"]
    view.point.setCurrentIndex(view.point.count() - 1)
    assert view.table.rows() != quietest
    assert view.chosen() is view.found.curve[-1]
    assert view.plot.lines[-1].x[0] == pytest.approx(view.found.curve[-1].margin)


def test_a_search_can_be_stopped_and_keeps_what_came(qtbot: QtBot, view: QuietView) -> None:
    press(view.search.button)
    assert view.search.button.text() == "Stop"
    qtbot.waitUntil(lambda: view.found is not None)
    press(view.search.button)
    assert not view.search.is_working
    assert view.found.curve


def test_a_margin_that_is_no_number_and_one_that_cannot_be_kept_are_answered(qtbot: QtBot, view: QuietView) -> None:
    view.margin.setText("warm")
    press(view.search.button)
    assert "must be a number in K" in view.search.words.text()
    view.margin.setText("60")
    find(qtbot, view)
    assert "it cannot run slower" in view.sentence.text().replace("\u00a0", " ")
    assert not view.take.isVisible()


def test_the_margin_is_asked_in_the_builders_unit(view: QuietView, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    monkeypatch.setattr(view.search, "start", asked.append)
    measures.choose(System.CUSTOMARY)
    try:
        assert view.margin_unit.text() == "°F to each of them"
        view.margin.setText("18")
        press(view.search.button)
        view.margin.setText("10 K")  # a unit typed with it goes before the one shown
        press(view.search.button)
        assert [each.margin for each in asked] == pytest.approx([10.0, 10.0])
    finally:
        measures.choose(System.SI)
    assert view.margin.text() == "0", "what was typed in other units means something else now"


def test_which_pump_may_stop_is_said_by_how_many_there_are(qtbot: QtBot, view: QuietView) -> None:
    assert view.survive.text() == "also with the only pump stopped"
    view.document.do(edits.remove_part(view.document.build, LAYOUT, "pump"))
    assert not view.survive.isEnabled()
    other = QuietView(Document(sample_build("render-plinth")))
    qtbot.addWidget(other)
    assert other.survive.text() == "also with either pump stopped"


def test_a_layout_without_pump_or_fan_is_told(qtbot: QtBot, view: QuietView) -> None:
    document = view.document
    for part in ("pump", "fan_1", "fan_2"):
        document.do(edits.remove_part(document.build, LAYOUT, part))
    press(view.search.button)
    qtbot.waitUntil(lambda: "no pump or fan" in view.search.words.text())

"""The failures bench in the window: a case on the list, on the plan, on curves and grade line; own cases; alarms."""

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from app.failing import words
from app.failing.rows import rows
from app.failures_bench import FailuresBench
from app.plan.tint import Quantity
from app.window import MainWindow
from app.words import flow_at as said_at
from loopsim.build import Build, edits
from loopsim.studies import FailureOutcome
from loopsim.studies.grade_line import head_along
from loopsim.studies.struck import struck_plots
from loopsim.units import from_si
from tests.app.remembered import shared
from tests.studies.failing.struck import LAYOUT, machine


@pytest.fixture(scope="module")
def struck() -> Build:
    return shared(machine())


@pytest.fixture
def window(qtbot: QtBot, make_window, struck: Build) -> MainWindow:
    made = make_window(struck)
    made.resize(1280, 800)
    worked_out(qtbot, made)
    return made


def worked_out(qtbot: QtBot, window: MainWindow) -> FailuresBench:
    """Wait until every failure of the build in view is worked out."""
    window.bench.show_bench("Failures")
    page = window.bench.page

    def is_there() -> bool:
        found = page.catalogue
        return found.is_complete and not found.is_old and found.base.point.build is window.document.build

    qtbot.waitUntil(is_there)
    return page


def click(qtbot: QtBot, page: FailuresBench, title: str) -> FailureOutcome:
    """Click on the row of a case."""
    titles = [row.title for row in page.cases.rows]
    index = page.cases.model().index(1 + titles.index(title))
    page.cases.scrollTo(index)
    qtbot.waitUntil(lambda: page.cases.viewport().rect().contains(page.cases.visualRect(index)))
    QTest.mouseClick(
        page.cases.viewport(), Qt.MouseButton.LeftButton, pos=page.cases.visualRect(index).center() + QPoint(0, 2)
    )
    return page.cases.rows[titles.index(title)].outcomes[0]


def labels(window: MainWindow) -> str:
    window.plan.grab()
    return "; ".join(line.text for label in window.plan.labels for line in label.lines)


def test_each_row_says_its_verdict_with_a_sign_and_in_words(window: MainWindow):
    page = window.bench.page
    model = page.cases.model()
    said = [model.data(model.index(n)) for n in range(model.rowCount())]
    assert said[0].startswith("Everything in order: ")
    stopped = next(text for text in said if text.startswith("Pump stopped"))
    assert "shut down within" in stopped or "holds with" in stopped
    assert "L/\u2060h" in stopped
    assert "%" in stopped
    case = next(row.outcomes[0] for row in page.cases.rows if row.title == "Pump stopped")
    assert words.SIGNS[case.verdict] in ("✕", "▼")


def test_a_clicked_case_is_seen_on_the_plan_with_its_flows_and_gone_again_with_the_healthy_row(
    qtbot: QtBot, window: MainWindow
):
    page = window.bench.page
    case = click(qtbot, page, "Pump stopped")
    assert window.document.selection == {"pump"}
    assert window.plan.scene().parts["pump"].is_stopped
    tint = window.plan.scene().tint
    healthy = page.catalogue.base.point.loop_flow
    assert tint.values["from_pump"] == pytest.approx(case.flow / healthy, rel=0.02)
    assert tint.ends[1] >= 1.0
    click_healthy = page.cases.model().index(0)
    page.cases.scrollTo(click_healthy)
    QTest.mouseClick(
        page.cases.viewport(), Qt.MouseButton.LeftButton, pos=page.cases.visualRect(click_healthy).center()
    )
    assert not window.plan.scene().parts["pump"].is_stopped
    assert window.plan.scene().tint is None
    assert page.catalogue.chosen is None


def test_stopped_fans_and_what_else_fails_are_named_on_the_plan(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    click(qtbot, page, "All fans stopped")
    assert window.plan.scene().parts["fan_1"].is_stopped
    assert window.plan.scene().parts["fan_2"].is_stopped
    click(qtbot, page, "Filter clogged")
    assert "clogged" in labels(window)


def test_on_another_bench_the_plan_is_in_order_and_back_here_the_case_is_there_again(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    click(qtbot, page, "Pump stopped")
    window.bench.show_bench("Flow")
    assert not window.plan.scene().parts["pump"].is_stopped
    window.bench.show_bench("Failures")
    assert window.plan.scene().parts["pump"].is_stopped


def test_an_edit_puts_the_plan_in_order_at_once_and_works_the_case_out_anew(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    click(qtbot, page, "Pump stopped")
    window.document.do(edits.move(window.document.build, LAYOUT, "pump", 400.0, 120.0))
    assert not window.plan.scene().parts["pump"].is_stopped
    assert not page.catalogue.is_working
    worked_out(qtbot, window)
    assert window.plan.scene().parts["pump"].is_stopped


def test_a_part_selected_in_the_plan_brings_its_case_into_view(window: MainWindow):
    page = window.bench.page
    window.document.select({"filter"})
    assert page.catalogue.chosen.failure.title == "Filter clogged"
    assert page.cases.currentIndex().row() > 0
    window.document.select({"filter", "block"})
    assert page.catalogue.chosen.failure.title == "Filter clogged", "more selected says of no other case"
    window.document.select(())
    assert page.catalogue.chosen is None


def test_the_curves_show_the_system_after_the_failure(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    healthy = page.curves.plot.shown
    case = click(qtbot, page, "Filter clogged")
    (expected,) = struck_plots([page.curves.plots[0]], case.situation, "after the failure", case.heat)
    (shown,) = page.curves.plot.shown.stopped
    assert shown.flow == pytest.approx(expected.flow)
    assert any(text.startswith("after the failure: ") for text in page.curves.plot.label_texts())
    assert shown.flow < healthy.flow


def test_the_grade_line_is_drawn_with_and_without_the_failure(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    page.show_view("Grade line")
    assert page.grade.plot.struck is None
    case = click(qtbot, page, "Filter clogged")
    np.testing.assert_allclose(page.grade.plot.struck, head_along(page.grade.line, case.point))
    assert len(page.grade.plot.curves()) == 3


def test_the_figures_stand_before_and_after(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    page.show_view("Figures")
    case = click(qtbot, page, "Valve shut")
    rows = {row.cells[0]: row.cells for row in page.table.rows()}
    assert rows["Loop flow"][3] == "0"
    assert rows["Block, flow"][3] == "0"
    assert rows["Block, flow"][2] != "0"
    assert case.block_flows["block"] == pytest.approx(0.0, abs=1e-9)


def test_a_case_of_ones_own_is_made_from_the_selection_kept_undone_and_forgotten(qtbot: QtBot, window: MainWindow):
    page, document = window.bench.page, window.document
    page.show_view("Your own")
    assert not page.own.button.isEnabled()
    document.select({"fan_1", "check"})
    assert list(page.own.boxes) == ["check", "fan_1"]
    page.own.boxes["check"].setCurrentText("stuck shut")
    QTest.mouseClick(page.own.hot_room, Qt.MouseButton.LeftButton, pos=QPoint(8, 12))
    QTest.keyClicks(page.own.name, "dusty summer")
    QTest.mouseClick(page.own.button, Qt.MouseButton.LeftButton)
    (kept,) = document.build.own_failures
    assert kept.name == "dusty summer"
    assert [(event.what, event.item) for event in kept.events] == [
        ("stuck shut", "check"), ("stopped", "fan_1"), ("hot room", None),
    ]  # fmt: skip
    worked_out(qtbot, window)
    assert "Dusty summer" in [row.title for row in page.cases.rows]
    (forget,) = [each for each in page.own.findChildren(QPushButton) if each.accessibleName() == "forget dusty summer"]
    QTest.mouseClick(forget, Qt.MouseButton.LeftButton)
    assert document.build.own_failures == ()
    document.history.undo()
    assert document.build.own_failures == (kept,)
    document.history.undo()
    assert document.history.isClean()


def test_a_name_that_is_taken_is_refused_in_a_sentence(window: MainWindow):
    page = window.bench.page
    page.show_view("Your own")
    for _ in range(2):
        window.document.select({"fan_1"})
        page.own.name.setText("twice")
        page.own.keep()
    assert len(window.document.build.own_failures) == 1
    assert "'twice' stands here twice" in window.message.text


def test_alarm_levels_are_written_into_the_log_and_taken_out_again(window: MainWindow):
    page, document = window.bench.page, window.document
    page.show_view("Alarm levels")
    proposed = page.alarms.proposed
    QTest.mouseClick(page.alarms.write, Qt.MouseButton.LeftButton)
    assert document.layout.alarms == proposed
    assert document.history.undoText() == "Write alarm levels"
    assert proposed.flow_cut_l_h <= proposed.flow_warn_l_h
    assert not page.alarms.write.isEnabled()
    QTest.mouseClick(page.alarms.clear, Qt.MouseButton.LeftButton)
    assert document.layout.alarms is None
    assert page.alarms.clear.isHidden()


def test_pairs_are_asked_for_with_a_button_and_stopped_with_another(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    QTest.mouseClick(page.progress.pairs, Qt.MouseButton.LeftButton)
    assert page.catalogue.is_working
    qtbot.waitUntil(lambda: page.catalogue.progress[0] >= 2)
    QTest.mouseClick(page.progress.stop, Qt.MouseButton.LeftButton)
    assert not page.catalogue.is_working
    assert len(page.catalogue.pairs) >= 2
    assert "pairs" in page.progress.words.text()


def test_the_plan_stays_coloured_as_the_builder_chose(qtbot: QtBot, window: MainWindow):
    window.plan.legend.choose(Quantity.TEMPERATURE)
    click(qtbot, window.bench.page, "Pump stopped")
    assert window.plan.scene().tint.unit == "c"


def test_every_view_has_its_place_in_a_small_window(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    click(qtbot, page, "Pump stopped")

    def all_fits() -> None:
        assert (window.width(), window.height()) == (1280, 800)
        assert page.halves.geometry().bottom() <= page.height()
        assert page.stack.height() >= page.stack.minimumSizeHint().height()
        assert page.cases.height() >= 120

    for view in ("Curves", "Grade line", "Figures", "Alarm levels", "Your own"):
        page.show_view(view)
        qtbot.wait(0)  # lays out
        qtbot.waitUntil(all_fits)


def test_a_row_of_fans_that_all_stop_is_told_once(qtbot: QtBot, make_window, sample):
    window = make_window(sample)
    window.resize(1280, 800)
    page = worked_out(qtbot, window)
    window.plan.fit()
    page.cases.chosen.emit(next(each for each in page.catalogue.cases if each.failure.title == "all fans stopped"))
    window.plan.grab()
    told = {label.lines[0].text: [line.text for line in label.lines[1:]] for label in window.plan.labels}
    assert told["Fan 1 to 5"] == ["stopped"]
    assert "Fan 2" not in told


def test_what_was_selected_before_comes_into_view_once_its_case_is_worked_out(qtbot: QtBot, make_window):
    window = make_window(machine())
    window.bench.show_bench("Draw")
    window.document.select({"filter"})
    page = worked_out(qtbot, window)
    assert page.catalogue.chosen.failure.title == "Filter clogged"


def test_with_nothing_chosen_the_sentence_begins_with_what_is_highlighted(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    window.document.select(())
    assert page.catalogue.chosen is None
    qtbot.waitUntil(lambda: not page.catalogue.is_timing)  # each time that is found may make another the worst
    said = page.sentence.text().replace("\u00a0", " ")
    assert said.startswith("Everything in order: ")
    worst = page.catalogue.summary.worst
    qtbot.waitUntil(lambda: f"Worst failure: {worst.sentence}" in page.sentence.text().replace("\u00a0", " "))
    assert worst.verdict == rows(page.catalogue.cases)[0].verdict


def test_a_flow_that_reads_otherwise_at_the_temperatures_found_says_at_which_it_is(qtbot: QtBot, make_window):
    """The verdict tells the flow of the stated temperature, this bench those of the temperatures found."""
    window = make_window(machine())
    page = worked_out(qtbot, window)
    answer, found = window.solving.answer, page.catalogue.base.point
    assert round(from_si(answer.point.loop_flow, "l_h")) != round(from_si(found.loop_flow, "l_h"))
    assert window.verdict.flow.what.whole.replace("\u00a0", " ") == "flow with coolant at 30.0 °C"
    assert said_at(replace(answer, point=found)) == ""

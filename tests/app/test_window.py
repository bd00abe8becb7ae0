"""The whole window, with real keys and mouse: open, edit, undo, save, open again, refuse, close."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QTabBar, QTextBrowser, QWidget
from pytestqt.qtbot import QtBot

from app.dialogs import Unsaved
from app.theme import DARK, themes
from app.window import MainWindow
from loopsim import studies
from loopsim.build import Build, Layout, edits, load, save
from loopsim.errors import SketchError
from loopsim.studies.rounding import with_band
from loopsim.units import from_si

if TYPE_CHECKING:
    from .conftest import Answers

Make = Callable[[Build], MainWindow]
CONTROL = Qt.KeyboardModifier.ControlModifier


def type_speed(window: MainWindow, percent: str, pump: str = "pump_a") -> None:
    """Select a pump, and give it a speed by hand."""
    window.document.select({pump})
    window.bench.show_bench("Draw")
    line = window.bench.page.sheet.editor("speed_percent").line
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, percent)
    QTest.keyClick(line, Qt.Key.Key_Return)


def settled(qtbot: QtBot, window: MainWindow) -> None:
    """Wait until curves and failures belong to the build in view."""

    def is_settled() -> bool:
        answer = window.solving.answer
        return answer is not None and answer.revision == window.document.build.revision and not answer.curves_are_old

    qtbot.waitUntil(is_settled)


def rested(qtbot: QtBot, window: MainWindow) -> None:
    """Wait until heat has followed too, or why there is none: nothing more comes then."""
    settled(qtbot, window)
    qtbot.waitUntil(lambda: window.solving.answer.heat_revision == window.document.build.revision)


def click_tab(tabs: QTabBar, name: str) -> None:
    """Click a tab by its words."""
    number = [tabs.tabText(each) for each in range(tabs.count())].index(name)
    QTest.mouseClick(tabs, Qt.MouseButton.LeftButton, pos=tabs.tabRect(number).center())


def action(window: MainWindow, text: str) -> QAction:
    """A command of the menus by the beginning of its words; the shortest, where several begin so."""
    found = [each for each in window.findChildren(QAction) if each.text().replace("&", "").startswith(text)]
    return min(found, key=lambda each: len(each.text()))


def flow_shown(window: MainWindow) -> str:
    return window.verdict.flow.value.whole


def shows_flow(window: MainWindow, flow_l_h: float) -> bool:
    """Whether this flow is shown: to the litre, or to the digits that its band leaves."""
    _, is_banded, _ = flow_shown(window).partition(" ± ")
    half = from_si(window.solving.answer.flow_band, "l_h") if is_banded else 0.0
    return flow_shown(window) == f"{with_band(flow_l_h, half)} L/h"


def curves_shown(window: MainWindow) -> list[float]:
    """Flows of the failures' plot: with all pumps running, and with each stopped in turn."""
    window.bench.show_bench("Failures")
    (plot,) = window.bench.page.curves.plots
    return [plot.flow, *(case.flow for case in plot.stopped)]


def test_the_window_opens_solved_on_the_sample(window: MainWindow):
    flow = studies.operating_point(window.document.build).loop_flow * 3.6e6
    assert shows_flow(window, flow)
    assert window.bench.page.headline.text().startswith("If either pump stops, ")
    assert curves_shown(window)[0] * 3.6e6 == pytest.approx(flow)
    assert window.verdict.stopped.value.whole.endswith(" %")
    assert window.header.edited.isHidden()
    assert window.windowTitle() == "Render plinth[*] - Loopsim"


def test_a_slower_pump_lowers_the_flow_and_undo_brings_back_the_saved_state(qtbot: QtBot, window: MainWindow):
    rested(qtbot, window)  # the flow's band comes with heat
    before = flow_shown(window)
    type_speed(window, "70")
    settled(qtbot, window)
    slower = flow_shown(window)
    assert int(slower.split()[0]) < int(before.split()[0])
    assert window.header.edited.isVisible()
    assert window.isWindowModified()
    action(window, "Undo Change Pump A").trigger()
    rested(qtbot, window)
    assert flow_shown(window) == before
    assert window.header.edited.isHidden()
    assert not window.isWindowModified()


def test_the_undo_key_reaches_the_build_from_a_field_that_has_nothing_to_undo(qtbot: QtBot, window: MainWindow):
    type_speed(window, "70")
    line = window.bench.page.sheet.editor("speed_percent").line
    QTest.keyClick(line, Qt.Key.Key_Z, CONTROL)
    qtbot.waitUntil(lambda: window.document.history.isClean())
    assert line.text() == "100"


@pytest.mark.parametrize(("command", "words"), [("Keys", "Ctrl+S"), ("About", "licensed electrician")])
def test_keys_and_cautions_are_shown_and_close_with_escape(qtbot: QtBot, window: MainWindow, command: str, words: str):
    action(window, command).trigger()
    (page,) = [each for each in window.findChildren(QDialog) if each.isVisible()]
    assert words in page.findChild(QTextBrowser).toPlainText()
    QTest.keyClick(page, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not any(each.isVisible() for each in window.findChildren(QDialog)))


def test_a_refused_value_says_why_at_its_field(window: MainWindow):
    type_speed(window, "-5")
    editor = window.bench.page.sheet.editor("speed_percent")
    assert editor.refusal.text() == "speed is -5 %, must be above 0 and at most 150 %"
    assert window.document.history.isClean()


def test_saving_and_opening_again_gives_the_same_numbers(
    qtbot: QtBot, window: MainWindow, make_window: Make, answers: "Answers", tmp_path: Path, sample: Build
):
    answers.path = tmp_path / "plinth.loop.json"
    type_speed(window, "83,5")
    rested(qtbot, window)
    shown, rows = flow_shown(window), curves_shown(window)
    action(window, "Save").trigger()
    assert answers.asked == ["save render-plinth.loop.json"]
    assert window.document.history.isClean()
    other = make_window(sample)
    other.files.open_path(answers.path)
    rested(qtbot, other)
    assert flow_shown(other) == shown
    click_tab(other.bench.tabs, "Failures")
    window.bench.show_bench("Failures")
    assert curves_shown(other) == curves_shown(window) == rows
    assert other.document.build == window.document.build


def test_a_sample_opens_as_a_copy_and_saving_asks_where(window: MainWindow, answers: "Answers"):
    assert window.document.path is None
    answers.path = None
    action(window, "Save").trigger()
    assert answers.asked == ["save render-plinth.loop.json"]
    assert window.document.path is None


def test_a_broken_file_leaves_the_open_build_and_says_why(window: MainWindow, answers: "Answers", tmp_path: Path):
    before = window.document.build
    answers.path = tmp_path / "broken.loop.json"
    answers.path.write_text('{"schema_version": 1, "name": ')
    action(window, "Open...").trigger()
    assert window.message.text.startswith("broken.loop.json: is not JSON")
    assert window.document.build is before
    assert window.document.path is None
    assert window.files.recent.paths == []


def test_a_message_goes_when_something_else_is_opened(window: MainWindow, tmp_path: Path, sample: Build):
    window.files.open_path(tmp_path / "missing.loop.json")
    assert "cannot be read" in window.message.text
    save(sample, tmp_path / "good.loop.json")
    window.files.open_path(tmp_path / "good.loop.json")
    assert window.message.text == ""


def test_a_place_that_cannot_be_written_is_a_sentence(window: MainWindow, answers: "Answers", tmp_path: Path):
    answers.path = tmp_path / "no such folder" / "a.loop.json"
    type_speed(window, "70")
    action(window, "Save").trigger()
    assert "cannot be written" in window.message.text
    assert not window.document.history.isClean()


@pytest.mark.parametrize(
    ("wanted", "replaced", "saved"),
    [(Unsaved.CANCEL, False, False), (Unsaved.DISCARD, True, False), (Unsaved.SAVE, True, True)],
)
def test_unsaved_edits_are_asked_about_before_something_else_is_opened(
    window: MainWindow, answers: "Answers", tmp_path: Path, wanted: Unsaved, replaced: bool, saved: bool
):
    answers.on_unsaved, answers.path = wanted, tmp_path / "kept.loop.json"
    type_speed(window, "70")
    action(window, "New").trigger()
    assert answers.asked[0] == "unsaved Render plinth"
    assert (window.document.title == "New build") is replaced
    assert answers.path.exists() is saved
    if saved:
        assert load(answers.path).layouts[0].placement("pump_a").speed_percent == 70.0


def test_closing_with_unsaved_edits_can_be_taken_back(window: MainWindow, answers: "Answers"):
    type_speed(window, "70")
    answers.on_unsaved = Unsaved.CANCEL
    assert not window.close()
    assert window.isVisible()
    answers.on_unsaved = Unsaved.DISCARD
    assert window.close()


def test_a_click_on_a_layout_brings_it_into_view(qtbot: QtBot, window: MainWindow):
    click_tab(window.header.layouts.bar, "one large pump")
    settled(qtbot, window)
    assert window.document.layout.name == "one large pump"
    assert [each.stopped for each in window.solving.answer.stopped.cases] == ["large_pump"]
    expected = studies.operating_point(window.document.build, "one large pump").loop_flow * 3.6e6
    assert shows_flow(window, expected)


def test_a_row_that_is_chosen_selects_its_part_and_the_other_way_round(window: MainWindow):
    click_tab(window.bench.tabs, "Flow")
    table = window.bench.page.table
    row = table.visualRect(table.model().index(2, 0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=row)
    assert window.document.selection == {table.rows()[2].item}
    window.document.select({"processor"})
    chosen = table.selectionModel().selectedRows()[0].row()
    assert table.rows()[chosen].item == "processor"


def test_the_selection_outlives_an_edit(qtbot: QtBot, window: MainWindow):
    window.document.select({"pump_b"})
    name = window.document.layout.name
    window.document.do(edits.change_placement(window.document.build, name, "pump_a", speed_percent=80.0))
    settled(qtbot, window)
    assert window.document.selection == {"pump_b"}
    assert window.bench.page.curves.plot.chosen == {"pump_b"}


def test_a_double_click_on_a_part_in_the_plan_leads_to_its_sheet(window: MainWindow):
    item = window.plan.scene().parts["pump_b"]
    at = window.plan.mapFromScene(item.sceneBoundingRect().center())
    QTest.mouseClick(window.plan.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert window.document.selection == {"pump_b"}
    QTest.mouseDClick(window.plan.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert window.bench.page.headline.text() == "Pump B"
    assert window.bench.page.sheet.editor("speed_percent").line.hasFocus()
    assert window.document.history.isClean()


def test_the_delete_key_in_a_field_removes_no_part(window: MainWindow):
    placed = window.document.layout.placed
    window.bench.open_part("pump_a")
    line = window.bench.page.sheet.editor("name").line
    line.setFocus()
    QTest.keyClick(line, Qt.Key.Key_Delete)
    table = window.bench.page.sheet.editor("curve").table
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_Delete)
    QTest.keyClick(table, Qt.Key.Key_R)
    assert window.document.layout.placed == placed
    assert window.document.build.part("pump_a").name == "ump A"  # the key did what it does in a line of text


def test_the_delete_key_in_the_plan_removes_the_selection_and_undo_brings_it_back(qtbot: QtBot, window: MainWindow):
    before = window.document.build
    window.document.select({"pump_b"})
    window.plan.setFocus()
    QTest.keyClick(window.plan, Qt.Key.Key_Delete)
    assert "pump_b" not in window.document.layout.placements
    settled(qtbot, window)
    assert window.message.text == ""
    action(window, "Undo").trigger()
    assert window.document.build is before


@pytest.mark.parametrize("bench", ["Draw", "Flow", "Failures", "Log"])
def test_an_empty_build_is_no_error_on_any_bench(qtbot: QtBot, make_window: Make, bench: str):
    window = make_window(Build(name="Nothing yet"))
    window.bench.show_bench(bench)
    rested(qtbot, window)
    assert window.message.text == ""
    assert flow_shown(window) == "–"
    words = f"{window.bench.page.headline.text()} {window.bench.page.line.text()}"
    assert "lace" in words or "Take a pump" in words


def test_a_loop_without_a_pump_says_what_to_do_next(qtbot: QtBot, window: MainWindow):
    build, name = window.document.build, window.document.layout.name
    for pump in ("pump_a", "pump_b"):
        build = edits.remove_part(build, name, pump).build
    window.document.open(build, None)
    rested(qtbot, window)
    assert window.bench.page.headline.text() == "No pump yet"
    assert "drawer" in window.bench.page.line.text()
    assert window.bench.page.table.rows() == ()
    assert window.message.text == ""


def test_an_open_end_is_a_quiet_mark(qtbot: QtBot, make_window: Make, sample: Build):
    """With the machine switched off, for in the ring that is left coolant would boil."""
    off = tuple(each.with_values(load_percent=0) for each in sample.load_cases)
    window = make_window(sample.with_values(load_cases=off))
    build, name = window.document.build, window.document.layout.name
    window.document.do(edits.remove_run(build, name, "run_1"))
    rested(qtbot, window)
    assert window.verdict.warnings.value.whole == "still drawing"
    assert "port" in window.verdict.warnings.what.whole
    assert window.bench.page.headline.text() == "Nothing flows yet"
    assert "port open" in window.bench.page.line.text()
    assert window.bench.page.table.rows() == ()
    assert window.message.text == ""


def test_a_sketch_that_is_refused_stands_as_a_sentence_on_the_bench(qtbot: QtBot, window: MainWindow):
    def refuse(_: object) -> None:
        raise SketchError("layout 'A': two surfaces are open to the air")

    window.solving._points._study = refuse
    window.document.do(edits.change_build(window.document.build, note="x"))
    qtbot.waitUntil(lambda: window.bench.page.headline.text() == "Not solved yet")
    assert "two surfaces" in window.bench.page.line.text()


def test_a_defect_in_a_study_becomes_a_message_and_the_window_lives(qtbot: QtBot, window: MainWindow):
    def break_down(_: object) -> None:
        raise RuntimeError("lost count")

    kept = window.solving._points._study
    window.solving._points._study = break_down
    window.document.do(edits.change_build(window.document.build, note="x"))
    qtbot.waitUntil(lambda: "lost count" in window.message.text)
    window.solving._points._study = kept
    window.document.history.undo()
    settled(qtbot, window)
    assert flow_shown(window).endswith("L/h")


@pytest.mark.parametrize("ending", [".html", ".md"])
def test_the_report_is_of_the_layout_in_view(
    qtbot: QtBot, window: MainWindow, answers: "Answers", tmp_path: Path, ending: str
):
    answers.path = tmp_path / f"report{ending}"
    click_tab(window.header.layouts.bar, "one large pump")
    click_tab(window.bench.tabs, "Log")
    qtbot.waitUntil(window.bench.page.buttons[ending].isEnabled)
    window.bench.page.buttons[ending].click()
    assert answers.asked == [f"export render-plinth-report{ending}"]
    assert str(answers.path) in window.bench.page.written.text()
    text = answers.path.read_text(encoding="utf-8")
    assert "one large pump" in text
    assert "Large pump" in text


def test_a_report_that_cannot_be_written_is_a_sentence(window: MainWindow, answers: "Answers", tmp_path: Path):
    answers.path = tmp_path / "no such folder" / "report.html"
    action(window, "Export report").trigger()
    assert window.message.text


def test_the_appearance_is_chosen_in_the_menu_and_remembered(window: MainWindow):
    action(window, "Dark").trigger()
    assert themes.current is DARK
    assert window.settings.value("window/appearance") == "dark"
    assert window.plan.theme is DARK


def test_the_verdict_leads_to_the_bench_that_explains_it(window: MainWindow):
    click_tab(window.bench.tabs, "Log")
    QTest.mouseClick(window.verdict.stopped, Qt.MouseButton.LeftButton, pos=QPoint(5, 5))
    assert window.bench.tabs.tabText(window.bench.tabs.currentIndex()) == "Failures"
    assert window.document.selection in ({"pump_a"}, {"pump_b"})


def test_a_doubt_leads_to_the_data_of_its_part(window: MainWindow):
    assert "a guess" in window.bench.page.rests_on.text().lower()
    window.bench.page.rests_on.linkActivated.emit("pump_a")
    assert window.bench.page.headline.text() == "Pump A"


@pytest.mark.parametrize("bench", ["Draw", "Flow", "Failures", "Log"])
def test_nothing_is_wider_than_its_place_at_1280_by_800(qtbot: QtBot, window: MainWindow, bench: str):
    window.resize(1280, 800)
    click_tab(window.bench.tabs, bench)
    page = window.bench.page

    def all_fits() -> None:
        assert (window.width(), window.height()) == (1280, 800)
        for child in page.findChildren(QWidget):
            if child.isVisibleTo(page) and child.parentWidget() is page:
                assert child.geometry().right() <= page.width()
                assert child.geometry().bottom() <= page.height()

    for selected in ((), ("pump_a",), ("run_11",), ("reservoir",)):
        window.document.select(selected)
        qtbot.wait(0)  # lays out
        qtbot.waitUntil(all_fits)


def test_files_are_remembered_and_those_that_are_gone_drop_out(window: MainWindow, tmp_path: Path, sample: Build):
    for name in ("first", "second"):
        save(sample, tmp_path / f"{name}.loop.json")
        window.files.open_path(tmp_path / f"{name}.loop.json")
    assert [path.name for path in window.files.recent.paths] == ["second.loop.json", "first.loop.json"]
    (tmp_path / "second.loop.json").unlink()
    assert [path.name for path in window.files.recent.paths] == ["first.loop.json"]


def test_several_layouts_of_a_build_stand_as_tabs(make_window: Make):
    window = make_window(Build(name="Two", layouts=(Layout(name="left"), Layout(name="right"))))
    tabs = window.header.layouts.bar
    assert [tabs.tabText(number) for number in range(tabs.count())] == ["left", "right"]

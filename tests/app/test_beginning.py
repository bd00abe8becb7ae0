"""How a builder begins: first steps, a new build, an empty plan, and help about each part."""

from html import unescape

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QLabel, QTextBrowser
from pytestqt.qtbot import QtBot

from app import figures
from app.build_files import sample_build
from app.first_steps import FirstSteps
from app.new_build import NewBuild
from app.part_help import page_of
from app.window import MainWindow
from loopsim.build import Ambient, Build, Enclosure, Placement, edits
from loopsim.parts import KINDS, Tube

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def page(qtbot: QtBot) -> NewBuild:
    made = NewBuild()
    qtbot.addWidget(made)
    made.show()
    return made


def type_value(page: NewBuild, name: str, text: str) -> None:
    line = page.editors[name].line
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)
    QTest.keyClick(line, Qt.Key.Key_Tab)


def test_a_new_build_asks_for_the_room_and_what_is_around_it_only(page: NewBuild):
    assert list(page.editors) == ["length_mm", "width_mm", "clear_height_mm", "temperature_c", "altitude_m"]
    for name, text in (("length_mm", "820"), ("width_mm", "410"), ("clear_height_mm", "62"), ("temperature_c", "27,5")):
        type_value(page, name, text)
    QTest.mouseClick(page.begin, LEFT)
    assert page.result() == QDialog.DialogCode.Accepted
    assert page.build.enclosure == Enclosure(length_mm=820, width_mm=410, clear_height_mm=62)
    assert page.build.ambient == Ambient(temperature_c=27.5)
    assert page.build.parts == ()


def test_a_room_that_cannot_be_is_refused_where_it_was_typed(page: NewBuild):
    type_value(page, "length_mm", "-3")
    assert "above 0 mm" in page.editors["length_mm"].refusal.text()
    QTest.mouseClick(page.begin, LEFT)
    assert page.isVisible()


def test_giving_up_a_new_build_keeps_what_is_open(window: MainWindow, answers):
    answers.fresh = None
    before = window.document.build
    assert not window.files.new()
    assert window.document.build is before


def test_after_a_new_build_comes_drawing(window: MainWindow):
    assert window.bench.name != "Draw"
    QTest.keyClick(window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    assert window.bench.name == "Draw"
    assert window.plan.hasFocus()


def test_an_empty_plan_says_what_to_do_until_a_part_stands_in_it(window: MainWindow, sample: Build):
    window.files.new()
    empty = window.plan.viewport().grab().toImage()
    build = window.document.build
    pump = sample.part("pump_a")
    placement = sample.layouts[0].placement("pump_a").with_values(x_mm=50, y_mm=350)
    window.document.do(edits.add_part(build, build.layouts[0].name, pump, placement))
    middle = window.plan.to_pixel(window.plan.mapToScene(window.plan.viewport().rect().center())).toPoint()
    room = 60

    def inks(image) -> int:
        area = image.copy(middle.x() - room, middle.y() - room, 2 * room, 2 * room)
        return len({area.pixel(x, y) for x in range(area.width()) for y in range(area.height())})

    assert inks(empty) > 2 * inks(window.plan.viewport().grab().toImage())
    window.document.history.undo()
    assert inks(window.plan.viewport().grab().toImage()) == inks(empty)


def test_what_was_just_set_down_raises_no_alarm(window: MainWindow, sample: Build, qtbot: QtBot):
    window.files.new()
    document = window.document
    for number, part in enumerate((sample.part("pump_a"), sample.part("processor"), sample.part("reservoir"))):
        place = Placement(part=part.id, x_mm=100 + 150 * number, y_mm=100)
        document.do(edits.add_part(document.build, document.layout.name, part, place))
    qtbot.waitUntil(lambda: window.solving.answer.heat_revision == document.build.revision)
    verdict = window.verdict
    assert verdict.warnings.value.whole == "still drawing"
    assert verdict.stopped.value.whole == figures.NONE
    assert verdict.warmest.isHidden()


@pytest.fixture
def steps(window: MainWindow) -> FirstSteps:
    window.show_first_steps()
    return window.first_steps


def test_the_first_steps_tick_themselves_off_and_go(window: MainWindow, steps: FirstSteps):
    document, name = window.document, window.document.layout.name
    assert steps.isVisible()
    assert [line.text()[0] for line in steps.lines] == ["1", "2", "3"]
    document.do(edits.move(document.build, name, "pump_a", 320.0, 150.0))
    assert steps.done == [True, False, False]
    assert steps.lines[0].text().startswith("done")
    document.do(edits.change_placement(document.build, name, "pump_a", speed_percent=80.0))
    assert steps.done == [True, True, False]
    document.open(Build(name="New build"), None)
    assert not steps.isVisible()


def test_first_steps_that_are_put_away_do_not_come_back(window: MainWindow, steps: FirstSteps, settings: QSettings):
    window.plan.setFocus()
    QTest.mouseClick(steps.away, LEFT)
    assert not steps.isVisible()
    assert window.plan.hasFocus()  # its keys work at once
    settings.sync()
    window.show_first_steps()
    assert not steps.isVisible()


def test_the_first_steps_hide_nothing_of_the_plan(window: MainWindow, steps: FirstSteps):
    window.resize(1280, 800)
    assert steps.geometry().bottom() <= window.plan.mapTo(window, window.plan.rect().topLeft()).y()


@pytest.mark.parametrize("kind", [*KINDS.values(), Tube], ids=lambda kind: kind.__name__)
def test_every_part_kind_has_a_page_on_all_its_numbers(kind):
    text = unescape(page_of(kind(id="one", name="One")))
    assert getattr(kind, "help", "What runs are cut from") in text
    for field in kind.fields():
        assert field.label in text
        assert field.help[1:] in text
    assert "Where from" in text


def test_the_page_of_a_part_opens_from_its_sheet_and_by_key(qtbot: QtBot, window: MainWindow):
    window.bench.open_part("pump_a")
    help_line = next(each for each in window.bench.page.sheet.findChildren(QLabel) if "href='more'" in each.text())
    help_line.linkActivated.emit("more")
    (opened,) = [each for each in window.findChildren(QDialog) if each.isVisible()]
    assert sample_build("render-plinth").part("pump_a").help[:30] in opened.findChild(QTextBrowser).toPlainText()
    QTest.keyClick(opened, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not any(each.isVisible() for each in window.findChildren(QDialog)))
    QTest.keyClick(window, Qt.Key.Key_F1, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: any(each.isVisible() for each in window.findChildren(QDialog)))


@pytest.mark.parametrize("bench", ["Flow", "Heat", "Failures", "Fill", "Compare", "Log"])
def test_on_an_empty_build_every_bench_begins_at_its_top_with_what_to_do(make_window, qtbot: QtBot, bench: str):
    window = make_window(Build(name="New build"))
    window.bench.show_bench(bench)
    page = window.bench.page
    qtbot.waitUntil(lambda: page.line.isVisible() and bool(page.line.text()))
    qtbot.waitUntil(lambda: page.headline.geometry().top() == 0)
    qtbot.waitUntil(lambda: page.line.geometry().top() < 3 * page.headline.sizeHint().height())

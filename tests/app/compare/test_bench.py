"""The bench of comparison in the window: table, plots, sweep and bands, with real clicks."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.compare import words
from app.compare.overlaid import Overlaid
from app.compare.range_row import RangeRow
from app.compare.sweep_view import SweepView
from app.compare_bench import CompareBench
from app.window import MainWindow
from loopsim.build import Build, edits
from loopsim.build.layout_edits import copy_layout
from loopsim.studies import Variation, compare, heat_point, sweep
from tests.app.remembered import shared
from tests.studies.failing.struck import LAYOUT, machine


@pytest.fixture(scope="module")
def two() -> Build:
    build = copy_layout(machine(), LAYOUT, "slower").build
    return shared(edits.change_placement(build, "slower", "pump", speed_percent=70.0).build)


@pytest.fixture
def window(qtbot: QtBot, make_window, two: Build) -> MainWindow:
    made = make_window(two)
    made.resize(1280, 800)
    compared(qtbot, made)
    return made


def compared(qtbot: QtBot, window: MainWindow) -> CompareBench:
    """Wait until the layouts of the build in view are compared."""
    window.bench.show_bench("Compare")
    page = window.bench.page

    def is_there() -> bool:
        comparing = page.comparing
        return comparing.build is window.document.build and not comparing.missing and not comparing.is_working

    qtbot.waitUntil(is_there)
    return page


def put(row: RangeRow, heading: str, first: str, last: str, count: str) -> None:
    """Choose a number and type its range."""
    row.which.setCurrentText(heading)
    for editor, text in ((row.first, first), (row.last, last), (row.count, count)):
        editor.setText(text)


def map_asked(window: MainWindow) -> SweepView:
    """Pump speed and room temperature on the view of sweeps, ready to be asked for."""
    page = window.bench.page
    page.show_view("Sweep")
    window.document.select({"pump"})
    put(page.sweep.one, "Pump speed, %", "100", "60", "3")
    put(page.sweep.other, "room temperature, °C", "15", "30", "2")
    return page.sweep


def test_every_figure_stands_side_by_side_with_the_best_marked(window: MainWindow, two: Build):
    page = window.bench.page
    rows = compare([(two, LAYOUT), (two, "slower")]).rows
    assert [text[0] for text in page.table.texts()] == [words.heading(row) for row in rows]
    flow = page.table.texts()[0]
    assert flow[1].startswith(words.BEST)
    assert not flow[2].startswith(words.BEST)
    assert "slower: Pump at 70 % instead of 100 %." in page.differing.text()
    assert page.headline.text().endswith(f"of {len(rows)}")


def test_differences_are_told_against_the_chosen_base(window: MainWindow):
    page = window.bench.page
    QTest.mouseClick(page.chooser.differences, Qt.MouseButton.LeftButton, pos=QPoint(8, 12))
    assert page.table.texts()[0][2].startswith("−")
    page.chooser.base.setCurrentIndex(1)
    page.chooser.base.activated.emit(1)
    assert page.table.texts()[0][1].startswith(f"{words.BEST} +")


def test_an_edit_of_one_layout_is_followed_at_rest(qtbot: QtBot, window: MainWindow):
    page, before = window.bench.page, window.bench.page.table.texts()
    window.document.do(edits.change_placement(window.document.build, LAYOUT, "pump", speed_percent=80.0))
    assert not page.comparing.is_working, "nothing is worked out while something changes"
    compared(qtbot, window)
    after = page.table.texts()
    assert after[0][1] != before[0][1]
    assert after[0][2] == before[0][2]


def test_curves_and_grade_lines_of_all_layouts_lie_in_one_plot(qtbot: QtBot, window: MainWindow):
    page = window.bench.page
    page.show_view("Curves")
    qtbot.waitUntil(lambda: bool(page.curves.label_texts()))
    assert isinstance(page.curves.shown, Overlaid)
    assert page.curves.shown.names == (LAYOUT, "slower")
    texts = page.curves.label_texts()
    assert [text.partition(":")[0] for text in texts] == [LAYOUT, "slower"]
    page.show_view("Grade lines")
    qtbot.waitUntil(lambda: bool(page.grade.names))
    assert [line.name for line in page.grade.lines] == [LAYOUT, "slower"]
    assert {name.text for name in page.grade.names} == {LAYOUT, "slower"}


def test_a_layout_is_left_out_in_the_menu_and_two_are_needed(window: MainWindow):
    page = window.bench.page
    page.chooser.menu.actions()[1].trigger()
    assert [each.layout for each in page.comparing.chosen] == [LAYOUT]
    assert page.headline.text() == "Nothing to compare yet"
    page.chooser.menu.actions()[1].trigger()
    assert len(page.comparing.chosen) == 2


def test_a_number_of_the_selected_part_is_swept_in_every_layout(qtbot: QtBot, window: MainWindow, two: Build):
    page = window.bench.page
    page.show_view("Sweep")
    window.document.select({"pump"})
    view = page.sweep
    assert view.one.which.itemText(0) == "Pump speed, %"
    assert view.one.which.findText("Pump opening, %") < 0, "a pump does not listen to it"
    put(view.one, "Pump speed, %", "60", "100", "3")
    QTest.mouseClick(view.study.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: sum(map(len, view.points.values())) == 6)
    first, second = view.lines()
    expected = sweep(two, [Variation("pump.speed_percent", (60.0, 80.0, 100.0))], LAYOUT)
    np.testing.assert_allclose(first.x, [60.0, 80.0, 100.0])
    np.testing.assert_allclose(first.y, expected.figure("flow_l_h") * 3.6e6)
    np.testing.assert_allclose(second.y, first.y, rtol=1e-3)  # the copy differs by its speed alone


def test_two_numbers_make_a_map_whose_points_are_solved(qtbot: QtBot, window: MainWindow, two: Build):
    view = map_asked(window)
    QTest.mouseClick(view.study.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not view.study.is_working)
    assert view.plots.currentWidget() is view.map
    assert [view.whose.itemText(number) for number in range(view.whose.count())] == [LAYOUT, "slower"]
    view.figure.setCurrentText("margin of the warmest, K")
    shown = view.map.map
    np.testing.assert_allclose(shown.x, [60.0, 80.0, 100.0])  # typed from high to low
    np.testing.assert_allclose(shown.y, [15.0, 30.0])
    slower = edits.change_placement(two, LAYOUT, "pump", speed_percent=60.0).build
    warm = edits.change_build(slower, ambient={**slower.ambient.model_dump(), "temperature_c": 30.0}).build
    expected = heat_point(warm, LAYOUT).warmest.margin
    assert shown.z[0, 1] == pytest.approx(expected, rel=1e-4)
    assert shown.now == (100.0, two.ambient.temperature_c)
    assert "on one scale for the maps of all layouts" in view.study.words.text()
    view.whose.setCurrentText("slower")
    assert view.map.map.now == (70.0, two.ambient.temperature_c)
    assert view.map.map.ends == shown.ends, "maps of all layouts share one scale"
    view.map.grab()
    assert len(view.map.figures) == 6
    assert "Lowest" in view.study.words.text()


def test_a_map_under_way_is_stopped_and_keeps_what_is_there(qtbot: QtBot, window: MainWindow):
    view = map_asked(window)
    view.other.count.setText("101")
    QTest.mouseClick(view.study.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(view.points))
    assert view.study.button.text() == "Stop"
    QTest.mouseClick(view.study.button, Qt.MouseButton.LeftButton)
    assert not view.study.is_working
    assert 0 < np.isfinite(view.shown_map().z).sum() < 303
    assert view.study.button.text() == "Sweep"


def test_the_same_number_twice_is_refused(window: MainWindow):
    view = map_asked(window)
    put(view.other, "Pump speed, %", "60", "100", "3")
    view.ask()
    assert "two different ones" in view.study.words.text()
    view.other.which.setCurrentIndex(0)
    assert view.other.range.isHidden()
    assert view.other.parameter is None


@pytest.mark.parametrize(
    ("first", "count", "said"),
    [
        ("fast", "9", "speed is 'fast'"),
        ("0", "9", "above 0 and at most 150 %"),
        ("60", "1", "2 to 101"),
        ("150", "9", "a range needs two ends"),
    ],
)
def test_a_sweep_that_cannot_be_is_refused_in_a_sentence(window: MainWindow, first: str, count: str, said: str):
    page = window.bench.page
    page.show_view("Sweep")
    page.sweep.one.first.setText(first)
    page.sweep.one.count.setText(count)
    page.sweep.ask()
    assert said in page.sweep.study.words.text()
    assert page.sweep.asked is None


def test_bands_of_both_layouts_come_on_request(qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("app.compare.trust_view.DRAWS", 500)
    page = window.bench.page
    page.show_view("How sure")
    assert page.trust.table.isHidden()
    QTest.mouseClick(page.trust.study.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(page.trust.table.rows()) == 2)
    low, high = (float(edge) for edge in page.trust.table.rows()[0].cells[1].split(" to "))
    flow = page.comparing.looked[0].solved.heats[0].point.loop_flow * 3.6e6
    assert low < flow < high
    assert "most of the spread of the margin comes from" in page.trust.sentences.text()
    figures = [row.cells[0] for row in page.trust.bands.rows()]
    assert {"flow, L/h", "highest pressure, kPa", "power from the mains, W", "Block, °C"} <= set(figures)


def test_the_bench_keeps_its_width_in_a_small_window(qtbot: QtBot, window: MainWindow):
    page = window.bench.page

    def all_fits() -> None:
        assert (window.width(), window.height()) == (1280, 800)
        assert window.bench.width() <= 480  # what the window gives it at first
        assert page.stack.geometry().bottom() <= page.height()

    for view in page.views.names:
        page.show_view(view)
        qtbot.wait(0)  # lays out
        qtbot.waitUntil(all_fits)


def test_all_views_stay_in_sight_and_arrow_keys_reach_them(window: MainWindow):
    views, page = window.bench.page.views, window.bench.page
    window.resize(1280, 800)
    buttons = views.group.buttons()
    assert all(views.rect().contains(button.geometry()) for button in buttons)
    assert all(button.width() >= button.sizeHint().width() for button in buttons)
    order, sweeping = (buttons[views.names.index(name)] for name in ("Order", "Sweep"))
    QTest.mouseClick(order, Qt.MouseButton.LeftButton)
    assert page.stack.currentWidget() is page.order
    QTest.keyClick(order, Qt.Key.Key_Left)
    QTest.keyClick(window.focusWidget(), Qt.Key.Key_Left)
    assert sweeping.isChecked()
    assert page.stack.currentWidget() is page.sweep
    QTest.keyClick(sweeping, Qt.Key.Key_Up)
    assert page.stack.currentIndex() == views.names.index("Table")


@pytest.mark.parametrize("bench", ["Flow", "Heat", "Failures", "Fill"])
def test_tabs_of_the_other_benches_fit_without_arrows(window: MainWindow, bench: str):
    window.bench.show_bench(bench)
    for tabs in (window.bench.tabs, window.bench.page.views):
        assert tabs.sizeHint().width() <= window.bench.page.width()


def test_before_its_first_answer_it_says_what_comes(make_window, two: Build):
    window = make_window(two)
    window.bench.show_bench("Compare")
    page = window.bench.page
    assert page.comparing.comparison is None
    assert page.headline.text() == "Being worked out"
    assert "come first" in page.line.text()
    assert page.stack.currentWidget() is page.stack.widget(page.stack.count() - 1), "no table without rows"


def test_one_layout_alone_is_told_how_to_get_another(qtbot: QtBot, make_window):
    window = make_window(machine())
    window.bench.show_bench("Compare")
    page = window.bench.page
    qtbot.waitUntil(lambda: page.headline.text() == "Nothing to compare yet")
    assert "Copy the layout" in page.line.text()
    page.show_view("Sweep")
    assert page.stack.currentWidget() is page.sweep


def test_an_empty_layout_says_what_to_place_first(qtbot: QtBot, make_window):
    window = make_window(Build(name="Empty"))
    window.bench.show_bench("Compare")
    qtbot.waitUntil(lambda: window.bench.page.headline.text() == "Nothing placed yet")

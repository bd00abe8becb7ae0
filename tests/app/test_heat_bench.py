"""The heat bench: components against limits, the staircase, the balance, the air, and load cases in view."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app import figures
from app.answer import CaseHeat
from app.heat import heat_words
from app.heat.balance_chart import lettered
from app.heat.bars import Bar, BarRows
from app.heat_bench import HeatBench
from app.theme import DARK, Follow, themes
from app.window import MainWindow
from loopsim.build import Build, edits
from loopsim.studies import HeatPoint, heat_balance, heat_point
from loopsim.studies.rounding import with_band
from tests.studies.test_heat import LAYOUT, machine

Make = Callable[[Build], MainWindow]


def open_view(qtbot: QtBot, window: MainWindow, name: str) -> HeatBench:
    """The heat bench with its answer, a view brought up by a click."""
    window.bench.show_bench("Heat")
    page = window.bench.page
    assert isinstance(page, HeatBench)
    solved(qtbot, window)
    number = [page.views.tabText(each) for each in range(page.views.count())].index(name)
    QTest.mouseClick(page.views, Qt.MouseButton.LeftButton, pos=page.views.tabRect(number).center())
    return page


def solved(qtbot: QtBot, window: MainWindow) -> None:
    """Wait until heat belongs to the build in view."""

    def is_solved() -> bool:
        answer = window.solving.answer
        return answer is not None and answer.heat_revision == window.document.build.revision and bool(answer.heat)

    qtbot.waitUntil(is_solved)


def point_of(window: MainWindow) -> HeatPoint:
    return window.solving.answer.in_view.point


def test_the_sentence_says_how_far_the_warmest_is_from_its_limit(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Temperatures")
    warmest = heat_point(window.document.build).warmest
    half = window.solving.answer.in_view.bands[f"{warmest.name}, temperature_c"]
    at, margin = (with_band(value, half) for value in (warmest.temperature, warmest.margin))
    said = f"{warmest.name} reaches {at} °C, {margin} K below its limit"
    assert page.headline.text() == figures.unbroken(said)


def test_every_component_has_a_bar_to_its_temperature_and_a_stroke_at_its_limit(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Temperatures")
    bars = page.pages["Temperatures"].components.bars
    expected = heat_point(window.document.build).components
    assert [bar.item for bar in bars] == [each.part for each in expected]
    assert [bar.value for bar in bars] == pytest.approx([each.temperature for each in expected], abs=1e-4)
    assert [bar.limit for bar in bars] == [each.limit for each in expected]


def test_a_click_on_a_bar_selects_its_part_and_arrows_move_on(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Temperatures")
    rows = page.pages["Temperatures"].components
    QTest.mouseClick(rows, Qt.MouseButton.LeftButton, pos=rows.row_middle(1).toPoint())
    assert window.document.selection == {rows.bars[1].item}
    assert rows.ids == {rows.bars[1].item}
    QTest.keyClick(rows, Qt.Key.Key_Down)
    assert window.document.selection == {rows.bars[2].item}
    QTest.keyClick(rows, Qt.Key.Key_Up)
    QTest.keyClick(rows, Qt.Key.Key_Up)
    QTest.keyClick(rows, Qt.Key.Key_Up)
    assert window.document.selection == {rows.bars[0].item}


def test_a_click_on_the_staircase_selects_the_part_there(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Temperatures")
    stairs = page.pages["Temperatures"].stairs
    block = next(step for step in stairs.steps() if step.id == "processor")
    x = round(stairs.x_of((block.start + block.end) / 2))
    QTest.mouseClick(stairs, Qt.MouseButton.LeftButton, pos=QPoint(x, stairs.height() // 2))
    assert window.document.selection == {"processor"}
    assert "enters at" in stairs.tip(block)


def test_a_part_on_another_branch_leads_the_staircase_through_it(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Temperatures")
    stairs = page.pages["Temperatures"].stairs
    other = ({"graphics_1", "graphics_2"} - {step.id for step in stairs.steps()}).pop()
    window.document.select({other})
    assert other in {step.id for step in stairs.steps()}


def test_a_load_case_chosen_in_the_table_comes_into_view_everywhere(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Temperatures")
    table = page.pages["Temperatures"].cases
    names = [case.name for case in window.document.build.load_cases]
    assert [row.cells[0] for row in table.rows()] == names
    index = table.model().index(1, 0)
    table.scrollTo(index)
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=table.visualRect(index).center())
    assert point_of(window).case.name == names[1]
    assert page.case.currentText() == names[1]
    page.case.setFocus()
    QTest.keyClick(page.case, Qt.Key.Key_Up)
    assert point_of(window).case.name == names[0]


def test_both_sides_of_the_balance_are_as_long_and_stand_in_the_tables(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Heat budget").pages["Heat budget"]
    for side, pieces in enumerate(page.chart.sides):
        assert pieces[0].start == 0
        assert pieces[-1].end == pytest.approx(1.0, abs=1e-5)
        rows = page.sides[side].rows()
        assert [row.cells[0] for row in rows[:-1]] == [f"{each.letter}  {each.line.name}" for each in pieces]
        assert rows[-1].cells[:2] == ("together", f"{heat_balance(point_of(window)).total:.0f}")


def test_a_click_on_a_piece_of_the_balance_selects_its_part(qtbot: QtBot, window: MainWindow):
    chart = open_view(qtbot, window, "Heat budget").pages["Heat budget"].chart
    piece = chart.sides[1][0]
    QTest.mouseClick(chart, Qt.MouseButton.LeftButton, pos=chart.box_of(1, piece).center().toPoint())
    assert window.document.selection == {piece.line.item}
    assert chart.ids == {piece.line.item}


def test_heat_without_a_way_out_is_a_piece_of_its_own():
    into, out = lettered(heat_balance(heat_point(machine(fans=0))))
    assert [piece.line.name for piece in out] == ["no way out"]
    assert out[0].has_no_way
    assert out[0].letter == chr(ord(into[-1].letter) + 1)


def test_the_air_shows_the_fans_against_the_resistance_with_each_one_stopped(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Air").pages["Air"]
    words = page.curves.plot.label_texts()
    heat = point_of(window)
    flow = sum(fan.flow for fan in heat.fans) * 3600
    assert f"all run: {flow:.0f} m³/h" in words
    assert any(each.startswith("any one fan stopped") for each in words)
    assert len(page.fans.rows()) == len(heat.fans)
    assert [row.cells[0] for row in page.spaces.rows()] == [space.name for space in heat.spaces]


def test_supplies_stand_against_their_rating(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Heat budget").pages["Heat budget"]
    heat = point_of(window)
    assert [(bar.value, bar.limit) for bar in page.supplies.bars] == [
        (pytest.approx(each.load), each.rating) for each in heat.supplies
    ]


def test_an_older_answer_stays_dimmed_until_the_new_one_is_there(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Temperatures")
    before = page.headline.text()
    document, shown = window.document, []
    window.solving.answered.connect(
        lambda answer: shown.append((answer.heat_is_old, page.headline.property("tone"), page.headline.text()))
    )
    document.do(edits.change_placement(document.build, document.layout.name, "pump_a", speed_percent=60.0))
    solved(qtbot, window)
    assert shown[0] == (True, "soft", before)
    assert not shown[-1][0]
    assert page.headline.property("tone") == ""
    document.history.undo()


def test_the_verdict_names_the_warmest_component_and_its_margin(qtbot: QtBot, window: MainWindow):
    solved(qtbot, window)
    warmest = heat_point(window.document.build).warmest
    half = window.solving.answer.in_view.bands[f"{warmest.name}, temperature_c"]
    at, margin = (with_band(value, half) for value in (warmest.temperature, warmest.margin))
    assert window.verdict.warmest.value.whole == f"{at.partition(' ±')[0]} °C · {margin} K left"
    assert window.verdict.warmest.what.whole.startswith(warmest.name)
    QTest.mouseClick(window.verdict.warmest, Qt.MouseButton.LeftButton)
    assert isinstance(window.bench.page, HeatBench)
    assert window.document.selection == {warmest.part}


def test_a_machine_without_heat_says_what_to_do(qtbot: QtBot, make_window: Make):
    window = make_window(edits.change_part(machine(), "block", loads=()).build)
    page = open_view(qtbot, window, "Temperatures")
    assert page.headline.text() == "Nothing is heated yet"
    assert "loads" in page.line.text()
    assert not page.case_row.isVisibleTo(page)
    assert window.verdict.largest.isVisible()
    assert not window.verdict.warmest.isVisible()


def test_heat_without_a_radiator_is_told_and_never_a_number(qtbot: QtBot, make_window: Make):
    window = make_window(machine(fans=0))
    page = open_view(qtbot, window, "Temperatures")
    assert page.headline.text() == "Block: its coolant boils"
    assert page.pages["Temperatures"].stairs.shown is None
    assert page.pages["Temperatures"].components.bars[0].value is None
    assert "boils" in window.verdict.warnings.what.whole
    for view in page.pages:
        page.show_view(view)
        shown = " ".join(cell for table in _tables(page) for row in table.rows() for cell in row.cells)
        assert "nan" not in shown
        assert "inf" not in shown.replace("influence", "")


def test_a_component_past_its_limit_is_rust_and_over():
    hot = edits.change_part(
        machine(load=600.0), "block", loads=[{"name": "chip", "heat_w": 600.0, "limit_c": 60.0}]
    ).build
    (chip,) = heat_point(hot).components
    assert heat_words.needs_attention(chip, chip.tolerance) == "rust"
    assert heat_words.margin(chip, chip.tolerance).endswith("K over")
    assert heat_words.headline(CaseHeat(heat_point(hot))).endswith("K above its limit")


def test_a_margin_within_its_band_is_amber():
    (chip,) = heat_point(machine(load=200.0)).components
    near = edits.change_part(
        machine(load=200.0), "block",
        loads=[{"name": "chip", "heat_w": 200.0, "limit_c": chip.temperature + 1.0, "resistance_k_w": 0.05}],
    ).build  # fmt: skip
    (chip,) = heat_point(near).components
    assert heat_words.needs_attention(chip, chip.tolerance) == "amber"


def test_bars_keep_their_axis_while_a_drag_changes_little(qtbot: QtBot):
    rows = BarRows("bars")
    qtbot.addWidget(rows)
    rows.resize(400, 200)
    rows.show_bars([Bar("a", "A", 70.0, "")], 20.0, "")
    before = rows._x(60.0)
    rows.show_bars([Bar("a", "A", 69.0, "")], 20.0, "")
    assert rows._x(60.0) == before
    rows.show_bars([Bar("a", "A", 30.0, "")], 20.0, "")
    assert rows._x(60.0) > before


@pytest.mark.parametrize("view", ["Temperatures", "Heat budget", "Air"])
def test_every_view_paints_in_the_dark_too(qtbot: QtBot, window: MainWindow, view: str):
    page = open_view(qtbot, window, view)
    light = page.grab().toImage()
    themes.follow(Follow.DARK)
    assert page.grab().toImage().pixelColor(2, page.height() - 2) == DARK.bench
    assert light != page.grab().toImage()


@pytest.mark.parametrize("view", ["Temperatures", "Heat budget", "Air"])
def test_nothing_is_wider_than_the_bench_at_1280_by_800(qtbot: QtBot, window: MainWindow, view: str):
    window.resize(1280, 800)
    page = open_view(qtbot, window, view)
    inner = page.pages[view]
    viewport = inner.parentWidget()
    tables = [table for table in _tables(page) if table.isVisible()]

    def have_room() -> bool:
        ends = [table.mapTo(viewport, QPointF(table.width(), 0).toPoint()).x() for table in tables]
        return max([inner.width(), *ends]) <= viewport.width()

    qtbot.waitUntil(have_room)
    assert window.width() == 1280


def _tables(page: HeatBench):
    temperatures, budget, air = page.pages["Temperatures"], page.pages["Heat budget"], page.pages["Air"]
    return (temperatures.cases, *budget.sides, air.fans, air.radiators, air.spaces)


def test_the_layout_in_view_decides_what_is_solved(qtbot: QtBot, window: MainWindow):
    open_view(qtbot, window, "Temperatures")
    other = window.document.build.layouts[1].name
    window.document.view_layout(other)
    qtbot.waitUntil(lambda: window.solving.answer.layout == other and bool(window.solving.answer.heat))
    expected = heat_point(window.document.build, other).warmest.temperature
    assert point_of(window).warmest.temperature == pytest.approx(expected, abs=1e-4)
    assert other != LAYOUT

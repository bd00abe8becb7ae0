"""Every answer is shown in the builder's own units: figures and headings together, at once when the choice changes.

Factors: NIST Special Publication 811, appendix B.
"""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from app import figures
from app.answer_table import AnswerTable, Row
from app.compare import words
from app.failing.alarm_view import _level
from app.measures import System, measures
from app.window import MainWindow
from loopsim.studies.comparing.results import ComparedRow

GALLON, FOOT, PSI, INCH = 3.785411784e-3, 0.3048, 6894.757, 0.0254  # in SI


@pytest.fixture
def own(window: MainWindow) -> Iterator[MainWindow]:
    """A window whose choice of units does not outlive it."""
    yield window
    measures.choose(System.SI)


def bench(qtbot: QtBot, window: MainWindow, name: str):
    """A bench with an answer, first in SI."""
    window.bench.show_bench(name)
    qtbot.waitUntil(lambda: window.solving.answer is not None and window.solving.answer.point is not None)
    return window.bench.page


def column(table: AnswerTable, at: int) -> list[float]:
    return [float(row.cells[at].replace("−", "-")) for row in table.rows() if row.cells[at] != figures.NONE]


@pytest.mark.parametrize(
    ("value", "unit", "si", "us"),
    [
        (300e-3 / 3600, "l_h", "300 L/h", "1.32 US gal/min"),
        (0.0, "l_h", "0 L/h", "0 US gal/min"),
        (2.4, "m", "2.40 m", "7.87 ft"),
        (-0.1, "m", "−0.10 m", "−0.33 ft"),
        (23_640.0, "kpa", "23.6 kPa", "3.4 psi"),
        (1000.0, "kpa", "1.0 kPa", "0.15 psi"),
        (37.0, "c", "37.0 °C", "98.6 °F"),
        (12.3, "k", "12 K", "22 °F"),  # a difference: 9/5, and no 32
        (80 / 3600, "m3_h", "80.0 m³/h", "47.1 ft³/min"),
        (0.0254, "mm", "25 mm", "1.00 in"),
        (100e-6, "ml", "100 mL", "3.38 US fl oz"),
        (None, "c", "–", "–"),
    ],
)
def test_an_amount_has_the_unit_and_the_digits_of_the_choice(value: float | None, unit: str, si: str, us: str) -> None:
    assert figures.amount(value, unit) == si
    measures.choose(System.CUSTOMARY)
    try:
        assert figures.amount(value, unit) == us
    finally:
        measures.choose(System.SI)


@pytest.mark.parametrize(("l_h", "si", "us"), [(6.0, "+6", "+0.03"), (-30.0, "−30", "−0.13"), (0.2, "", "")])
def test_a_change_is_in_the_unit_of_what_it_changes(l_h: float, si: str, us: str) -> None:
    assert figures.change(l_h / 3.6e6, "l_h", 0) == si
    measures.choose(System.CUSTOMARY)
    try:
        assert figures.change(l_h / 3.6e6, "l_h", 0) == us
    finally:
        measures.choose(System.SI)


def test_headings_and_figures_of_a_table_change_together(qtbot: QtBot) -> None:
    table = AnswerTable(("part", "flow\n{l_h}"))
    qtbot.addWidget(table)
    flow = 300e-3 / 3600
    table.show_rows([Row("", ("Loop", figures.number(flow, "l_h")))])
    measures.choose(System.CUSTOMARY)
    try:
        assert (table.headings()[1], table.rows()[0].cells[1]) == ("flow\nL/h", "300")
        table.show_rows([Row("", ("Loop", figures.number(flow, "l_h")))])
        assert (table.headings()[1], table.rows()[0].cells[1]) == ("flow\nUS gal/min", "1.32")
    finally:
        measures.choose(System.SI)


def test_budget_and_grade_line_follow_the_choice_at_once(qtbot: QtBot, own: MainWindow) -> None:
    page = bench(qtbot, own, "Flow")
    qtbot.waitUntil(lambda: bool(page.table.rows()))
    point = own.solving.answer.point
    assert page.table.headings()[3:5] == ("drop\nkPa", "flow\nL/h")
    own._on_units(System.CUSTOMARY)
    assert page.table.headings()[3:5] == ("drop\npsi", "flow\nUS gal/min")
    largest = point.budget[0]
    assert column(page.table, 3)[0] == pytest.approx(abs(largest.dp) / PSI, abs=0.06)
    assert column(page.table, 4)[0] == pytest.approx(abs(largest.flow) * 60 / GALLON, abs=0.006)
    assert "US" in page.line.text()
    assert "L/" not in page.line.text()
    page.views.setCurrentIndex(1)
    grade = page.grade
    qtbot.waitUntil(lambda: bool(grade.table.rows()))
    assert grade.table.headings() == (
        "at", "distance\nft", "height\nin", "head\nft", "gauge\npsi", "absolute\npsi",
    )  # fmt: skip
    points = grade.line.points
    assert column(grade.table, 1)[-1] == pytest.approx(points[-1].distance / FOOT, abs=0.06)
    assert column(grade.table, 2)[-1] == pytest.approx(points[-1].elevation / INCH, abs=0.006)
    own._on_units(System.SI)
    assert column(grade.table, 2)[-1] == pytest.approx(1000 * points[-1].elevation, abs=0.6)


def test_the_choice_of_units_says_what_stays_si(window: MainWindow) -> None:
    units = next(each for each in window.findChildren(QMenu) if each.title() == "&Units")
    assert units.toolTipsVisible()
    assert all("stay SI" in each.toolTip() for each in units.actions())


def test_temperatures_air_and_their_bars_follow_the_choice_at_once(qtbot: QtBot, own: MainWindow) -> None:
    page = bench(qtbot, own, "Heat")
    qtbot.waitUntil(lambda: own.solving.answer.in_view is not None and len(own.solving.answer.heat) > 1)
    view = page.pages["Temperatures"]
    qtbot.waitUntil(lambda: bool(view.components.bars))
    own._on_units(System.CUSTOMARY)
    found = own.solving.answer.in_view.point
    assert view.cases.headings()[2:5] == ("margin\n°F", "coolant\nrise, °F", "air\nft³/min")
    margins = [each.point.warmest.margin for each in own.solving.answer.heat]
    assert column(view.cases, 2) == pytest.approx([9 / 5 * each for each in margins], abs=0.6)
    warmest = found.components[0]
    bar = next(each for each in view.components.bars if each.name == warmest.name)
    assert bar.value == pytest.approx(9 / 5 * warmest.temperature + 32)
    assert bar.limit == pytest.approx(9 / 5 * warmest.limit + 32)
    assert "°C" not in bar.words + page.line.text() + view.components._caption
    page.show_view("Air")
    air = page.pages["Air"]
    qtbot.waitUntil(lambda: bool(air.fans.rows()))
    assert air.fans.headings()[1:3] == ("air\nft³/min", "pressure\nin of water")
    flows = [fan.flow * 60 / FOOT**3 for fan in found.fans]
    assert column(air.fans, 1) == pytest.approx(flows, abs=0.6)
    own._on_units(System.SI)
    assert air.fans.headings()[1:3] == ("air\nm³/h", "pressure\nPa")
    assert column(air.fans, 1) == pytest.approx([fan.flow * 3600 for fan in found.fans], abs=0.6)


def test_failures_follow_the_choice_at_once(qtbot: QtBot, own: MainWindow) -> None:
    page = bench(qtbot, own, "Failures")
    qtbot.waitUntil(lambda: page.catalogue.base is not None and bool(page.catalogue.cases))
    case = page.catalogue.cases[0]
    page._on_chosen(case)
    own._on_units(System.CUSTOMARY)
    base = page.catalogue.base
    flow, *others = page.table.rows()
    assert page.table.headings()[4] == "left to\nlimit, °F"
    assert flow.cells[1] == "US gal/min"
    shown = [float(cell) for cell in flow.cells[2:4]]
    assert shown == pytest.approx([each * 60 / GALLON for each in (base.point.loop_flow, case.flow)], abs=0.006)
    warm = next(row for row in others if row.cells[1] == "°F")
    found = next(each for each in base.components if each.name == warm.cells[0])
    assert float(warm.cells[2]) == pytest.approx(9 / 5 * found.temperature + 32, abs=0.06)
    assert not {"L/h", "°C", "m³/h"} & {row.cells[1] for row in others}
    assert "US" in page.cases.model().index(0, 0).data()
    assert all("L/" not in page.cases.model().index(n, 0).data() for n in range(page.cases.model().rowCount()))
    own._on_units(System.SI)
    assert page.table.rows()[0].cells[1] == "L/h"


def test_alarm_levels_are_read_in_the_unit_of_the_choice() -> None:
    assert _level(150, "l_h") == "150 L/h"
    measures.choose(System.CUSTOMARY)
    try:
        assert (_level(150, "l_h"), _level(40.0, "c")) == ("0.66 US gal/min", "104 °F")
    finally:
        measures.choose(System.SI)


ROW = ComparedRow("flow_l_h", "flow", "l_h", "more", (334 / 3.6e6, 272 / 3.6e6))


@pytest.mark.usefixtures("customary")
def test_compared_figures_and_differences_follow_the_choice() -> None:
    """334 L/h are 1.4705 US gal/min, 62 L/h 0.2730; 20 K are 36 °F, without the 32 of a temperature."""
    assert words.heading(ROW) == "flow, US gal/min"
    assert [words.cell(ROW, number) for number in (0, 1)] == ["◆ 1.47", "1.20"]
    assert words.difference(ROW, 0, 1) == "◆ +0.27"
    margin = ComparedRow("margin_k, warm day", "margin of the warmest, warm day", "k", "more", (20.0, 20.0))
    assert (words.heading(margin), words.cell(margin, 0)) == ("margin, warm day, °F", "36")
    power = ComparedRow("pump_power_w", "power of the pumps", "w", "less", (9.1, 12.0))
    assert (words.heading(power), words.cell(power, 1)) == ("pump power, W", "12.0")


def test_filling_follows_the_choice_at_once(qtbot: QtBot, own: MainWindow) -> None:
    page = bench(qtbot, own, "Fill")
    qtbot.waitUntil(lambda: page.watch.found is not None and bool(page.air.table.rows()))
    qtbot.waitUntil(lambda: page.plans.drained is not None and not page.plans.is_working)
    own._on_units(System.CUSTOMARY)
    assert page.air.table.headings()[1:4] == ("at most\nUS fl oz", "up to\nin", "flow\nft/s")
    points = page.watch.found.points
    assert column(page.air.table, 1) == pytest.approx([each.gas / GALLON * 128 for each in points], abs=0.06)
    assert column(page.air.table, 2) == pytest.approx([each.height / INCH for each in points], abs=0.006)
    assert "US fl oz" in page.line.text().replace("\u00a0", " ")
    assert page.drain.table.headings()[1:] == ("left\nUS fl oz", "of it blown\nfree, US fl oz", "up to\nin")
    page.show_view("Swell")
    assert page.swell.table.headings()[1:5] == ("hottest\n°F", "swell\nUS fl oz", "sealed, hot\npsi", "allowed\npsi")
    hottest = [9 / 5 * each.hot_c + 32 for each in page.swell.found]
    assert column(page.swell.table, 1) == pytest.approx(hottest, abs=0.6)
    own._on_units(System.SI)
    assert page.air.table.headings()[1:4] == ("at most\nmL", "up to\nmm", "flow\nm/s")
    assert page.swell.table.headings()[1] == "hottest\n°C"


def test_the_axes_of_pump_curves_follow_the_choice_at_once(qtbot: QtBot, own: MainWindow) -> None:
    page = bench(qtbot, own, "Flow")
    plot = page.curves.plot
    qtbot.waitUntil(lambda: plot.shown is not None)
    own._on_units(System.CUSTOMARY)
    assert (plot._flow_words.text(), plot._head_words.text()) == ("flow, US gal/min", "head, ft")
    flow, head = plot.shown.flow, plot.shown.head
    assert plot.axes.across(flow) == pytest.approx(flow * 60 / GALLON)
    assert plot.axes.up(head) == pytest.approx(head / FOOT)
    assert plot._ends[0].end < 2 * plot.axes.across(plot._reach(plot.shown)[0])
    own._on_units(System.SI)
    assert (plot._flow_words.text(), plot._head_words.text()) == ("flow, L/h", "head, m")
    assert plot.axes.across(flow) == pytest.approx(flow * 3.6e6)

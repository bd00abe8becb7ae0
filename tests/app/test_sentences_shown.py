"""What studies say in whole sentences is told in the builder's units, on every bench, and at once when they change."""

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtWidgets import QLabel, QListWidget
from pytestqt.qtbot import QtBot

from app import figures
from app.fill.fall_row import FallRow
from app.fill.fill_view import line
from app.measures import System, measures
from app.window import MainWindow
from loopsim.studies.fill import LevelFall, fill_plan
from loopsim.studies.heat import component_sentence
from loopsim.studies.sentence import Sentence, quantity
from tests.studies.failing.struck import LAYOUT, machine

SI = re.compile(r"\d\u00a0?\s?(L/\u2060?h|kPa|bar|°C|K|mL|mm|m|Pa|m/\u2060?s|m³/h)\b(?!\w)")
VIEWS = {
    "Draw": (),
    "Flow": (),
    "Heat": ("Temperatures", "Air"),
    "Fill": ("Air", "Fill", "Drain", "Leak test", "Swell", "Covers"),
}


@pytest.fixture
def own(make_window) -> Iterator[MainWindow]:
    """A window on a small machine, whose choice of units does not outlive it."""
    yield make_window(machine(load=250.0, limit=72.0))
    measures.choose(System.SI)


def told(window: MainWindow) -> Iterator[str]:
    """Every text that stands on the bench in view, and below the plan."""
    for holder in (window.bench.page, window.verdict):
        yield from (each.text() for each in holder.findChildren(QLabel) if each.isVisible())
        for steps in (each for each in holder.findChildren(QListWidget) if each.isVisible()):
            yield from (steps.item(number).text() for number in range(steps.count()))


def left_in_si(window: MainWindow) -> list[str]:
    return [text for text in told(window) if SI.search(text) and "at 1 m" not in text.replace("\u00a0", " ")]


def test_no_bench_keeps_a_sentence_in_si(qtbot: QtBot, own: MainWindow) -> None:
    for name, views in VIEWS.items():
        own.bench.show_bench(name)
        page = own.bench.page
        qtbot.waitUntil(lambda: own.solving.answer is not None and len(own.solving.answer.heat) > 0)
        qtbot.waitUntil(lambda page=page: not page.is_working)
        for view in views or ("",):
            if view:
                page.show_view(view)
                qtbot.waitUntil(lambda page=page: not page.is_working)
            own._on_units(System.CUSTOMARY)
            assert left_in_si(own) == [], f"{name}, {view}"
            own._on_units(System.SI)


def test_a_sentence_begins_with_a_capital_and_ends_with_a_stop() -> None:
    said = Sentence(f"level at {quantity(0.044, 'mm')}")
    assert figures.sentence(said) == "Level at 44 mm."
    assert figures.capitalised(said) == "Level at 44 mm"
    assert figures.sentence("") == ""


@pytest.mark.usefixtures("customary")
def test_no_line_break_parts_a_unit_of_several_words() -> None:
    assert figures.unbroken(Sentence(quantity(0.0635e-3, "l_h"))) == "1.01\u00a0US\u00a0gal/\u2060min"
    assert figures.unbroken(Sentence(quantity(100e-6, "ml"))) == "3.38\u00a0US\u00a0fl\u00a0oz"
    assert figures.unbroken("2 in of water") == "2\u00a0in\u00a0of\u00a0water"


def test_a_reading_of_the_level_keeps_its_length_when_units_change(qtbot: QtBot) -> None:
    row = FallRow()
    qtbot.addWidget(row)
    row.show_fall(LevelFall("vessel", "Vessel", 0.004, 2e-3, "expected"))
    row.read.setValue(12.7)
    measures.choose(System.CUSTOMARY)
    try:
        assert (row.read.value(), row.read.suffix()) == (0.5, " in")
        assert row.words.text().replace("\u00a0", " ") == "up to 0.86 US fl oz of air are inside"  # 25.4 mL
    finally:
        measures.choose(System.SI)
    assert (row.read.value(), row.read.suffix()) == (12.7, " mm")


def test_what_takes_no_time_is_not_said_to_take_some() -> None:
    plan = replace(fill_plan(machine(), LAYOUT), pouring=20.0, pumping=0.0)
    assert line(plan).startswith("20 s of pouring, bleeding aside. ")
    assert line(replace(plan, pumping=2.0)).startswith("20 s of pouring and 2.0 s of pumping, bleeding aside. ")


def test_the_headline_of_heat_follows(own: MainWindow, qtbot: QtBot) -> None:
    own.bench.show_bench("Heat")
    qtbot.waitUntil(lambda: own.solving.answer is not None and own.solving.answer.in_view is not None)
    component = own.solving.answer.in_view.point.components[0]
    own._on_units(System.CUSTOMARY)
    assert "°F" in own.bench.page.headline.text()
    assert figures.told(component_sentence(component)) != component_sentence(component)

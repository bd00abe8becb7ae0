"""The view of orders on the bench of comparison: looked for, shown as small drawings, one taken, with real clicks."""

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.compare.order_list import figures_of
from app.compare.order_view import OrderView
from app.window import MainWindow
from loopsim.build import edits
from loopsim.studies import heat_point
from loopsim.studies.arranging import Looking, arrange, each_arrangement
from tests.studies.arranging.loops import LAYOUT, block, loop, radiator

BUILD = loop(block(1, 8.0), radiator(1))
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def view(qtbot: QtBot, make_window) -> OrderView:
    window: MainWindow = make_window(BUILD)
    window.resize(1280, 900)
    window.bench.show_bench("Compare")
    window.bench.page.show_view("Order")
    made = window.bench.page.order
    qtbot.waitUntil(made.isVisible)
    return made


def look(qtbot: QtBot, view: OrderView) -> None:
    QTest.mouseClick(view.search.button, LEFT)
    qtbot.waitUntil(lambda: not view.search.is_working)


def choose(view: OrderView, row: int) -> None:
    QTest.mouseClick(view.list.viewport(), LEFT, pos=view.list.visualRect(view.list.model().index(row)).center())


def test_orders_are_looked_for_on_request_and_shown_with_their_figures(qtbot: QtBot, view: OrderView) -> None:
    assert not view.list.isVisible()
    look(qtbot, view)
    best = arrange(BUILD).best
    assert [each.words for each in view.list.rows] == [each.words for each in best]
    assert view.list.model().index(0).data() == f"{best[0].words}: {figures_of(best[0])}"
    assert view.now.text().startswith("As drawn: ")
    assert view.search.words.text() == f"{LAYOUT}: {len(best)} found"
    drawn = {view.list.picture(each).toImage().cacheKey() for each in view.list.rows}
    assert len(drawn) == len(best)
    assert not view.take.isEnabled(), "none is chosen yet"


def test_another_figure_puts_another_order_first(qtbot: QtBot, view: OrderView) -> None:
    look(qtbot, view)
    view.first.setCurrentIndex(view.first.findText("flow"))
    flows = [each.flow for each in view.list.rows if each.is_sound]
    assert flows[0] == max(flows)
    view.first.setCurrentIndex(view.first.findText("tube"))
    assert view.list.rows[0].tube == min(each.tube for each in view.list.rows)


def test_the_chosen_one_becomes_a_layout_in_view_that_undo_takes_away(qtbot: QtBot, view: OrderView) -> None:
    look(qtbot, view)
    choose(view, 1)
    chosen = view.list.in_view
    assert chosen is view.list.rows[1]
    before = view.document.build
    QTest.mouseClick(view.take, LEFT)
    document = view.document
    assert document.layout.name == "rearranged"
    assert heat_point(document.build, "rearranged").point.loop_flow == pytest.approx(chosen.flow, rel=1e-12)
    QTest.mouseClick(view.take, LEFT)
    assert [layout.name for layout in document.build.layouts] == [LAYOUT, "rearranged", "rearranged 2"]
    document.history.undo()
    document.history.undo()
    assert document.build is before


def test_a_search_can_be_stopped_and_leaves_the_build_alone(
    qtbot: QtBot, view: OrderView, monkeypatch: pytest.MonkeyPatch
) -> None:
    def endless(*asked: Any, **more: Any) -> Iterator[Looking]:
        while True:
            yield from each_arrangement(*asked, **more)

    monkeypatch.setattr("app.compare.order_view.each_arrangement", endless)
    before = view.document.build
    QTest.mouseClick(view.search.button, LEFT)
    assert view.search.button.text() == "Stop"
    qtbot.waitUntil(lambda: len(view.found) > 1)
    assert ", " in view.search.words.text(), "says how far it is"
    QTest.mouseClick(view.search.button, LEFT)
    assert not view.search.is_working
    assert (view.search.button.text(), len(view.list.rows) > 0) == ("Look for orders", True)
    assert view.document.build is before


def test_what_was_found_for_an_earlier_sketch_cannot_be_taken(qtbot: QtBot, view: OrderView) -> None:
    look(qtbot, view)
    choose(view, 0)
    assert view.take.isEnabled()
    view.document.do(edits.change_placement(view.document.build, LAYOUT, "pump", speed_percent=80.0))
    assert not view.take.isEnabled()
    assert "(sketch before)" in view.search.words.text()
    view.document.history.undo()
    assert view.take.isEnabled()


def test_what_cannot_be_arranged_is_said_in_words(qtbot: QtBot, make_window) -> None:
    window = make_window(edits.remove_part(BUILD, LAYOUT, "radiator_1").build)
    window.bench.show_bench("Compare")
    window.bench.page.show_view("Order")
    view = window.bench.page.order
    QTest.mouseClick(view.search.button, LEFT, pos=QPoint(8, 8))
    qtbot.waitUntil(lambda: not view.search.is_working)
    assert "cannot be arranged" in view.search.words.text()

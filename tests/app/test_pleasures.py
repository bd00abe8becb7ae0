"""Changes counted from where a drag began, and pumps stopped for as long as a key is held."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QSettings, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.build_files import sample_build
from app.document import Document
from app.plan.coordinates import to_scene
from app.window import MainWindow
from loopsim.build import edits
from loopsim.studies import operating_point
from tests.app.test_window import shows_flow

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Iterator[MainWindow]:
    settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    window = MainWindow(Document(sample_build("render-plinth")), settings, shelf=tmp_path / "shelf.json")
    window.resize(1280, 800)
    with qtbot.waitExposed(window):
        window.show()
    yield window
    window.leave()


def spot(window: MainWindow, part: str) -> QPoint:
    place = window.document.layout.placement(part)
    return window.plan.mapFromScene(to_scene(place.x_mm, place.y_mm))


def test_a_pump_is_stopped_for_as_long_as_the_key_is_held(window: MainWindow) -> None:
    document, verdict = window.document, window.verdict
    usual = operating_point(document.build, document.layout.name).loop_flow
    document.select({"pump_a"})
    window.plan.setFocus()
    QTest.keyPress(window.plan, Qt.Key.Key_S)
    expected = operating_point(document.build, document.layout.name, {"pump_a"}).loop_flow
    assert verdict.flow.value.whole == f"{expected * 3.6e6:.0f} L/h"
    assert verdict.flow.what.whole == "flow with Pump A stopped"
    QTest.keyRelease(window.plan, Qt.Key.Key_S)
    assert verdict.flow.what.whole == "flow"
    assert shows_flow(window, usual * 3.6e6)
    assert document.history.count() == 0


def test_the_key_without_a_pump_says_what_it_is_for(window: MainWindow) -> None:
    window.document.select(())
    said: list[str] = []
    window.plan.message.connect(said.append)
    window.plan.setFocus()
    QTest.keyClick(window.plan, Qt.Key.Key_S)
    assert any("hold S" in each for each in said)


def test_a_drag_counts_changes_from_where_it_began(window: MainWindow) -> None:
    """A block moved 90 mm makes its runs longer; while the button is down the loss of flow stands beside the flow."""
    document, plan, verdict = window.document, window.plan, window.verdict
    before = document.build
    usual = operating_point(document.build, document.layout.name).loop_flow
    start = spot(window, "graphics_1")
    QTest.mousePress(plan.viewport(), LEFT, NONE, start)
    for step in range(1, 7):
        QTest.mouseMove(plan.viewport(), start + QPoint(0, -2 * step))
    was = operating_point(before, document.layout.name).loop_flow
    now = operating_point(document.build, document.layout.name).loop_flow
    change = round((now - was) * 3.6e6)
    shown = verdict.flow.value.whole
    assert document.build is not before
    assert shown == (f"{now * 3.6e6:.0f} L/h ({change:+d})".replace("-", "−") if change else f"{now * 3.6e6:.0f} L/h")
    QTest.mouseRelease(plan.viewport(), LEFT, NONE, start + QPoint(0, -12))
    assert "(" not in verdict.flow.value.whole
    document.history.undo()
    assert shows_flow(window, usual * 3.6e6)


def test_the_change_has_a_sign(qtbot: QtBot, window: MainWindow) -> None:
    document, verdict = window.document, window.verdict
    verdict.compare_from_here(True)
    document.do(edits.change_placement(document.build, document.layout.name, "pump_a", speed_percent=80))
    qtbot.waitUntil(lambda: "(−" in verdict.flow.value.whole)
    verdict.compare_from_here(False)
    assert "(" not in verdict.flow.value.whole

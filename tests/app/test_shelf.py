"""Classes, shelf and search in the window, with real events."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.offer_button import OfferButton
from app.plan.coordinates import to_scene
from app.window import MainWindow
from loopsim.build.shelf import change_shelf, read_shelf
from loopsim.parts import KINDS, Fan, Pump, Tube

LEFT, CTRL, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.NoModifier
MEASURED = Pump(id="p", name="Measured pump", rated_power_w=12.5)


def pixel(window: MainWindow, x_mm: float, y_mm: float) -> QPoint:
    return window.plan.to_pixel(to_scene(x_mm, y_mm)).toPoint()


def click_in_plan(window: MainWindow, x_mm: float, y_mm: float) -> None:
    port, at = window.plan.viewport(), pixel(window, x_mm, y_mm)
    QTest.mouseMove(port, at)
    QTest.mouseClick(port, LEFT, NONE, at)
    QApplication.processEvents()


def keep(window: MainWindow, path: Path, *items: object) -> None:
    """What another program puts on the shelf, and the window has seen."""
    for item in items:
        change_shelf(path, lambda shelf, item=item: shelf.with_item(item))
    window.shelf.read()


def buttons(window: MainWindow) -> list[OfferButton]:
    return window.drawer.findChildren(OfferButton)


def shown(window: MainWindow) -> list[str]:
    return [button.offer.label for button in buttons(window) if button.isVisibleTo(window.drawer)]


@pytest.mark.parametrize("of", Pump.classes)
def test_a_class_is_placed_with_its_own_numbers(window: MainWindow, of: str):
    before = set(window.document.layout.placements)
    QTest.mouseClick(window.drawer.class_button("pump", of), LEFT)
    click_in_plan(window, 500, 420)
    (fresh,) = set(window.document.layout.placements) - before
    part = window.document.build.part(fresh)
    assert {name: getattr(part, name) for name in Pump.classes[of]} == Pump.classes[of]
    assert window.document.history.undoText() == f"Place {part.name}"


def test_every_class_of_every_kind_has_a_button(window: MainWindow):
    for name, kind in {**KINDS, "tube_run": Tube}.items():
        assert [button.offer.label for button in window.drawer.kinds[name].sizes] == [*kind.classes]


def test_a_tube_size_is_drawn_and_comes_into_the_build_once(window: MainWindow):
    document = window.document
    before = len(document.build.tubes)
    for run in [*document.layout.runs_by_id][:2]:
        document.select((run,))
        QTest.keyClick(window.plan, Qt.Key.Key_Delete)
        QTest.mouseClick(window.drawer.class_button("tube_run", "13/19"), LEFT)
        for key in (Qt.Key.Key_PageDown, Qt.Key.Key_Return, Qt.Key.Key_PageDown, Qt.Key.Key_Return):
            QTest.keyClick(window.plan, key)
        (drawn,) = document.selection
        assert document.build.tube(document.layout.run(drawn).tube).bore_mm == 13.0
    assert len(document.build.tubes) == before + 1


def test_a_kept_part_is_placed_as_a_copy_with_an_id_of_its_own(window: MainWindow, shelf_file: Path):
    window.document.select(("pump_a",))
    QTest.keyClick(window, Qt.Key.Key_K, CTRL)
    assert read_shelf(shelf_file).names == ("Pump A",)
    assert "Pump A is on your shelf" in window.message.text
    QTest.mouseClick(window.drawer.kept_button("Pump A"), LEFT)
    click_in_plan(window, 500, 420)
    (fresh,) = window.document.selection
    copy, original = window.document.build.part(fresh), window.document.build.part("pump_a")
    assert (copy.name, copy.curve) == ("Pump A 2", original.curve)
    assert copy.id != original.id
    window.document.history.undo()
    assert fresh not in window.document.build.parts_by_id
    assert read_shelf(shelf_file).names == ("Pump A",)


def test_the_menu_of_a_part_in_the_plan_selects_it_and_keeps_it(qtbot: QtBot, window: MainWindow, shelf_file: Path):
    place = window.document.layout.placement("reservoir")
    at, port = pixel(window, place.x_mm, place.y_mm), window.plan.viewport()
    QApplication.sendEvent(port, QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, port.mapToGlobal(at)))
    menu = window.plan.menu
    qtbot.waitUntil(menu.isVisible)
    assert window.document.selection == {"reservoir"}
    keep_it = next(action for action in menu.actions() if "shelf" in action.text())
    QTest.mouseClick(menu, LEFT, NONE, menu.actionGeometry(keep_it).center())
    assert read_shelf(shelf_file).names == (window.document.build.part("reservoir").name,)


def test_the_tube_of_a_selected_run_is_kept_and_drawn_from_the_shelf(window: MainWindow, shelf_file: Path):
    (run, *_) = window.document.layout.runs
    window.document.select((run.id,))
    QTest.keyClick(window, Qt.Key.Key_K, CTRL)
    tube = window.document.build.tube(run.tube)
    assert read_shelf(shelf_file).items == (tube,)
    QTest.mouseClick(window.drawer.kept_button(tube.name), LEFT)
    assert window.plan.gesture.draft.tube == tube


def test_with_several_things_selected_nothing_can_be_kept(window: MainWindow, shelf_file: Path):
    window.document.select(("pump_a", "pump_b"))
    QTest.keyClick(window, Qt.Key.Key_K, CTRL)
    assert not shelf_file.exists()


def test_what_is_taken_off_the_shelf_can_be_put_back(window: MainWindow, shelf_file: Path):
    keep(window, shelf_file, MEASURED, Tube(id="t", name="Bench tube"))
    button = window.drawer.kept_button("Measured pump")
    button.setFocus()
    QTest.keyClick(button, Qt.Key.Key_Delete)
    assert read_shelf(shelf_file).names == ("Bench tube",)
    assert [each.offer.label for each in window.drawer.kept.buttons] == ["Bench tube"]
    assert window.drawer.back.toolTip() == "Put Measured pump back"
    QTest.mouseClick(window.drawer.back, LEFT)
    assert read_shelf(shelf_file).item("Measured pump") == MEASURED
    assert window.drawer.back.isHidden()


def test_an_item_of_the_shelf_has_a_menu_that_places_it_and_takes_it_off(window: MainWindow, shelf_file: Path):
    keep(window, shelf_file, MEASURED)
    place, take_off = window.drawer.kept_button("Measured pump").menu_of_item().actions()
    place.trigger()
    assert window.plan.gesture.specimen == MEASURED
    take_off.trigger()
    assert read_shelf(shelf_file).items == ()


def test_what_one_window_keeps_appears_in_the_other_and_neither_loses_anything(
    qtbot: QtBot, make_window, sample, shelf_file: Path
):
    first, second = make_window(sample), make_window(sample)
    for window, part in ((first, "pump_a"), (second, "pump_b"), (first, "reservoir")):
        window.shelf.keep(window.document.build.part(part))
    names = sorted(sample.part(part).name for part in ("pump_a", "pump_b", "reservoir"))
    assert sorted(read_shelf(shelf_file).names) == names
    for window in (first, second):
        qtbot.waitUntil(lambda window=window: sorted(window.shelf.shelf.names) == names)
        assert len(window.drawer.kept.buttons) == 3


def test_an_unreadable_shelf_is_said_and_kept_aside(make_window, sample, shelf_file: Path):
    shelf_file.parent.mkdir()
    shelf_file.write_text("{half")
    window = make_window(sample)
    assert window.message.text.startswith("shelf.json: is not JSON")
    assert window.drawer.kept.buttons == []
    window.shelf.keep(MEASURED)
    assert read_shelf(shelf_file).names == ("Measured pump",)
    assert (shelf_file.parent / "shelf-unreadable-1.json").read_text() == "{half"


def test_a_shelf_that_cannot_be_written_is_one_clear_sentence(window: MainWindow, shelf_file: Path):
    shelf_file.parent.write_text("a file where the folder should be")
    window.shelf.keep(MEASURED)
    assert "shelf.json: cannot be written" in window.message.text
    assert window.drawer.kept.buttons == []


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("360", {"radiator", "360 mm"}),
        ("large pump", {"pump", "large 30 W"}),
        ("13/19", {"tube run", "13/19"}),
        ("GRAPHICS block", {"block", "graphics"}),
        ("acrylic membrane", {"expansion vessel"}),
        ("measured pump", {"Measured pump"}),
    ],
)
def test_a_search_goes_through_names_classes_and_help(
    window: MainWindow, shelf_file: Path, words: str, found: set[str]
):
    keep(window, shelf_file, MEASURED)
    QTest.keyClick(window, Qt.Key.Key_F, CTRL)
    QTest.keyClicks(window.drawer.search, words)
    assert set(shown(window)) == found


def test_return_in_the_search_takes_what_is_called_so_before_what_only_mentions_it(window: MainWindow):
    everything = shown(window)
    QTest.keyClicks(window.drawer.search, "fan")
    assert shown(window).index("radiator") < shown(window).index("fan")
    assert [button.offer.label for button in buttons(window) if button.property("first")] == ["fan"]
    QTest.keyClick(window.drawer.search, Qt.Key.Key_Return)
    assert isinstance(window.plan.gesture.specimen, Fan)
    assert shown(window) == everything


def test_a_search_without_an_answer_says_so_and_esc_shows_everything_again(window: MainWindow):
    everything = shown(window)
    QTest.keyClicks(window.drawer.search, "periscope")
    assert shown(window) == []
    assert window.drawer.nothing.isVisibleTo(window.drawer)
    QTest.keyClick(window.drawer.search, Qt.Key.Key_Return)
    assert window.plan.gesture is None
    QTest.keyClick(window.drawer.search, Qt.Key.Key_Escape)
    assert shown(window) == everything


def test_the_down_arrow_leads_from_the_search_to_the_first_answer(window: MainWindow):
    QTest.keyClicks(window.drawer.search, "radiator")
    QTest.keyClick(window.drawer.search, Qt.Key.Key_Down)
    assert window.focusWidget().offer.label == shown(window)[0]


def test_the_measured_flow_of_a_layout_is_typed_into_the_builds_sheet(qtbot: QtBot, window: MainWindow):
    window.document.select(())
    window.bench.show_bench("Draw")
    editor = window.bench.page.sheet.editor("measured_flow_l_h")
    QTest.keyClicks(editor.line, "305")
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert window.document.layout.measured_flow_l_h == 305.0
    window.bench.show_bench("Flow")
    qtbot.waitUntil(lambda: "Measured 305" in window.bench.page.line.text().replace("\u00a0", " "))
    window.document.history.undo()
    assert window.document.layout.measured_flow_l_h is None

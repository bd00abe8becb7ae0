"""Heights along the loop."""

from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.document import Document
from app.heights import Heights
from app.strip import ElevationStrip
from app.theme import LIGHT
from loopsim.build import Build, Layout, Placement, edits
from loopsim.parts import Block, Pump, Reservoir, Tee, Tube, TubeRun

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def strip(document, qtbot):
    widget = ElevationStrip(document, LIGHT)
    qtbot.addWidget(widget)
    widget.resize(700, 180)
    widget.show()
    return widget


def forked() -> Build:
    """Reservoir, pump, a tee, two blocks side by side, a tee, back to the reservoir."""
    parts = (
        Reservoir(id="vessel", name="Vessel"),
        Pump(id="pump", name="Pump"),
        Tee(id="split", name="Split"),
        Block(id="one", name="One"),
        Block(id="two", name="Two"),
        Tee(id="join", name="Join"),
    )
    placed = tuple(Placement(part=part.id, x_mm=100 + 100 * number, y_mm=100) for number, part in enumerate(parts))
    ends = [
        ("vessel.outlet", "pump.inlet"),
        ("pump.outlet", "split.a"),
        ("split.b", "one.inlet"),
        ("split.c", "two.inlet"),
        ("one.outlet", "join.a"),
        ("two.outlet", "join.c"),
        ("join.b", "vessel.inlet"),
    ]
    runs = tuple(TubeRun(id=f"r{number}", start=a, end=b, tube="tube") for number, (a, b) in enumerate(ends))
    layout = Layout(name="forked", placed=placed, runs=runs)
    return Build(name="Forked", tubes=(Tube(id="tube", name="Tube"),), parts=parts, layouts=(layout,))


def test_the_level_is_that_of_the_reservoir_where_it_stands(strip, document):
    assert strip.level_mm == 44
    document.do(edits.change_placement(document.build, document.layout.name, "vessel", height_mm=10))
    assert strip.level_mm == 54


def test_the_strip_follows_every_edit(strip, document):
    document.do(edits.remove_run(document.build, document.layout.name, "rise"))
    assert [stage.id for stage in strip.stages] == ["vessel", "suction", "pump"]
    document.history.undo()
    assert len(strip.stages) == 5


def test_names_do_not_overlap_in_their_rows(strip):
    columns = [strip.column_of(stage) for stage in strip.stages if stage.is_part]
    assert all(a.right() <= b.left() for a, b in pairwise(columns))
    assert strip._ways.rows == 1


def test_a_click_on_the_strip_selects_in_the_plan(strip, document):
    column = strip.column_of(strip.stages[2])
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, column.center().toPoint())
    assert document.selection == {"pump"}
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(5, 90))
    assert document.selection == frozenset()


def test_the_selected_part_stands_out(strip, document):
    before = strip.grab().toImage()
    document.select(("pump",))
    assert strip.grab().toImage() != before


def test_a_layout_of_many_parts_still_has_room_for_its_tubes(qtbot):
    strip = ElevationStrip(Document(forked()), LIGHT)
    qtbot.addWidget(strip)
    strip.resize(300, 140)
    assert not strip.grab().isNull()
    assert list(strip._ways.x_px) == sorted(strip._ways.x_px)
    assert strip._ways.x_px[-1] == pytest.approx(300 - strip.right)


def drag(widget, start: QPointF, *ways_px: float, modifiers=Qt.KeyboardModifier.NoModifier, release=True) -> None:
    """Press, move up by each of some ways, and let go."""
    QTest.mousePress(widget, LEFT, modifiers, start.toPoint())
    for up in ways_px:
        at = start - QPointF(0, up)
        event = QMouseEvent(QMouseEvent.Type.MouseMove, at, widget.mapToGlobal(at), LEFT, LEFT, modifiers)
        QApplication.sendEvent(widget, event)
    if release:
        QTest.mouseRelease(widget, LEFT, modifiers, (start - QPointF(0, ways_px[-1])).toPoint())


def stage_of(strip, item):
    return next(stage for stage in strip.stages if stage.id == item)


def height_of(document, part):
    return document.layout.placement(part).height_mm


def test_a_part_is_lifted_by_a_drag_as_one_step(strip, document):
    middle = strip.body_of(stage_of(strip, "pump")).center()
    up = 20.0 / strip.per_pixel_mm()
    drag(strip, middle, up / 2, up * 2, up)
    assert height_of(document, "pump") == pytest.approx(20, abs=1)
    assert document.history.count() == 1
    assert document.history.undoText() == "Lift Pump A"
    assert document.selection == {"pump"}
    document.history.undo()
    assert height_of(document, "pump") == 0


def test_escape_gives_a_drag_up_and_there_and_back_is_no_edit(strip, document):
    middle = strip.body_of(stage_of(strip, "pump")).center()
    drag(strip, middle, 30.0, release=False)
    assert height_of(document, "pump") > 0
    QTest.keyClick(strip, Qt.Key.Key_Escape)
    assert height_of(document, "pump") == 0
    drag(strip, middle, 30.0, 0.0)
    assert not document.history.canUndo()
    assert not document.history.canRedo()


def test_a_corner_of_a_run_is_lifted_where_the_strip_shows_it(strip, document):
    stage = stage_of(strip, "rise")
    number = stage.corners.index(1)
    at = QPointF(strip.x_of(stage.along_mm[number]), strip.y_of(stage.heights_mm[number]))
    drag(strip, at, 25.0 / strip.per_pixel_mm())
    first, second = document.layout.run("rise").corners
    assert second.height_mm == pytest.approx(first.height_mm + 25, abs=1)
    assert document.selection == {"rise"}


def test_the_level_and_the_lid_are_lifted_at_their_words(strip, document):
    x = strip.width() - strip.right + 20
    drag(strip, QPointF(x, strip._text_y(strip.level_mm)), 5.0 / strip.per_pixel_mm())
    assert strip.level_mm == pytest.approx(49, abs=1)
    drag(strip, QPointF(x, strip.y_of(strip.lid_mm)), -10.0 / strip.per_pixel_mm())
    assert document.build.enclosure.clear_height_mm == pytest.approx(70, abs=1)
    assert document.history.undoText() == "Change the clear height"


def test_the_arrows_lift_what_is_selected(strip, document):
    document.select(("block",))
    strip.setFocus()
    QTest.keyClick(strip, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(strip, Qt.Key.Key_Down)
    assert height_of(document, "block") == 9


def test_an_arrow_that_is_held_is_one_step(strip, document):
    document.select(("block",))
    strip.setFocus()
    for is_repeat in (False, True, True):
        press = QKeyEvent(QKeyEvent.Type.KeyPress, Qt.Key.Key_Up, Qt.KeyboardModifier.NoModifier, "", is_repeat)
        QApplication.sendEvent(strip, press)
    assert height_of(document, "block") == 3
    assert document.history.count() == 1


def test_a_double_click_begins_the_walk_with_another_part(strip):
    column = strip.column_of(stage_of(strip, "pump"))
    QTest.mouseDClick(strip, LEFT, pos=column.center().toPoint())
    assert [stage.id for stage in strip.stages][:2] == ["pump", "rise"]
    assert "from Pump A on" in strip.heading()
    QTest.mouseDClick(strip, LEFT, pos=QPoint(5, 90))
    assert strip.stages[0].id == "vessel"


@pytest.fixture
def heights(document, qtbot):
    widget = Heights(document, LIGHT)
    qtbot.addWidget(widget)
    widget.resize(900, 200)
    widget.show()
    return widget


def test_the_machine_is_seen_from_every_side(heights):
    heights.ways.setFocus()
    for edge in ("front", "right", "back", "left"):
        QTest.keyClick(heights.ways, Qt.Key.Key_Down)
        assert heights.currentWidget() is heights.side
        assert heights.side.seen.edge == edge
        assert heights.side._heading().startswith(f"Seen from the {edge}")
    QTest.keyClick(heights.ways, Qt.Key.Key_Home)
    assert heights.currentWidget() is heights.strip


def test_a_tube_is_found_all_along_in_the_view_from_a_side(heights, document):
    heights.look("from the front")
    side = heights.side
    tube = next(thing for thing in side.seen.things if thing.id == "suction")
    (x, z), (to_x, to_z) = tube.line_mm[0], tube.line_mm[-1]
    between = QPointF(side._x((x + to_x) / 2), side.y_of((z + to_z) / 2))
    QTest.mouseClick(side, LEFT, pos=between.toPoint())
    assert document.selection == {"suction"}


def test_left_and_right_change_sides_with_the_one_who_looks(heights, document):
    for way, x_share in (("from the front", 150 / 900), ("from the back", 1 - 150 / 900)):
        heights.look(way)
        side = heights.side
        x = side.left + x_share * (side.width() - side.left - side.right)
        QTest.mouseClick(side, LEFT, pos=QPointF(x, side.y_of(10)).toPoint())
        assert document.selection == {"vessel"}, way


def test_a_part_is_lifted_in_the_view_from_a_side_too(heights, document):
    heights.look("from the front")
    side = heights.side
    x = side.left + 600 / 900 * (side.width() - side.left - side.right)
    drag(side, QPointF(x, side.y_of(5)), 12.0 / side.per_pixel_mm())
    assert height_of(document, "block") == pytest.approx(12, abs=1)
    assert document.history.undoText() == "Lift Block"


def test_the_view_from_a_side_says_how_much_it_stretches_heights(heights):
    heights.look("from the front")
    across = 900 / (heights.side.width() - heights.side.left - heights.side.right)
    assert f"{across / heights.side.per_pixel_mm():.2g} times" in heights.side._heading()


def test_arrow_keys_go_along_the_strip_and_lift_what_they_have_reached(strip, document):
    ids = [stage.id for stage in strip.stages]
    for key, expected in ((Qt.Key.Key_Right, ids[0]), (Qt.Key.Key_Right, ids[1]), (Qt.Key.Key_Right, ids[2])):
        QTest.keyClick(strip, key)
        assert document.selection == {expected}
    before = document.layout.placement(ids[2]).height_mm
    QTest.keyClick(strip, Qt.Key.Key_Up)
    assert document.layout.placement(ids[2]).height_mm == before + 1.0
    QTest.keyClick(strip, Qt.Key.Key_End)
    assert document.selection == {ids[-1]}

"""Heights along the loop."""

from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.document import Document
from app.plan.walk import walk
from app.strip import ElevationStrip
from app.theme import LIGHT
from loopsim.build import Build, Layout, Placement, edits
from loopsim.parts import Block, Corner, Tee, Pump, Reservoir, Tube, TubeRun


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


def way(build, flows):
    return [stage.id for stage in walk(build, build.layout(), flows)]


def test_the_walk_follows_the_runs_as_they_were_drawn_and_closes():
    assert way(forked(), {}) == ["vessel", "r0", "pump", "r1", "split", "r2", "one", "r4", "join", "r6", "vessel"]


def test_at_a_junction_the_walk_takes_the_larger_flow():
    flows = {"r0": 3.0, "r1": 3.0, "r2": 1.0, "r3": 2.0, "r4": 1.0, "r5": 2.0, "r6": 3.0}
    assert way(forked(), flows) == ["vessel", "r0", "pump", "r1", "split", "r3", "two", "r5", "join", "r6", "vessel"]


def test_the_walk_goes_with_the_flow_even_against_the_drawing():
    flows = dict.fromkeys(("r0", "r1", "r6"), -3.0) | {"r2": -1.0, "r3": -2.0, "r4": -1.0, "r5": -2.0}
    assert way(forked(), flows)[:5] == ["vessel", "r6", "join", "r5", "two"]


def test_the_walk_ends_where_nothing_leads_on(document):
    assert way(document.build, {}) == ["vessel", "suction", "pump", "rise", "block"]


def test_heights_are_those_of_ports_and_corners():
    build = forked()
    corners = (Corner(x_mm=150, y_mm=100, height_mm=60),)
    build = edits.change_run(build, "forked", "r0", corners=corners).build
    stages = walk(build, build.layout(), {})
    assert stages[1].heights == (12, 60, 19)  # outlet of the vessel, corner, inlet of the pump
    assert stages[2].heights == (19, 19)


def test_ways_only_ever_grow():
    stages = walk(forked(), forked().layout(), {})
    along = [way for stage in stages for way in stage.along]
    assert along == sorted(along)


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
    columns = [strip._column(stage) for stage in strip.stages if stage.is_part]
    assert all(a.right() <= b.left() for a, b in pairwise(columns))
    assert strip._ways.rows == 1


def test_a_click_on_the_strip_selects_in_the_plan(strip, document):
    column = strip._column(strip.stages[2])
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
    assert strip._ways.x_px == sorted(strip._ways.x_px)
    assert strip._ways.x_px[-1] == pytest.approx(300 - 72)

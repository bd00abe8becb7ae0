"""Fields that name something else of the build offer it, under the builder's own names."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox

from app.document import Document
from app.offered import offered
from app.part_sheet import PartSheet
from loopsim.build import AirReturn, Build, Layout, Placement
from loopsim.fields import FieldDescription, describe
from loopsim.parts import Fan, Supply
from tests.studies.test_heat import LAYOUT, add, machine


@pytest.fixture
def document(qapp) -> Document:  # noqa: ARG001
    build = machine(
        load_cases=({"name": "full"}, {"name": "idle", "load_percent": 10}),
        coolants=({"id": "main"}, {"id": "second", "kind": "water"}),
    )  # fmt: skip
    return Document(add(build, Supply(id="supply", name="Supply")))


@pytest.fixture
def sheet(qtbot, document: Document) -> PartSheet:
    made = PartSheet(document)
    qtbot.addWidget(made)
    made.resize(480, 700)
    with qtbot.waitExposed(made):
        made.show()
    return made


def column(field: FieldDescription, name: str) -> FieldDescription:
    return next(each for each in field.columns if each.name == name)


def choose_in_cell(table, row: int, at: int, text: str) -> None:
    """Open a cell's box, and choose with the keyboard."""
    table.setCurrentCell(row, at)
    table.setFocus()
    table.edit(table.model().index(row, at))
    box = next(each for each in table.viewport().findChildren(QComboBox) if each.isVisible())
    box.setCurrentText(text)
    box.activated.emit(box.currentIndex())


def test_a_supply_feeds_parts_chosen_by_name(document: Document, sheet: PartSheet):
    document.select({"supply"})
    editor = sheet.editor("feeds")
    names = column(editor.field, "part").labels
    assert {"Block", "Pump", "Fan 0"} <= set(names)
    assert "Supply" not in names
    assert "Radiator" not in names
    editor.add_row()
    choose_in_cell(editor.table, 0, 0, "Fan 0")
    assert [fed.part for fed in document.build.part("supply").feeds] == ["fan_0"]
    assert editor.table.item(0, 0).text() == "Fan 0"


def test_an_id_that_is_typed_or_pasted_does_as_well(document: Document, sheet: PartSheet):
    document.select({"supply"})
    editor = sheet.editor("feeds")
    editor.add_row()
    editor.table.item(0, 0).setText("block")
    assert [fed.part for fed in document.build.part("supply").feeds] == ["block"]


def test_a_vessel_is_filled_with_one_of_the_coolants_or_with_the_first(document: Document, sheet: PartSheet):
    document.select({"reservoir"})
    box = sheet.editor("coolant").box
    assert [box.itemText(n) for n in range(box.count())] == ["the first: main", "main", "second"]
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_End)
    assert document.build.part("reservoir").coolant == "second"
    QTest.keyClick(box, Qt.Key.Key_Home)
    assert document.build.part("reservoir").coolant is None


def test_spaces_are_offered_and_a_new_one_may_be_typed(document: Document, sheet: PartSheet):
    document.select({"fan_0"})
    editor = sheet.editor("air_to")
    assert [editor.box.itemText(n) for n in range(editor.box.count())] == ["as usual for the part", "room", "chamber"]
    editor.line.setFocus()
    editor.line.selectAll()
    QTest.keyClicks(editor.line, "plenum")
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert document.layout.placement("fan_0").air_to == "plenum"
    document.select({"fan_1"})
    other = sheet.editor("air_from")
    assert "plenum" in [other.box.itemText(n) for n in range(other.box.count())]


def test_a_space_that_is_cleared_is_as_usual_again(document: Document, sheet: PartSheet):
    document.select({"fan_0"})
    editor = sheet.editor("air_to")
    for text, expected in (("room", "room"), ("", None)):
        editor.line.setFocus()
        editor.line.selectAll()
        QTest.keyClick(editor.line, Qt.Key.Key_Delete)
        QTest.keyClicks(editor.line, text)
        QTest.keyClick(editor.line, Qt.Key.Key_Return)
        assert document.layout.placement("fan_0").air_to == expected


def test_a_space_with_a_name_that_files_cannot_hold_is_refused_and_escape_takes_it_back(
    document: Document, sheet: PartSheet
):
    document.select({"fan_0"})
    editor = sheet.editor("air_to")
    editor.line.setFocus()
    editor.line.selectAll()
    QTest.keyClicks(editor.line, "Upper Space")
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert not editor.refusal.isHidden()
    assert document.layout.placement("fan_0").air_to is None
    QTest.keyClick(editor.line, Qt.Key.Key_Escape)
    assert editor.refusal.isHidden()
    assert editor.line.text() == "as usual for the part"


def test_load_cases_may_leave_the_room_to_the_build(document: Document, sheet: PartSheet):
    document.select(())
    editor = sheet.editor("load_cases")
    editor.add_row()
    table = editor.table
    table.item(2, 0).setText("night")
    assert [case.name for case in document.build.load_cases] == ["full", "idle", "night"]
    assert document.build.load_cases[2].ambient_c is None
    table.item(2, 2).setText("-5")
    assert document.build.load_cases[2].ambient_c == -5.0


def test_a_new_load_case_is_offered_at_once_where_loads_differ(document: Document, sheet: PartSheet):
    document.select(())
    editor = sheet.editor("load_cases")
    editor.add_row()
    editor.table.item(2, 0).setText("night")
    assert sheet.editor("load_cases") is editor  # the keyboard stays where it is
    loads = sheet.editor("case_loads")
    assert column(loads.field, "case").choices == ("full", "idle", "night")
    loads.add_row()
    choose_in_cell(loads.table, 0, 0, "night")
    choose_in_cell(loads.table, 0, 1, "Block")
    assert [(each.case, each.part) for each in document.build.case_loads] == [("night", "block")]


def test_air_drawn_in_again_names_what_air_passes(document: Document, sheet: PartSheet):
    document.select(())
    editor = sheet.editor("air_returns")
    assert set(column(editor.field, "outlet").labels) == {"Radiator", "Fan 0", "Fan 1"}
    editor.add_row()
    choose_in_cell(editor.table, 0, 0, "Radiator")
    choose_in_cell(editor.table, 0, 1, "Fan 1")
    assert document.layout.air_returns == (AirReturn(outlet="radiator", inlet="fan_1", share_percent=10.0),)


def test_the_loop_flow_is_read_at_a_part_chosen_by_name(document: Document, sheet: PartSheet):
    document.select(())
    box = sheet.editor("loop_flow_at").box
    assert box.currentText() == "reservoir or warmest part"
    box.setFocus()
    QTest.keyClicks(box, "Block")
    assert document.layout.loop_flow_at == "block"


def test_parts_of_one_name_are_told_apart_by_their_ids():
    build: Build = machine()
    build = add(build, Fan(id="third", name="Fan 1"))
    field = next(each for each in describe(Layout) if each.name == "air_returns")
    (made,) = offered((field,), build, build.layout(LAYOUT))
    labels = column(made, "inlet").labels
    assert {"Fan 1 (fan_1)", "Fan 1 (third)", "Fan 0"} <= set(labels)
    inlet = column(made, "inlet")
    assert inlet.value_of("Fan 1 (third)") == "third"
    assert inlet.label_of("third") == "Fan 1 (third)"


def test_fields_that_name_nothing_stay_as_they_are():
    build = machine()
    fields = Placement.fields()
    made = {each.name: each for each in offered(fields, build, build.layout(LAYOUT))}
    for field in fields:
        if field.name not in ("air_from", "air_to"):
            assert made[field.name] == field


def test_a_run_is_led_to_another_port_by_its_name(document: Document, sheet: PartSheet):
    layout = document.layout
    run = next(run for run in layout.runs if run.start == "pump.outlet")
    document.select({run.id})
    editor = sheet.editor("end")
    assert editor.box.currentText() == "Block, inlet"
    editor.box.setFocus()
    while editor.box.currentText() != "Block, outlet":
        QTest.keyClick(editor.box, Qt.Key.Key_Down)
    assert document.layout.run(run.id).end == "block.outlet"
    assert "block.inlet" in {each.start for each in document.layout.runs}  # the run that was there has swapped
    document.history.undo()
    assert document.layout is layout


def test_tubes_are_offered_by_name(document: Document, sheet: PartSheet):
    document.select({document.layout.runs[0].id})
    assert sheet.editor("tube").box.currentText() == document.build.tubes[0].name

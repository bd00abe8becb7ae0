"""The part sheet: every kind and every shape, by keyboard and mouse, and what a refusal leaves."""

from typing import get_args

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document import Document
from app.field_editors import FieldEditor
from app.part_sheet import PartSheet, editor_for
from loopsim.build import Build, Placement, edits
from loopsim.curves import Provenance
from loopsim.fields import FieldDescription, Record, Shape, choice, describe, number, points, switch, text
from loopsim.parts import KINDS, Tube, TubeRun


class Everything(Record):
    """A record with a field of every shape."""

    size_mm: float = number("size", "how large", 1.0, above=0.0)
    name: str = text("name", "what you call it", "")
    side: str = choice("side", "which", "left")
    on: bool = switch("on", "whether", False)
    table: tuple[TubeRun, ...] = points("table", "rows", ())
    origin: Provenance = Provenance()


def type_into(editor: FieldEditor, words: str, end: Qt.Key | None = Qt.Key.Key_Return) -> None:
    """Replace the text of a line by hand."""
    editor.line.setFocus()
    editor.line.selectAll()
    QTest.keyClicks(editor.line, words)
    if end is not None:
        QTest.keyClick(editor.line, end)


def speed_of(document: Document) -> float:
    return document.layout.placement("pump_a").speed_percent


@pytest.mark.parametrize("kind", KINDS)
def test_the_sheet_shows_every_field_of_every_kind(qtbot: QtBot, kind: str):
    part = KINDS[kind](id=f"a_{kind}", name=f"A {kind}")
    document = Document(Build(name="One part"))
    placed = Placement(part=part.id, x_mm=100.0, y_mm=100.0)
    document.do(edits.add_part(document.build, document.layout.name, part, placed))
    document.select({part.id})
    sheet = PartSheet(document)
    qtbot.addWidget(sheet)
    in_layout, data = sheet.grids
    assert list(data.editors) == [field.name for field in type(part).fields()]
    where = {"x_mm", "y_mm", "height_mm", "rotation_deg", "lie", "mirrored", "locked"}
    assert set(in_layout.editors) == where | set(type(part).placement_fields)
    assert all(editor.shows_value for editor in (*in_layout.editors.values(), *data.editors.values()))
    assert sheet.subject.help == type(part).help


def test_there_is_an_editor_for_every_shape(qtbot: QtBot):
    fields = {field.shape: field for field in describe(Everything)}
    assert set(fields) == set(get_args(Shape))
    for field in fields.values():
        qtbot.addWidget(editor_for(field))


def test_without_a_selection_the_sheet_is_the_builds_own(sheet: PartSheet):
    shown = {name for grid in sheet.grids for name in grid.editors}
    assert {"name", "length_mm", "width_mm", "clear_height_mm", "altitude_m", "coolants"} <= shown


def test_several_selected_things_have_no_sheet(sheet: PartSheet, document: Document):
    document.select({"pump_a", "pump_b"})
    assert sheet.grids == []
    assert "single part" in sheet.subject.help


def test_a_sheet_out_of_sight_catches_up_when_it_is_looked_at(sheet: PartSheet, document: Document):
    document.select({"pump_a"})
    sheet.hide()
    document.select({"processor"})
    assert sheet.subject.title == "pump"
    sheet.show()
    assert sheet.subject.title == "block"


def test_a_tube_run_shows_its_own_data_and_those_of_its_tube(sheet: PartSheet, document: Document):
    document.select({"run_1"})
    run, tube = sheet.grids
    assert list(run.editors) == [field.name for field in TubeRun.fields()]
    assert list(tube.editors) == [field.name for field in Tube.fields()]


@pytest.mark.parametrize("typed", ["87.5", "87,5", " 87.5 %"])
def test_a_number_is_taken_with_a_decimal_point_or_comma(pump_sheet: PartSheet, document: Document, typed: str):
    type_into(pump_sheet.editor("speed_percent"), typed)
    assert speed_of(document) == 87.5
    assert document.history.undoText() == "Change Pump A"
    assert pump_sheet.editor("speed_percent").line.text() == "87.5"


def test_leaving_a_field_takes_the_number_too(pump_sheet: PartSheet, document: Document):
    type_into(pump_sheet.editor("speed_percent"), "60", Qt.Key.Key_Tab)
    assert speed_of(document) == 60.0
    assert pump_sheet.editor("x_mm").line.hasFocus()


def test_how_a_part_lies_is_chosen_and_what_is_locked_is_said(pump_sheet: PartSheet, document: Document):
    lie, locked = pump_sheet.editor("lie"), pump_sheet.editor("locked")
    lie.box.setFocus()
    QTest.keyClick(lie.box, Qt.Key.Key_Down)
    QTest.keyClick(locked.box, Qt.Key.Key_Space)
    placement = document.layout.placement("pump_a")
    assert (placement.lie, placement.locked) == ("on edge", True)
    assert document.history.count() == 2


@pytest.mark.parametrize(
    ("field", "words", "value"),
    [("x_mm", "412.5", 412.5), ("y_mm", "12 cm", 120.0), ("height_mm", "1/4 in", 6.35), ("rotation_deg", "33", 33.0)],
)
def test_a_part_is_set_to_an_exact_place_by_number(pump_sheet, document, field: str, words: str, value: float):
    type_into(pump_sheet.editor(field), words)
    assert getattr(document.layout.placement("pump_a"), field) == pytest.approx(value)
    document.history.undo()
    assert not document.history.canUndo()


def test_typing_the_same_number_is_no_edit(pump_sheet: PartSheet, document: Document):
    type_into(pump_sheet.editor("speed_percent"), "100.0")
    assert document.history.count() == 0
    assert pump_sheet.editor("speed_percent").line.text() == "100"


def test_a_refused_value_says_why_keeps_what_was_typed_and_changes_nothing(pump_sheet: PartSheet, document: Document):
    before = document.build
    editor = pump_sheet.editor("speed_percent")
    type_into(editor, "900")
    assert "at most 150 %" in editor.refusal.text()
    assert editor.refusal.isVisible()
    assert editor.line.text() == "900"
    assert document.build is before
    QTest.keyClick(editor.line, Qt.Key.Key_Escape)
    assert editor.line.text() == "100"
    assert not editor.refusal.isVisible()


def test_words_in_place_of_a_number_are_refused_with_what_is_allowed(pump_sheet: PartSheet, document: Document):
    editor = pump_sheet.editor("speed_percent")
    type_into(editor, "fast")
    assert editor.refusal.text() == "speed is 'fast', must be a number above 0 and at most 150 %"
    assert document.history.count() == 0


def test_a_value_that_is_taken_clears_the_refusal(pump_sheet: PartSheet):
    editor = pump_sheet.editor("speed_percent")
    type_into(editor, "-1")
    type_into(editor, "80")
    assert not editor.refusal.isVisible()


def test_undo_brings_the_old_value_back_without_moving_the_keyboard(pump_sheet: PartSheet, document: Document):
    editor = pump_sheet.editor("speed_percent")
    type_into(editor, "80")
    document.history.undo()
    assert editor.line.text() == "100"
    assert editor.line.hasFocus()
    assert pump_sheet.editor("speed_percent") is editor


def test_a_choice_is_made_from_its_box(pump_sheet: PartSheet, document: Document):
    box = pump_sheet.editor("outlet_at").box
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Down)
    assert document.build.part("pump_a").outlet_at == "left side"


def test_a_switch_is_flipped_with_a_click(qtbot: QtBot):
    field = next(field for field in describe(Everything) if field.shape == "switch")
    editor = editor_for(field)
    qtbot.addWidget(editor)
    editor.show_value(False)
    with qtbot.waitSignal(editor.wanted) as wanted:
        editor.box.click()
    assert wanted.args == [True]


def test_an_edit_of_the_enclosure_is_an_edit_of_the_build(sheet: PartSheet, document: Document):
    type_into(sheet.editor("clear_height_mm"), "80")
    assert document.build.enclosure.clear_height_mm == 80.0
    assert document.build.enclosure.length_mm == 1180.0


def test_a_point_typed_into_the_table_changes_the_curve(pump_sheet: PartSheet, document: Document):
    editor = pump_sheet.editor("curve")
    before = document.build.part("pump_a").curve
    editor.table.item(1, 1).setText("3,9")
    curve = document.build.part("pump_a").curve
    assert curve.points[1].head_m == 3.9
    assert curve.provenance == before.provenance
    assert len(curve.points) == len(before.points)


def test_a_point_that_is_refused_stays_in_the_table_until_escape(pump_sheet: PartSheet, document: Document):
    editor = pump_sheet.editor("curve")
    before = document.build
    first = editor.table.item(2, 0).text()
    editor.table.item(2, 0).setText("1")
    assert "flows must rise from point to point" in editor.refusal.text()
    assert document.build is before
    assert editor.table.item(2, 0).text() == "1"
    editor.table.setFocus()
    QTest.keyClick(editor.table, Qt.Key.Key_Escape)
    assert editor.table.item(2, 0).text() == first
    assert editor.refusal.isHidden()


def test_a_new_row_counts_once_it_is_complete(pump_sheet: PartSheet, document: Document):
    editor = pump_sheet.editor("curve")
    points_before = len(document.build.part("pump_a").curve.points)
    editor.table.setCurrentCell(points_before - 1, 0)
    editor.add_row()
    editor.table.item(points_before, 0).setText("600")
    assert len(document.build.part("pump_a").curve.points) == points_before
    assert "has no head yet" in editor.note.text()
    editor.table.item(points_before, 1).setText("0.1")
    assert document.build.part("pump_a").curve.points[-1].flow_l_h == 600.0
    assert editor.note.isHidden()


def test_a_row_is_removed(pump_sheet: PartSheet, document: Document):
    editor = pump_sheet.editor("curve")
    before = document.build.part("pump_a").curve.points
    editor.table.setCurrentCell(1, 0)
    editor.remove_row()
    assert document.build.part("pump_a").curve.points == (before[0], *before[2:])


@pytest.mark.parametrize(
    "pasted",
    [
        "0\t4,0\n200\t3,5\n400\t2,0",
        "flow;head\n0;4.0\n200;3.5\n400;2.0",
        "0 4.0\n200 3.5\n400 2.0",
        "0, 4\n200, 3.5\n400, 2",
        "0,4\n200,3.5\n400,2",
    ],
)
def test_rows_are_pasted_as_one_edit(pump_sheet: PartSheet, document: Document, pasted: str):
    editor = pump_sheet.editor("curve")
    QGuiApplication.clipboard().setText(pasted)
    editor.table.setCurrentCell(0, 0)
    editor.table.setFocus()
    QTest.keyClick(editor.table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    points_now = [(point.flow_l_h, point.head_m) for point in document.build.part("pump_a").curve.points]
    assert points_now == [(0.0, 4.0), (200.0, 3.5), (400.0, 2.0)]
    assert document.history.count() == 1


def test_a_paste_that_does_not_fit_says_so(pump_sheet: PartSheet, document: Document):
    QGuiApplication.clipboard().setText("1\t2\t3")
    editor = pump_sheet.editor("curve")
    editor.paste()
    assert editor.refusal.text() == (
        "what was pasted has 3 columns, must be 2 (flow, head), or more under headings that name these"
    )
    assert document.history.count() == 0


def test_where_the_points_come_from_is_edited_with_them(pump_sheet: PartSheet, document: Document):
    own = pump_sheet.editor("curve").own.editors
    origin = own["provenance"].details.editors
    own["provenance"].opener.click()
    origin["kind"].box.setFocus()
    QTest.keyClick(origin["kind"].box, Qt.Key.Key_Home)
    type_into(origin["source"], "bucket and clock")
    type_into(own["relative_tolerance"], "0,05")
    curve = document.build.part("pump_a").curve
    assert (curve.provenance.kind, curve.provenance.source) == ("measured", "bucket and clock")
    assert curve.relative_tolerance == 0.05


def test_a_refused_tolerance_is_told_at_its_own_field(pump_sheet: PartSheet):
    editor = pump_sheet.editor("curve")
    type_into(editor.own.editors["relative_tolerance"], "7")
    assert "and at most 1" in editor.own.editors["relative_tolerance"].refusal.text()
    assert editor.refusal.isHidden()


def test_a_curve_that_may_be_missing_comes_and_goes_with_its_rows(
    qtbot: QtBot, pump_sheet: PartSheet, document: Document
):
    editor = pump_sheet.editor("stopped_forward")
    editor.add_row()
    editor.table.item(0, 0).setText("100")
    editor.table.item(0, 1).setText("2")
    assert document.build.part("pump_a").stopped_forward.points[0].dp_kpa == 2.0
    qtbot.waitUntil(lambda: editor.own.editors["provenance"].isVisibleTo(editor))
    editor.table.setCurrentCell(0, 0)
    editor.remove_row()
    assert document.build.part("pump_a").stopped_forward is None


def test_corners_of_a_run_are_edited_in_a_table_with_choices(sheet: PartSheet, document: Document):
    run = next(run for run in document.layout.runs if run.corners)
    document.select({run.id})
    editor = sheet.editor("corners")
    editor.table.item(0, 2).setText("33")
    editor.table.item(0, 3).setText("elbow")
    corner = document.layout.run(run.id).corners[0]
    assert (corner.height_mm, corner.turn) == (33.0, "elbow")


def test_the_help_of_the_field_with_the_keyboard_is_shown(pump_sheet: PartSheet):
    pump_sheet.editor("rated_power_w").line.setFocus()
    assert "electrical power at full speed" in pump_sheet._hint.text()
    assert "at least 0 W" in pump_sheet._hint.text()


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_cut_in_a_bench_as_narrow_as_a_small_screen_leaves_it(
    qtbot: QtBot, sheet: PartSheet, document: Document, kind: str
):
    document.select({part for part in document.layout.placements if document.build.part(part).kind_name() == kind})
    document.select(sorted(document.selection)[:1])
    sheet.resize(448, 500)
    page = sheet._scroll.widget()
    qtbot.wait(0)  # lays out
    qtbot.waitUntil(lambda: page.minimumSizeHint().width() <= sheet._scroll.viewport().width())


def test_fields_describe_themselves_only_in_the_model():
    fields: tuple[FieldDescription, ...] = KINDS["pump"].fields()
    assert all(field.label and field.help for field in fields)


def test_where_single_numbers_come_from_is_edited_in_the_sheet(qtbot: QtBot):
    valve = KINDS["valve"](id="valve", name="Valve")
    document = Document(Build(name="One valve"))
    placed = Placement(part="valve", x_mm=100.0, y_mm=100.0)
    document.do(edits.add_part(document.build, document.layout.name, valve, placed))
    document.select({"valve"})
    sheet = PartSheet(document)
    qtbot.addWidget(sheet)
    with qtbot.waitExposed(sheet):
        sheet.show()
    origin = sheet.editor("provenance")
    assert origin.summary.text() == f"guess · {valve.provenance.source} · water · 20 °C"
    assert origin.details.isHidden()
    origin.opener.setFocus()
    QTest.keyClick(origin.opener, Qt.Key.Key_Space)
    assert origin.details.isVisible()
    type_into(origin.details.editors["source"], "own test bench")
    type_into(origin.details.editors["dated"], "2026-03-14")
    type_into(sheet.editor("relative_tolerance"), "0.1")
    now = document.build.part("valve")
    assert (now.provenance.source, str(now.provenance.dated)) == ("own test bench", "2026-03-14")
    assert now.provenance.kind == "guess"
    assert now.relative_tolerance == 0.1
    assert "14" in origin.summary.text()


def test_a_refused_date_is_told_at_its_own_field(sheet: PartSheet, document: Document):
    document.select({"run_1"})
    origin = sheet.editor("provenance")
    QTest.mouseClick(origin.opener, Qt.MouseButton.LeftButton)
    type_into(origin.details.editors["dated"], "last spring")
    assert "date" in origin.details.editors["dated"].refusal.text()
    assert origin.details.editors["dated"].line.text() == "last spring"
    assert origin.refusal.isHidden()
    assert document.history.count() == 0


def test_where_the_data_of_a_tube_come_from_is_edited_for_all_its_runs(sheet: PartSheet, document: Document):
    document.select({"run_1"})
    tube = document.layout.run("run_1").tube
    origin = sheet.editor("provenance")
    QTest.mouseClick(origin.opener, Qt.MouseButton.LeftButton)
    type_into(origin.details.editors["source"], "calliper")
    assert document.build.tube(tube).provenance.source == "calliper"


def test_fields_that_do_not_count_are_not_shown(sheet: PartSheet, document: Document):
    document.select({"radiator_1"})
    assert sheet.editor("heat_data").value == "points"
    shown = [name for name in ("heat", "rating_w", "core_depth_mm") if sheet.editor(name).isVisibleTo(sheet)]
    assert shown == ["heat"]
    QTest.keyClick(sheet.editor("heat_data").box, Qt.Key.Key_End)
    assert sheet.editor("heat_data").value == "core size"
    shown = [name for name in ("heat", "rating_w", "core_depth_mm") if sheet.editor(name).isVisibleTo(sheet)]
    assert shown == ["core_depth_mm"]


def test_a_cover_shows_bolts_and_gasket_only_where_its_lid_is_screwed(sheet: PartSheet, document: Document):
    document.select({"reservoir"})
    editor = sheet.editor("cover")
    editor.opener.setChecked(True)
    assert editor.summary.text().endswith("acrylic · guess · glued")
    assert not editor.details.editors["bolt_mm"].isVisibleTo(editor.details)
    cover = document.build.part("reservoir").cover.with_values(held="screwed")
    document.do(edits.change_part(document.build, "reservoir", cover=cover))
    assert editor.details.editors["bolt_mm"].isVisibleTo(editor.details)
    assert "gasket cord 2 mm" in editor.summary.text().replace("\u00a0", " ")

"""How a builder's numbers get into a curve: units of columns, pasted tables, estimates, and what is drawn of it."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.document import Document
from app.part_sheet import PartSheet
from app.points_editor import PointsEditor
from app.points_table import PointsTable
from app.theme import DARK, Follow, themes
from loopsim.curves import DropCurve, HeadCurve

CONTROL = Qt.KeyboardModifier.ControlModifier
US_GALLON_L, FOOT_M, PSI_PA, G = 3.785411784, 0.3048, 6894.757, 9.80665  # NIST SP 811


@pytest.fixture
def editor(pump_sheet: PartSheet) -> PointsEditor:
    return pump_sheet.editor("curve")


@pytest.fixture
def drop_editor(sheet: PartSheet, document: Document) -> PointsEditor:
    document.select({"processor"})
    return sheet.editor("drop")


def curve_of(document: Document) -> HeadCurve:
    return document.build.part("pump_a").curve


def drop_of(document: Document) -> DropCurve:
    return document.build.part("processor").drop


def choose_unit(table: PointsTable, at: int, label: str) -> None:
    """Choose a column's unit with the keyboard, as a builder does: by its first letters, or by walking to it."""
    box = table.heading.boxes[at]
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    for _ in range(box.findText(label)):
        QTest.keyClick(box, Qt.Key.Key_Down)
    assert box.currentText() == label


def type_cell(table: PointsTable, row: int, at: int, text: str) -> None:
    """Type over a cell by hand."""
    table.setCurrentCell(row, at)
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_F2)
    line = QApplication.focusWidget()
    line.selectAll()
    QTest.keyClicks(line, text)
    QTest.keyClick(line, Qt.Key.Key_Return)
    QApplication.processEvents()


def paste(table: PointsTable, text: str, row: int = 0) -> None:
    QGuiApplication.clipboard().setText(text)
    table.setCurrentCell(row, 0)
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_V, CONTROL)


def test_a_unit_is_chosen_in_the_heading_and_changes_only_what_is_shown(editor: PointsEditor, document: Document):
    before = document.build
    choose_unit(editor.table, 0, "L/min")
    assert editor.table.item(1, 0).text() == f"{curve_of(document).points[1].flow_l_h / 60:.5g}"
    assert document.build is before
    assert document.history.count() == 0


def test_a_number_is_typed_in_the_chosen_unit_and_kept_in_the_files(editor: PointsEditor, document: Document):
    choose_unit(editor.table, 0, "L/min")
    type_cell(editor.table, 1, 0, "1,5")
    assert curve_of(document).points[1].flow_l_h == 90.0
    assert editor.table.item(1, 0).text() == "1.5"


def test_cells_that_nobody_touched_keep_their_values_to_the_last_digit(editor: PointsEditor, document: Document):
    before = curve_of(document).points
    choose_unit(editor.table, 0, "US gal/min")
    choose_unit(editor.table, 1, "psi")
    type_cell(editor.table, 1, 0, "0.5")
    after = curve_of(document).points
    assert [after[0], *after[2:]] == [before[0], *before[2:]]
    assert after[1].head_m == before[1].head_m
    assert after[1].flow_l_h == pytest.approx(0.5 * US_GALLON_L * 60)


def test_a_pasted_table_brings_its_units(editor: PointsEditor, document: Document):
    paste(editor.table, "Flow (GPM)\tHead [ft]\tPower (W)\n0\t13,4\t10\n0.8\t12.0\t11\n2\t2\t12")
    points = curve_of(document).points
    assert [point.flow_l_h for point in points] == pytest.approx([0.0, 0.8 * US_GALLON_L * 60, 2 * US_GALLON_L * 60])
    assert [point.head_m for point in points] == pytest.approx([13.4 * FOOT_M, 12 * FOOT_M, 2 * FOOT_M])
    assert [unit.label for unit in editor.table.units] == ["US gal/min", "ft"]
    assert editor.note.text() == "3 rows pasted, flow in US gal/min, head in ft; left out: “Power (W)”"
    assert document.history.count() == 1


def test_a_head_pasted_as_a_pressure_follows_the_density_of_its_liquid(editor: PointsEditor, document: Document):
    density = curve_of(document).provenance.state.density
    paste(editor.table, "Flow (L/h)\tPressure (psi)\n0\t5\n400\t2")
    assert curve_of(document).points[0].head_m == pytest.approx(5 * PSI_PA / (density * G), rel=1e-6)


def test_without_headings_the_chosen_units_hold(drop_editor: PointsEditor, document: Document):
    choose_unit(drop_editor.table, 0, "L/min")
    choose_unit(drop_editor.table, 1, "mbar")
    paste(drop_editor.table, "1;10,5\n2;42")
    points = [(point.flow_l_h, point.dp_kpa) for point in drop_of(document).points]
    assert points == [(60.0, 1.05), (120.0, 4.2)]


def test_a_bad_cell_is_told_with_row_and_column_and_nothing_is_lost(drop_editor: PointsEditor, document: Document):
    before = document.build
    paste(drop_editor.table, "Flow (L/h)\tDrop (kPa)\n60\t1\n120\t3,x\n180\t7")
    assert drop_editor.refusal.text() == "row 2: drop is '3,x', must be a number above 0 kPa"
    assert document.build is before
    assert drop_editor.table.rowCount() == 3
    assert (drop_editor.table.currentRow(), drop_editor.table.currentColumn()) == (1, 1)
    type_cell(drop_editor.table, 1, 1, "3,4")
    assert [point.dp_kpa for point in drop_of(document).points] == [1.0, 3.4, 7.0]
    assert document.history.count() == 1


def test_a_value_out_of_range_is_told_in_the_unit_it_was_typed_in(drop_editor: PointsEditor, document: Document):
    choose_unit(drop_editor.table, 0, "mL/s")
    type_cell(drop_editor.table, 0, 0, "-5")
    assert drop_editor.refusal.text() == "row 1: flow is -5 mL/s, must be above 0 mL/s"
    assert document.history.count() == 0


def test_a_short_row_waits_for_its_cell(drop_editor: PointsEditor, document: Document):
    before = drop_of(document)
    paste(drop_editor.table, "60\t1\n120\t\n180\t7")
    assert "row 2 has no drop yet; Esc takes it back" in drop_editor.note.text()
    assert drop_of(document) == before
    drop_editor.table.setFocus()
    QTest.keyClick(drop_editor.table, Qt.Key.Key_Escape)
    assert drop_editor.table.rowCount() == len(before.points)
    assert not drop_editor.is_pending


def test_a_paste_that_is_no_table_leaves_the_table_as_it_was(drop_editor: PointsEditor):
    before = [drop_editor.table.item(row, 0).text() for row in range(drop_editor.table.rowCount())]
    paste(drop_editor.table, "see attachment")
    assert drop_editor.refusal.text() == "what was pasted holds no rows of figures"
    assert [drop_editor.table.item(row, 0).text() for row in range(drop_editor.table.rowCount())] == before


def test_a_copied_table_carries_its_units_to_another(editor: PointsEditor, document: Document):
    choose_unit(editor.table, 0, "m³/h")
    before = curve_of(document).points
    editor.table.setFocus()
    QTest.keyClick(editor.table, Qt.Key.Key_C, CONTROL)
    choose_unit(editor.table, 0, "L/h")
    editor.table.setCurrentCell(0, 0)
    QTest.keyClick(editor.table, Qt.Key.Key_V, CONTROL)
    assert curve_of(document).points == before


def estimate(editor: PointsEditor, number: int, *cells: str) -> None:
    """Open the estimate, choose a kind, type its numbers and press the button."""
    if not editor.estimating.isChecked():
        QTest.mouseClick(editor.estimating, Qt.MouseButton.LeftButton)
    box = editor.estimate.box
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    for _ in range(number):
        QTest.keyClick(box, Qt.Key.Key_Down)
    for at, text in enumerate(cells):
        type_cell(editor.estimate.table, 0, at, text)
    QTest.mouseClick(editor.estimate.button, Qt.MouseButton.LeftButton)


def test_two_numbers_make_a_pump_curve_that_is_a_guess(editor: PointsEditor, document: Document):
    assert editor.estimate is None
    estimate(editor, 0, "4", "480")
    curve = curve_of(document)
    assert (curve.points[0].head_m, curve.points[-1].flow_l_h) == (4.0, 480.0)
    assert (curve.provenance.kind, curve.relative_tolerance) == ("guess", 0.2)
    assert document.history.count() == 1
    assert editor.estimate.isHidden()
    assert editor.note.text() == "Estimated from largest head and largest flow: a guess, ±20 %"
    assert editor.own.editors["provenance"].summary.text().startswith("guess · parabola through")


def test_numbers_of_an_estimate_have_units_too(editor: PointsEditor, document: Document):
    QTest.mouseClick(editor.estimating, Qt.MouseButton.LeftButton)
    choose_unit(editor.estimate.table, 0, "ft")
    choose_unit(editor.estimate.table, 1, "L/min")
    estimate(editor, 0, "10", "8")
    assert curve_of(document).points[0].head_m == pytest.approx(10 * FOOT_M)
    assert curve_of(document).points[-1].flow_l_h == 480.0


def test_one_drop_makes_a_restriction(drop_editor: PointsEditor, document: Document):
    estimate(drop_editor, 0, "200", "6", "1,75")
    curve = drop_of(document)
    assert [(point.flow_l_h, point.dp_kpa) for point in curve.points] == [(200.0, 6.0)]
    assert (curve.exponent, curve.provenance.kind) == (1.75, "guess")
    assert "exponent 1.75" in drop_editor.plot.words.text()


def test_cv_makes_the_curve_of_0_865_kv(drop_editor: PointsEditor, document: Document):
    """IEC 60534-1."""
    QTest.mouseClick(drop_editor.estimating, Qt.MouseButton.LeftButton)
    choose_unit(drop_editor.estimate.tables[1], 0, "Cv")
    estimate(drop_editor, 1, "2")
    assert drop_of(document).points[-1].flow_l_h == pytest.approx(2 * 0.865 * 1000)
    assert drop_of(document).points[-1].dp_kpa == pytest.approx(100.0)


def test_an_estimate_of_nothing_says_what_is_missing(drop_editor: PointsEditor, document: Document):
    estimate(drop_editor, 0, "200")
    assert drop_editor.estimate.refusal.text() == "missing: drop"
    assert document.history.count() == 0


def test_an_estimate_out_of_range_says_what_is_allowed(drop_editor: PointsEditor, document: Document):
    estimate(drop_editor, 0, "200", "6", "3")
    assert drop_editor.estimate.refusal.text() == "exponent is 3, must be at least 1 and at most 2"
    assert document.history.count() == 0


def test_a_table_that_is_no_curve_has_neither_estimate_nor_plot(sheet: PartSheet, document: Document):
    run = next(run for run in document.layout.runs if run.corners)
    document.select({run.id})
    corners = sheet.editor("corners")
    assert corners.estimating.isHidden()
    assert corners.plot.isHidden()


def test_the_band_is_drawn_around_the_line_that_is_calculated_with(editor: PointsEditor, document: Document):
    tolerance, point = curve_of(document).relative_tolerance, curve_of(document).points[2]
    band = editor.plot.canvas.band
    for share, inside in ((-1.2, False), (-0.8, True), (0.8, True), (1.2, False)):
        assert band.holds(point.flow_l_h, point.head_m * (1 + share * tolerance)) is inside
    assert editor.plot.line[0] == pytest.approx((0.0, curve_of(document).points[0].head_m))
    assert f"±{100 * tolerance:g} %" in editor.plot.words.text()


def test_the_plot_follows_the_unit_of_the_heading(editor: PointsEditor):
    end = editor.plot.line[-1, 0]
    choose_unit(editor.table, 0, "L/min")
    assert editor.plot.line[-1, 0] == pytest.approx(end / 60)


def test_misfit_and_levelling_are_told_under_the_curve(editor: PointsEditor, sheet: PartSheet, document: Document):
    type_cell(editor.table, 2, 1, "4,3")
    assert "The head does not fall from 100 to 2" in editor.plot.words.text()
    choose_unit(editor.table, 0, "L/s")
    assert "does not fall from 0.0278 to 0.0" in editor.plot.words.text()
    document.select({"processor"})
    drop = sheet.editor("drop")
    paste(drop.table, "100\t1\n200\t4,2\n300\t9")
    assert "The fit misses the points by at most" in drop.plot.words.text()


def test_a_curve_that_is_missing_is_not_drawn(pump_sheet: PartSheet):
    assert pump_sheet.editor("stopped_forward").plot.isHidden()
    assert pump_sheet.editor("stopped_forward").own.isHidden()


def test_the_plot_wears_the_theme(editor: PointsEditor):
    themes.follow(Follow.DARK)
    assert editor.plot.canvas.backgroundBrush().color() == DARK.bench


def test_the_mouse_wheel_over_a_plot_scrolls_the_sheet(editor: PointsEditor):
    assert editor.plot.canvas.testAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)


def test_a_pasted_table_from_high_to_low_is_turned_and_said_so(pump_sheet: PartSheet, document: Document):
    editor = pump_sheet.editor("curve")
    QGuiApplication.clipboard().setText("Flow (L/h)\tHead (m)\n600\t0,5\n300\t2\n0\t4")
    editor.paste()
    assert [(point.flow_l_h, point.head_m) for point in document.build.part("pump_a").curve.points] == [
        (0, 4), (300, 2), (600, 0.5),
    ]  # fmt: skip
    assert "sorted by flow" in editor.note.text()
    assert not editor.is_pending


def test_a_unit_that_nobody_knows_is_said(pump_sheet: PartSheet):
    editor = pump_sheet.editor("curve")
    QGuiApplication.clipboard().setText("Flow, furlongs/h\tHead, m\n0\t4\n300\t2\n600\t0,5")
    editor.paste()
    assert "no unit known in “Flow, furlongs/h”" in editor.note.text()


def test_units_go_with_their_columns_where_a_wide_table_is_scrolled(sheet: PartSheet, document: Document):
    document.select(())
    table = sheet.editor("reserved").table
    first = min(table.heading.boxes)
    before = table.heading.boxes[first].x()
    assert table.horizontalScrollBar().maximum() > 0
    table.horizontalScrollBar().setValue(table.horizontalScrollBar().maximum())
    assert table.heading.boxes[first].x() < before
    last = max(table.heading.boxes)
    assert table.heading.boxes[last].geometry().right() <= table.viewport().width() + 2

"""A unit may be typed with a number; the window shows numbers in the builder's own, and files keep theirs."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app import figures
from app.document import Document
from app.measures import System, measures
from app.part_sheet import PartSheet
from app.typed import typed
from loopsim.build import Build
from loopsim.fields import FieldDescription, describe
from loopsim.parts import KINDS, Tube
from loopsim.units import UNITS, customary


@pytest.fixture
def in_inches() -> Iterator[None]:
    measures.choose(System.CUSTOMARY)
    yield
    measures.choose(System.SI)


def field(unit: str, **bounds: float) -> FieldDescription:
    return FieldDescription(f"x_{unit}", "x", unit, UNITS[unit].quantity, "number", None, "", **bounds)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("3/8 in", "mm", 9.525),  # NIST SP 811: an inch is 25.4 mm
        ('1 1/2"', "mm", 38.1),
        ("1-1/2 in", "mm", 38.1),
        ("1.2 gpm", "l_h", 272.549648448),  # 3.785411784 L to the US gallon
        ("4 psi", "kpa", 27.5790292),  # 6.894757 kPa
        ("2,5 cm", "mm", 25.0),
        ("98.6 °F", "c", 37.0),
        ("310.15 kelvin", "c", 37.0),
        ("0.5 yards", "mm", 457.2),  # known to no table of ours
        ("25 cL", "ml", 250.0),
        ("0.02 kW", "w", 20.0),
        ("12", "mm", 12.0),
        ("12 mm", "mm", 12.0),
        ("1/2", "mm", 0.5),
    ],
)
def test_a_number_is_read_with_the_unit_typed_with_it(text: str, unit: str, value: float) -> None:
    assert typed(text, field(unit)).value == pytest.approx(value, rel=1e-8)


def test_what_was_understood_is_said_and_what_goes_without_saying_is_not() -> None:
    assert typed("3/8 in", field("mm")).understood == "3/8 in is 9.525 mm"
    assert typed("10 mm", field("mm")).understood == typed("10", field("mm")).understood == ""
    assert typed("10 mm", field("mm"), customary("mm")).understood == "10 mm is 0.393701 in"


@pytest.mark.parametrize("text", ["4 psi", "3 lightyears per", "x", "", "1/0 in", "5 furlongs/h", "3,x"])
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"^x is .*, must be a number above 0 mm"):
        typed(text, field("mm", above=0.0))


def test_a_refusal_speaks_the_unit_shown() -> None:
    with pytest.raises(ValueError, match=r"^x is 12 in, must be at most 10 in$"):
        typed("12", field("mm", most=254.0), customary("mm"))


def test_every_unit_of_a_file_can_be_shown_the_customary_way() -> None:
    units = {each.unit for kind in (*KINDS.values(), Tube, Build) for each in describe(kind) if each.unit}
    assert {"mm", "l_h", "kpa"} <= units
    assert all(customary(unit).quantity == UNITS[unit].quantity for unit in units)
    assert (customary("mm").label, customary("kpa").label, customary("w").label) == ("in", "psi", "W")


def test_a_field_says_what_it_understood(pump_sheet: PartSheet, document: Document) -> None:
    editor = pump_sheet.editor("bore_mm")
    editor.line.selectAll()
    QTest.keyClicks(editor.line, "3/8 in")
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert document.build.part("pump_a").bore_mm == 9.525
    assert editor.understood.text() == "3/8 in is 9.525 mm"
    assert editor.line.text() == "9.525"


@pytest.mark.usefixtures("in_inches")
def test_fields_are_shown_and_read_in_inches_and_what_nobody_touched_stays(
    pump_sheet: PartSheet, document: Document
) -> None:
    before = document.build
    editor = pump_sheet.editor("bore_mm")
    assert editor.unit_label.text() == "in"
    editor.line.setFocus()
    QTest.keyClick(editor.line, Qt.Key.Key_Backspace)
    QTest.keyClicks(editor.line, editor.line.text()[-1:] or "0")
    editor.line.setText(editor._text_of(before.part("pump_a").bore_mm))
    editor.line.setModified(True)
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert document.build is before
    editor.line.selectAll()
    QTest.keyClicks(editor.line, "0.5")
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert document.build.part("pump_a").bore_mm == pytest.approx(12.7)


def test_the_sheet_follows_the_choice_of_units(pump_sheet: PartSheet) -> None:
    assert pump_sheet.editor("bore_mm").unit_label.text() == "mm"
    measures.choose(System.CUSTOMARY)
    try:
        assert pump_sheet.editor("bore_mm").unit_label.text() == "in"
        assert [unit.label for unit in pump_sheet.editor("curve").table.units] == ["US gal/min", "ft"]
    finally:
        measures.choose(System.SI)


def test_the_drawing_under_the_plan_is_placed_by_numbers(sheet: PartSheet, document: Document) -> None:
    from loopsim.build import Background, ground_edits

    lies = Background(source="x.png", kind="picture")
    document.do(ground_edits.put_background(document.build, document.layout.name, lies))
    document.select(())
    for name, text in (("mm_per_unit", "0.5"), ("dim_percent", "30")):
        editor = sheet.editor(name)
        editor.line.selectAll()
        QTest.keyClicks(editor.line, text)
        QTest.keyClick(editor.line, Qt.Key.Key_Return)
    QTest.mouseClick(
        sheet.editor("locked").box, Qt.MouseButton.LeftButton, pos=sheet.editor("locked").box.rect().center()
    )
    lies = document.layout.background
    assert (lies.mm_per_unit, lies.dim_percent, lies.locked) == (0.5, 30.0, False)


@pytest.fixture
def with_commas() -> Iterator[None]:
    figures.use_decimal_sign(",")
    yield
    figures.use_decimal_sign(".")


@pytest.mark.usefixtures("with_commas")
def test_numbers_are_written_with_the_decimal_sign_of_the_system(pump_sheet: PartSheet, document: Document) -> None:
    assert figures.plain(12.5) == "12,5"
    assert figures.unbroken("0.75 m/s, Re 2233.") == "0,75\u00a0m/\u2060s, Re 2233."
    editor = pump_sheet.editor("bore_mm")
    for text in ("9,5", "9.75"):
        editor.line.selectAll()
        QTest.keyClicks(editor.line, text)
        QTest.keyClick(editor.line, Qt.Key.Key_Return)
        assert editor.line.text() == text.replace(".", ",")
    assert document.build.part("pump_a").bore_mm == 9.75


@pytest.mark.parametrize(
    ("value", "unit", "half", "words"),
    [(332.4, "l_h", 7.5, "332 ± 8 L/h"), (332.4, "l_h", 0.0, "332 L/h"), (7.31, "l_h", 0.0, "7.3 L/h")],
)
def test_a_figure_is_shown_with_its_unit_and_band(value: float, unit: str, half: float, words: str) -> None:
    assert figures.shown(value, unit, half) == words


@pytest.mark.usefixtures("in_inches")
def test_figures_follow_the_choice_of_units() -> None:
    """332.4 L/h are 1.4635 US gal/min, 7.5 L/h 0.033."""
    assert figures.shown(332.4, "l_h", 7.5) == "1.46 ± 0.03 US gal/min"
    assert figures.shown(332.4, "l_h") == "1.46 US gal/min"
    assert figures.length_mm(1180.0) == "46.46 in"

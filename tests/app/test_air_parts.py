"""Parts of the air path and of the supply in the part sheet, by keyboard."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document import Document
from app.part_sheet import PartSheet
from loopsim.build import Build, Placement, edits
from loopsim.parts import KINDS, Part


@pytest.fixture
def document() -> Document:
    build = Build(name="Air")
    for number, kind in enumerate(("fan", "grille", "supply", "air_component")):
        part = KINDS[kind].model_validate({"id": kind, "name": f"The {kind}"})
        build = edits.add_part(build, "layout 1", part, Placement(part=kind, x_mm=100 + 90 * number, y_mm=100)).build
    return Document(build)


@pytest.fixture
def sheet(qtbot: QtBot, document: Document) -> PartSheet:
    made = PartSheet(document)
    qtbot.addWidget(made)
    made.resize(480, 800)
    made.show()
    return made


def part(document: Document, part_id: str) -> Part:
    return document.build.part(part_id)


def type_into(sheet: PartSheet, name: str, words: str) -> None:
    line = sheet.editor(name).line
    line.setFocus()
    line.selectAll()
    QTest.keyClick(line, Qt.Key.Key_Delete)
    QTest.keyClicks(line, words)
    QTest.keyClick(line, Qt.Key.Key_Return)


@pytest.mark.parametrize(("part_id", "name"), [("fan", "sound_dba"), ("air_component", "air_limit_c")])
def test_a_number_that_may_be_unknown_is_emptied_and_filled_again(
    sheet: PartSheet, document: Document, part_id: str, name: str
):
    document.select({part_id})
    type_into(sheet, name, "")
    assert getattr(part(document, part_id), name) is None
    type_into(sheet, name, "36")
    assert getattr(part(document, part_id), name) == 36.0
    document.history.undo()
    assert getattr(part(document, part_id), name) is None


def test_a_number_that_must_be_known_is_not_emptied(sheet: PartSheet, document: Document):
    document.select({"fan"})
    type_into(sheet, "power_w", "")
    assert part(document, "fan").power_w > 0
    assert "must be a number" in sheet.editor("power_w").refusal.text()


def test_a_share_outside_of_its_law_is_refused_at_the_field(sheet: PartSheet, document: Document):
    document.select({"grille"})
    type_into(sheet, "open_percent", "80")
    document.do(edits.change_part(document.build, "grille", shape="square bars"))
    type_into(sheet, "open_percent", "97")
    assert part(document, "grille").open_percent == 80.0
    assert "must be 5 to 95 % for square bars, got 97 %" in sheet.editor("open_percent").refusal.text()


@pytest.mark.parametrize(("typed", "kept"), [("0", "above 0 and"), ("101", "at most 100 %")])
def test_an_efficiency_of_0_or_above_1_is_refused(sheet: PartSheet, document: Document, typed: str, kept: str):
    document.select({"supply"})
    type_into(sheet, "efficiency_percent", typed)
    assert part(document, "supply").efficiency_percent == 90.0
    assert kept in sheet.editor("efficiency_percent").refusal.text()


def test_a_fan_has_no_rated_pressure_on_its_sheet(sheet: PartSheet, document: Document):
    document.select({"fan"})
    with pytest.raises((KeyError, StopIteration)):
        sheet.editor("rating_kpa")

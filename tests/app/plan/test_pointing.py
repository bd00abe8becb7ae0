"""Findings stand at their places; a mark or a key leads to them, and to what can be done."""

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from app.answer import Answer
from loopsim.build import Placement, edits
from loopsim.parts import Block
from loopsim.studies import operating_point
from tests.app.plan.conftest import SHIFT


@pytest.fixture
def crowded(document, plan):
    """A block in the way of a run, and one that stands too high under the lid."""
    for part_id, x, y, height in (("extra", 450, 200, 5.0), ("tall", 800, 450, 70.0)):
        part = Block(id=part_id, name=part_id.title())
        stands = Placement(part=part_id, x_mm=x, y_mm=y, height_mm=height)
        document.do(edits.add_part(document.build, document.layout.name, part, stands))
    solve(document, plan)
    return plan


def solve(document, plan):
    point = operating_point(document.build)
    plan.set_answer(Answer(document.build.revision, document.layout.name, point))
    plan.grab()


def codes(plan):
    return [each.code for each in plan.scene().findings]


def test_a_finding_stands_at_its_place(crowded):
    through = next(each for each in crowded.scene().findings if each.code == "through_part")
    pixel = crowded.to_pixel(QPointF(through.at.x_mm, -through.at.y_mm))
    assert crowded.mark_at(pixel) is not None
    assert any("through part" in line.text for label in crowded.labels for line in label.lines)


def test_j_goes_from_finding_to_finding_and_says_each(document, crowded, qtbot):
    said = []
    for _ in range(2):
        with qtbot.waitSignal(crowded.message) as heard:
            QTest.keyClick(crowded, Qt.Key.Key_J)
        said.append(heard.args[0])
        assert document.selection
    assert said[0] != said[1]


def test_j_brings_a_place_out_of_sight_into_view(crowded):
    crowded.zoom_by(8.0, QPointF(10.0, 10.0))
    QTest.keyClick(crowded, Qt.Key.Key_J)
    finding = crowded.pointing.finding
    pixel = crowded.to_pixel(QPointF(finding.at.x_mm, -finding.at.y_mm)) if finding.at else None
    assert pixel is None or crowded.viewport().rect().contains(pixel.toPoint())


def test_a_click_on_a_mark_says_what_was_found(crowded, qtbot):
    through = next(each for each in crowded.scene().findings if each.code == "through_part")
    pixel = crowded.to_pixel(QPointF(through.at.x_mm, -through.at.y_mm)).toPoint()
    with qtbot.waitSignal(crowded.message) as heard:
        QTest.mouseClick(crowded.viewport(), Qt.MouseButton.LeftButton, pos=pixel)
    assert "Pump A" in heard.args[0]


def test_shift_j_mends_what_is_in_view_in_one_step(document, crowded):
    steps = document.history.count()
    high = next(each for each in crowded.scene().findings if each.code == "too_high" and each.part == "tall")
    crowded.pointing.show(high)
    QTest.keyClick(crowded, Qt.Key.Key_J, SHIFT)
    assert document.history.count() == steps + 1
    solve(document, crowded)
    assert not any(each.code == "too_high" and each.part == "tall" for each in crowded.scene().findings)


def test_shift_j_with_nothing_in_view_says_what_to_do(document, plan, build, qtbot):
    with qtbot.waitSignal(plan.message) as heard:
        QTest.keyClick(plan, Qt.Key.Key_J, SHIFT)
    assert "J goes from one warning" in heard.args[0]
    assert document.build is build

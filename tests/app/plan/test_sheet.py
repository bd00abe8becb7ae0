"""Zoom, fit, scale bar, and what the plan shows of an answer."""

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.answer import Answer
from app.plan.backdrop import round_length
from app.theme import DARK, LIGHT
from loopsim.build import edits
from loopsim.studies import Finding, OperatingPoint, PartFlow, PumpFlow


def wheel(plan, pixel: QPoint, notches: int) -> None:
    at = QPointF(pixel)
    event = QWheelEvent(
        at,
        plan.viewport().mapToGlobal(at),
        QPoint(),
        QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(plan.viewport(), event)


def answer(document, flow=5e-5, state="running", findings=()):
    """An answer made by hand: the two runs and the pump of the machine in conftest."""
    runs = [PartFlow(run, run, "tube_run", flow, 100.0, 0.1, None) for run in ("suction", "rise")]
    pump = PumpFlow("pump", "Pump A", flow, 1.0, 9810.0, state, 1.0, None)
    solved = (document.build, document.layout, frozenset(), flow, "pump", (pump,), tuple(runs), {}, (), findings)
    point = OperatingPoint(*solved, 1, 0.0, 0.0, (), None)
    return Answer(document.build.revision, document.layout.name, point)


@pytest.mark.parametrize("notches", [1, 5, -3])
def test_zooming_keeps_the_point_under_the_pointer(plan, mouse, notches):
    pixel = mouse.pixel(600, 300)
    before, scale = mouse.mm(pixel), plan.scale_px
    wheel(plan, pixel, notches)
    assert plan.scale_px == pytest.approx(scale * 1.2**notches)
    assert mouse.mm(pixel) == pytest.approx(before, abs=1.01 * plan.pixel_mm)


def test_zoom_ends_before_all_is_lost_from_sight(plan, mouse):
    wheel(plan, mouse.pixel(600, 300), 100)
    assert plan.scale_px == 20.0
    wheel(plan, mouse.pixel(600, 300), -200)
    assert plan.scale_px == 0.05


def test_f_shows_the_whole_enclosure_again(plan, mouse):
    wheel(plan, mouse.pixel(600, 300), 12)
    QTest.keyClick(plan, Qt.Key.Key_F)
    corners = [plan.to_pixel(QPointF(x, -y)) for x, y in ((0, 0), (900, 550))]
    assert all(QRectF(plan.viewport().rect()).contains(corner) for corner in corners)


def test_a_fitted_plan_stays_fitted_when_the_window_grows_and_a_zoomed_one_stays_as_it_is(plan, mouse):
    scale = plan.scale_px
    plan.resize(1200, 800)
    assert plan.scale_px > 1.2 * scale
    wheel(plan, mouse.pixel(600, 300), 2)
    scale = plan.scale_px
    plan.resize(900, 600)
    assert plan.scale_px == scale


def test_a_new_enclosure_is_fitted(document, plan):
    scale = plan.scale_px
    room = document.build.enclosure.with_values(length_mm=1800, width_mm=1100)
    document.do(edits.change_build(document.build, enclosure=room))
    assert plan.scale_px == pytest.approx(scale / 2, rel=0.05)


@pytest.mark.parametrize("scale", [0.05, 0.13, 0.56, 1.0, 3.3, 20.0])
def test_the_scale_bar_has_a_round_length_that_fits_its_room(scale):
    length = round_length(scale)
    digits = f"{length:.6e}".partition("e")[0].rstrip("0").rstrip(".")
    assert digits in ("1", "2", "5")
    assert 60 <= length * scale <= 150


def test_arrows_follow_the_solved_flow_and_there_are_none_in_still_tubes(document, plan):
    plan.set_answer(answer(document))
    assert plan.scene().runs["rise"].flow_sign == 1
    plan.set_answer(answer(document, flow=-5e-5))
    assert plan.scene().runs["rise"].flow_sign == -1
    plan.set_answer(answer(document, flow=0.0))
    assert plan.scene().runs["rise"].flow_sign == 0


def test_arrows_stay_as_they_are_while_a_part_is_dragged(document, plan, mouse):
    plan.set_answer(answer(document))
    mouse.drag((350, 100), (380, 130))
    assert plan.scene().runs["rise"].flow_sign == 1


def test_a_stopped_pump_is_marked_in_words_too(document, plan):
    plan.set_answer(answer(document, state="stopped"))
    plan.grab()
    assert plan.scene().parts["pump"].is_stopped
    assert "stopped" in words(plan, "pump")


def test_a_stopped_pump_says_how_much_runs_back_through_it(document, plan):
    """5e-5 m3/s are 180 L/h."""
    found = (Finding("back_flow", "pump", "Pump A: 180 L/h runs back through the stopped pump"),)
    plan.set_answer(answer(document, flow=-5e-5, state="stopped", findings=found))
    plan.grab()
    assert {"stopped", "180 L/h back"} <= set(words(plan, "pump"))
    plan.set_answer(answer(document))
    plan.grab()
    assert "180 L/h back" not in words(plan, "pump")


def test_findings_are_marked_at_their_part_unless_they_are_quiet(document, plan):
    found = (
        Finding("too_high", "block", "Block reaches 90 mm, the lid is at 80 mm"),
        Finding("open_port", "rad", "Radiator: 2 ports open", quiet=True),
    )
    plan.set_answer(answer(document, findings=found))
    plan.grab()
    assert words(plan, "block") == ["Block", "too high"]
    assert words(plan, "rad") == ["Radiator"]


def test_ports_without_a_run_are_open(plan):
    parts = plan.scene().parts
    assert parts["rad"].open_ports == {"a", "b"}
    assert parts["vessel"].open_ports == {"inlet"}
    assert parts["pump"].open_ports == frozenset()


def test_names_overlap_neither_parts_nor_each_other(plan):
    plan.grab()
    labels = plan.labels
    boxes = [label.box for label in labels]
    parts = [plan._annotations.seen.box(part_id) for part_id in plan.scene().parts]
    assert {label.key for label in labels} == {"vessel", "pump", "block", "rad"}
    assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])
    assert not any(box.intersects(part) for box in boxes for part in parts)


def test_names_keep_their_size_at_every_zoom(plan, mouse):
    plan.grab()
    size = plan.labels[0].size
    wheel(plan, mouse.pixel(350, 100), 5)
    plan.grab()
    assert plan.labels[0].size == size


def test_another_theme_changes_the_paper(plan):
    plan.set_theme(DARK)
    assert plan.grab().toImage().pixelColor(3, 3).lightness() < 60
    plan.set_theme(LIGHT)
    assert plan.grab().toImage().pixelColor(3, 3).lightness() > 200


def test_the_pointer_says_what_it_is_over(plan, mouse, qtbot):
    mouse.move(800, 500)
    with qtbot.waitSignal(plan.hovered) as over:
        mouse.move(600, 300)
    assert over.args == ["block"]
    with qtbot.waitSignal(plan.hovered) as over:
        mouse.move(800, 500)
    assert over.args == [""]


def test_an_empty_build_is_shown_without_complaint(qtbot):
    from app.document import Document
    from app.plan import PlanView
    from app.strip import ElevationStrip
    from loopsim.build import Build

    document = Document(Build(name="Empty"))
    for widget in (PlanView(document, LIGHT), ElevationStrip(document, LIGHT)):
        qtbot.addWidget(widget)
        widget.resize(400, 300)
        assert not widget.grab().isNull()


def words(plan, key):
    return [line.text for label in plan.labels if label.key == key for line in label.lines]

"""Names stay beside what they name, and do not run into each other."""

from itertools import combinations

import pytest
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest

from app.build_files import sample_build
from app.document import Document
from app.plan import PlanView
from app.plan.labels import Label
from app.plan.lettering import paint_words
from app.plan.rows import row_name, rows
from app.theme import LIGHT
from loopsim.build import edits


def in_a_row(count, size=30.0, pitch=33.0):
    return {f"fan_{n}": QRectF(pitch * n, 0.0, size, size) for n in range(1, count + 1)}


def named(boxes):
    return {part_id: part_id.replace("fan_", "Fan ") for part_id in boxes}


def test_parts_of_one_kind_in_a_row_are_named_once():
    boxes = in_a_row(5)
    assert rows(named(boxes), boxes) == [("fan_1", "fan_2", "fan_3", "fan_4", "fan_5")]
    assert row_name(["Fan 1", "Fan 2", "Fan 3"]) == "Fan 1 to 3"
    assert row_name(["Fan 1", "Fan 4", "Fan 2"]) == "Fan 1, 2, 4"


def test_a_wide_gap_ends_a_row():
    boxes = in_a_row(6)
    boxes["fan_4"].translate(400.0, 0.0)
    boxes["fan_5"].translate(400.0, 0.0)
    boxes["fan_6"].translate(400.0, 0.0)
    assert rows(named(boxes), boxes) == [("fan_1", "fan_2", "fan_3"), ("fan_4", "fan_5", "fan_6")]


def test_two_parts_or_parts_of_other_names_make_no_row():
    boxes = in_a_row(3)
    assert rows({"fan_1": "Fan 1", "fan_2": "Fan 2"}, boxes) == []
    assert rows({"fan_1": "Fan 1", "fan_2": "Fan 2", "fan_3": "Filter"}, boxes) == []


@pytest.fixture(params=[(630, 496), (1000, 700), (1600, 900)], ids=str)
def plinth(request, qtbot):
    """The sample's plan at the sizes it has in small and large windows."""
    view = PlanView(Document(sample_build("render-plinth")), LIGHT)
    qtbot.addWidget(view)
    view.resize(*request.param)
    with qtbot.waitExposed(view):
        view.show()
    view.fit()
    view.grab()
    return view


def test_the_labels_of_the_sample_lie_apart(plinth):
    shown = [label for label in plinth.labels if not label.is_squeezed]
    assert len(shown) > 10
    for one, other in combinations(shown, 2):
        assert not one.box.adjusted(1, 1, -1, -1).intersects(other.box), (one.lines, other.lines)


def test_every_part_of_the_sample_is_named_beside_it(plinth):
    keys = [label.key for label in plinth.labels if not label.is_squeezed]
    fans = {f"fan_{number}" for number in range(1, 6)}
    assert "row fan_1" in keys or fans <= set(keys)
    assert set(plinth.scene().parts) - fans <= set(keys)
    for label in plinth.labels:
        assert label.box.intersects(label.beside.adjusted(-30, -30, 30, 30)), label.lines


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [(60, 5, (30, 15, 60, 15)), (5, 60, (15, 30, 15, 60)), (60, 60, (30, 30, 60, 60)), (-50, -40, (0, 0, -30, -20))],
    ids=["right", "below", "below right", "above left"],
)
def test_a_leader_goes_from_the_part_to_its_name_by_the_shortest_way(x, y, expected):
    """A body of 30 by 30 at the origin, a name of 20 by 20 at (x, y)."""
    label = Label("part", (), QSizeF(20, 20), QRectF(0, 0, 30, 30), QRectF(x, y, 20, 20))
    leader = label.leader
    assert (leader.x1(), leader.y1(), leader.x2(), leader.y2()) == expected


@pytest.mark.parametrize("ends_by", ["letting go", "resting"])
def test_a_name_goes_along_with_its_part_until_the_hand_rests(plan, mouse, qtbot, ends_by):
    def away():
        plan.grab()
        label = next(each for each in plan.labels if each.key == "pump")
        return label.box.center() - label.beside.center()

    before = away()
    plan._moving.setInterval(600_000)
    mouse.drag((350, 100), (600, 235), release=False)  # where the block comes to lie upon its name
    assert plan.document.layout.placement("pump").x_mm == 600
    assert (away() - before).manhattanLength() < 1e-6
    if ends_by == "letting go":
        QTest.mouseRelease(plan.viewport(), Qt.MouseButton.LeftButton, pos=mouse.pixel(600, 235))
    else:
        plan._moving.start(1)
        qtbot.waitUntil(lambda: not plan._moving.isActive())
    assert (away() - before).manhattanLength() > 10.0


def test_a_name_stands_in_its_part_below_the_symbol_where_it_has_room(plan, document):
    big = edits.change_part(document.build, "vessel", length_mm=260.0, width_mm=260.0)
    document.do(big)
    plan.grab()
    label = next(each for each in plan.labels if each.key == "vessel")
    inside = plan.scene().parts["vessel"]
    low = inside.in_scene(QPointF(0.0, 0.62 * 260.0 / 2)).y() * plan.scale_px
    assert label.beside.contains(label.box)
    assert label.box.top() >= low - 1.0
    document.history.undo()
    plan.grab()
    label = next(each for each in plan.labels if each.key == "vessel")
    assert not label.beside.contains(label.box)


@pytest.mark.parametrize("at", [QPointF(30, 40), QPointF(280, 40), QPointF(280, 4)])
def test_what_is_written_beside_the_pointer_is_never_cut_off(qapp, at):  # noqa: ARG001
    image = QImage(300, 60, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    paint_words(painter, at, "in line with Reservoir, outlet", LIGHT, QRectF(image.rect()))
    painter.end()
    inked = [(x, y) for x in range(300) for y in range(60) if image.pixelColor(x, y) != QColor("white")]
    assert len(inked) > 100
    assert 0 < min(x for x, _ in inked) < max(x for x, _ in inked) < 299
    assert 0 < min(y for _, y in inked) < max(y for _, y in inked) < 59


@pytest.fixture(params=["awkward-riser", "kiln-lamp", "pier-camera", "render-plinth"])
def sample_plan(request, qtbot) -> PlanView:
    """A sample as it is seen in a window of 1280 by 800 pixels."""
    plan = PlanView(Document(sample_build(request.param)), LIGHT)
    qtbot.addWidget(plan)
    plan.resize(630, 495)
    plan.fit()
    return plan


def seen_labels(plan: PlanView) -> list[Label]:
    plan.grab()
    return [label for label in plan.labels if not label.is_squeezed]


def test_in_every_sample_names_keep_off_one_another_and_off_parts(sample_plan: PlanView):
    for layout in sample_plan.document.build.layouts:
        sample_plan.document.view_layout(layout.name)
        labels = seen_labels(sample_plan)
        bodies = [sample_plan._annotations.seen.box(part) for part in sample_plan.scene().parts]
        assert len(labels) > 5
        assert [pair for pair in combinations(labels, 2) if covers(pair[0].box, pair[1].box) > 0.01] == []
        others = [(label, body) for label in labels for body in bodies if not body.contains(label.box)]
        assert [label.key for label, body in others if covers(label.box, body) > 0.12] == []


def test_in_every_sample_a_name_that_is_nearer_to_another_part_is_led_to_its_own(sample_plan: PlanView):
    for layout in sample_plan.document.build.layouts:
        sample_plan.document.view_layout(layout.name)
        labels = [label for label in seen_labels(sample_plan) if label.key in sample_plan.scene().parts]
        boxes = {part: sample_plan._annotations.seen.box(part) for part in sample_plan.scene().parts}
        for label in labels:
            rivals = [box for part, box in boxes.items() if part != label.key]
            if not label.beside.contains(label.box) and not label.is_led:
                assert min(gap(label.box, box) for box in rivals) >= gap(label.box, label.beside) - 0.01, label.key


def covers(one: QRectF, other: QRectF) -> float:
    """Share of the first that the second takes."""
    both = one & other
    return both.width() * both.height() / (one.width() * one.height())


def gap(one: QRectF, other: QRectF) -> float:
    across = max(0.0, other.left() - one.right(), one.left() - other.right())
    return (across**2 + max(0.0, other.top() - one.bottom(), one.top() - other.bottom()) ** 2) ** 0.5

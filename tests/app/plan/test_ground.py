"""The room, what is kept free in it, and the drawing below, with real mouse and keys."""

from pathlib import Path

import ezdxf
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest

from app.plan.ground import Ground
from app.plan.ground_picture import read_picture
from app.theme import LIGHT
from loopsim.build import Background, Reserved, ground_edits, load, save
from loopsim.errors import FileError

SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="96" height="48" viewBox="0 0 192 96">
<rect width="9" height="9"/></svg>"""


@pytest.fixture
def ground(plan) -> Ground:
    return Ground(plan)


@pytest.fixture
def edited(ground) -> Ground:
    ground.edit(True)
    return ground


@pytest.fixture
def space(document) -> Reserved:
    made = Reserved(name="Drive bay", x_mm=750, y_mm=450, length_mm=100, width_mm=80)
    document.do(ground_edits.add_reserved(document.build, document.layout.name, made))
    return made


@pytest.fixture
def picture_file(tmp_path: Path) -> Path:
    image = QImage(200, 100, QImage.Format.Format_RGB32)
    image.fill(QColor("#336699"))
    image.save(str(tmp_path / "sketch.png"))
    return tmp_path / "sketch.png"


def room(document):
    return document.build.enclosure


def test_a_wall_of_a_plain_box_is_dragged_to_another_length_as_one_step(edited, document, mouse):  # noqa: ARG001
    mouse.drag((900, 300), (940, 300), (800, 310))
    assert (room(document).length_mm, room(document).width_mm, room(document).outline) == (800, 550, ())
    assert document.history.undoText() == "Resize the enclosure"
    document.history.undo()
    assert room(document).length_mm == 900
    assert document.history.isClean() or document.history.index() == 0


def test_the_far_corner_changes_both_sizes(edited, document, mouse):  # noqa: ARG001
    mouse.drag((900, 550), (850, 500))
    assert (room(document).length_mm, room(document).width_mm) == (850, 500)


def test_a_double_click_on_a_wall_adds_a_corner_that_can_be_pulled_in_and_removed(edited, plan, document, mouse):  # noqa: ARG001
    mouse.double_click(450, 550)
    assert len(room(document).corners) == 5
    mouse.drag((450, 550), (450, 400))
    assert (450, 400) in room(document).corners
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert len(room(document).corners) == 4


def test_parts_stay_where_they_are_while_the_room_is_edited_until_escape(edited, plan, document, mouse):
    mouse.drag((350, 100), (400, 150))
    assert document.layout.placement("pump").x_mm == 350
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert not edited.is_edited
    mouse.drag((350, 100), (400, 150))
    assert document.layout.placement("pump").x_mm == 400


def test_escape_in_a_drag_of_a_wall_leaves_no_trace(edited, plan, document, mouse):  # noqa: ARG001
    mouse.drag((900, 300), (800, 300), release=False)
    assert room(document).length_mm == 800
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert room(document).length_mm == 900
    assert not document.history.canUndo()
    assert not document.history.canRedo()


def test_a_space_is_reserved_by_a_drag(ground, document, mouse):
    ground.reserve()
    mouse.drag((700, 400), (800, 500))
    (made,) = document.layout.reserved
    assert (made.x_mm, made.y_mm, made.length_mm, made.width_mm) == (750, 450, 100, 100)
    document.history.undo()
    assert document.layout.reserved == ()


def test_a_space_is_moved_resized_and_removed(space, edited, plan, document, mouse):  # noqa: ARG001
    mouse.drag((750, 450), (700, 400))
    (moved,) = document.layout.reserved
    assert (moved.x_mm, moved.y_mm, moved.length_mm) == (700, 400, 100)
    mouse.drag((750, 440), (800, 500))
    (larger,) = document.layout.reserved
    assert (larger.length_mm, larger.width_mm) == (150, 140)
    assert (larger.x_mm - 75, larger.y_mm - 70) == (650, 360)  # the opposite corner stayed
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert document.layout.reserved == ()


@pytest.mark.parametrize(
    ("at", "wall", "along"), [((400, 540), "back", 400), ((890, 200), "right", 200), ((10, 300), "left", 300)]
)
def test_a_hole_is_cut_into_the_wall_that_is_nearest(ground, document, mouse, at, wall, along):
    ground.cut("hole")
    mouse.click(*at)
    (made,) = room(document).openings
    assert (made.kind, made.wall, made.along_mm, made.up_mm) == ("hole", wall, along, 40)


def test_a_grille_slides_along_its_wall_but_not_out_of_it(ground, plan, document, mouse):
    ground.cut("grille")
    mouse.click(400, 545)
    ground.edit(True)
    mouse.drag((400, 550), (500, 400))
    assert room(document).openings[0].along_mm == 500
    mouse.drag((500, 550), (1200, 550))
    assert room(document).openings[0].along_mm == 900 - room(document).openings[0].length_mm / 2
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert room(document).openings == ()


@pytest.mark.parametrize(
    ("name", "typed", "value"),
    [("length_mm", "1000", 1000), ("width_mm", "600 mm", 600), ("clear_height_mm", "62,5", 62.5)],
)
def test_sizes_are_typed_where_the_plan_writes_them(ground, plan, document, name, typed, value):
    plan.viewport().grab()
    box = ground.sizes._box()
    place = {
        "length_mm": QPoint(int(box.center().x()), int(box.top() - 14)),
        "width_mm": QPoint(int(box.left() - 14), int(box.center().y())),
        "clear_height_mm": plan.height_words.center().toPoint(),
    }[name]
    QTest.mouseDClick(plan.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert ground.sizes.isVisible()
    QTest.keyClicks(ground.sizes, typed)
    QTest.keyClick(ground.sizes, Qt.Key.Key_Return)
    assert getattr(room(document), name) == value
    assert not ground.sizes.isVisible()


def test_a_size_that_cannot_be_is_refused_and_stays_typed(ground, plan, document, qtbot):
    ground.sizes.ask("length_mm")
    QTest.keyClicks(ground.sizes, "-4")
    with qtbot.waitSignal(plan.message) as said:
        QTest.keyClick(ground.sizes, Qt.Key.Key_Return)
    assert "above 0 mm" in said.args[0]
    assert ground.sizes.isVisible()
    QTest.keyClick(ground.sizes, Qt.Key.Key_Escape)
    assert room(document).length_mm == 900


def test_a_picture_is_laid_and_scaled_by_two_clicks_and_a_distance(ground, plan, document, mouse, picture_file):
    ground.below.lay(picture_file)
    assert document.layout.background.mm_per_unit == 4.5  # 200 pixels over 900 mm
    mouse.click(100, 100)
    mouse.click(300, 100)
    QTest.keyClicks(plan, "400")
    QTest.keyClick(plan, Qt.Key.Key_Return)
    scaled = document.layout.background
    assert scaled.mm_per_unit == pytest.approx(9.0, rel=0.02)  # clicks fall on whole pixels
    assert document.history.undoText() == "Scale the drawing below"
    assert scaled.x_mm == pytest.approx(-100, abs=3)


def test_the_picture_is_seen_dimmed_and_not_when_it_is_taken_away(ground, plan, document, picture_file):  # noqa: ARG001
    plain = plan.viewport().grab().toImage()
    ground.below.lay(picture_file)
    plan.cancel()
    at = plan.to_pixel(plan.mapToScene(450, 300)).toPoint()
    laid = plan.viewport().grab().toImage().pixelColor(at)
    ground.below.dim(-60.0)
    clear = plan.viewport().grab().toImage().pixelColor(at)
    assert clear.lightness() < laid.lightness() < plain.pixelColor(at).lightness()
    ground.below.lift()
    assert plan.viewport().grab().toImage().pixelColor(at) == plain.pixelColor(at)


def test_the_picture_moves_while_the_room_is_edited_unless_it_is_held(ground, document, mouse, picture_file):
    ground.below.lay(picture_file)
    ground.plan.cancel()
    ground.edit(True)
    mouse.drag((300, 300), (350, 320))
    assert (document.layout.background.x_mm, document.layout.background.y_mm) == pytest.approx((50, 20), abs=2)
    before = document.layout.background
    ground.below.toggle_lock()
    mouse.drag((300, 300), (350, 320))
    assert document.layout.background == before.with_values(locked=True)


def test_a_drawing_beside_the_build_is_found_again_from_there(ground, document, tmp_path, picture_file):
    save(document.build, tmp_path / "a.loop.json")
    document.open_file(tmp_path / "a.loop.json")
    ground.below.lay(picture_file)
    assert document.layout.background.source == "sketch.png"
    document.save()
    assert load(tmp_path / "a.loop.json").layouts[0].background.source == "sketch.png"


def test_a_drawing_that_is_gone_is_a_sentence(ground, plan, document, qtbot, tmp_path):  # noqa: ARG001
    lies = Background(source=str(tmp_path / "gone.png"))
    with qtbot.waitSignal(plan.message) as said:
        document.do(ground_edits.put_background(document.build, document.layout.name, lies))
    assert said.args[0].startswith("gone.png: cannot be read")


def test_a_dxf_brings_its_own_scale_and_its_curves_and_blocks(tmp_path, qapp):  # noqa: ARG001
    drawing = ezdxf.new(units=ezdxf.units.CM)
    model = drawing.modelspace()
    model.add_lwpolyline([(10, 10), (40, 10), (40, 30)])
    model.add_circle((20, 20), 5)
    block = drawing.blocks.new("LEG")
    block.add_line((0, 0), (0, 10))
    model.add_blockref("LEG", (60, 10))
    drawing.saveas(tmp_path / "a.dxf")
    found = read_picture(Background(source="a.dxf", kind="DXF"), tmp_path)
    assert (found.width, found.height, found.unit_mm) == (50, 20, 10)
    image = QImage(50, 20, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.translate(0, 20)
    found.paint(painter, LIGHT)
    painter.end()
    foot = [image.pixelColor(10, row).lightness() for row in (14, 15)]  # of the circle, 5 above the lowest line
    assert min(foot) < 200
    assert image.pixelColor(25, 3).lightness() > 250


def test_an_svg_brings_the_scale_of_its_own_units(tmp_path, qapp):  # noqa: ARG001
    (tmp_path / "a.svg").write_text(SVG)
    found = read_picture(Background(source="a.svg", kind="SVG"), tmp_path)
    assert (found.width, found.height) == (192, 96)
    assert found.unit_mm * found.width == pytest.approx(25.4)  # 96 px are one inch (CSS and SVG standards)


@pytest.mark.parametrize(("name", "kind"), [("a.dxf", "DXF"), ("a.svg", "SVG"), ("a.png", "picture")])
def test_what_is_no_drawing_is_refused_in_words(tmp_path, qapp, name, kind):  # noqa: ARG001
    (tmp_path / name).write_bytes(b"nothing to see")
    with pytest.raises(FileError, match=kind):
        read_picture(Background(source=name, kind=kind), tmp_path)


def test_spaces_openings_and_the_room_leave_marks_in_light_and_dark(space, ground, plan, document):  # noqa: ARG001
    with_space = plan.viewport().grab().toImage()
    document.do(ground_edits.remove_reserved(document.build, document.layout.name, space.name))
    assert plan.viewport().grab().toImage() != with_space

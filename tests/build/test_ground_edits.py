"""Edits of the room, reserved spaces, notes and the picture below."""

import pytest

from loopsim.build import Background, Build, Note, Reserved, WallOpening, edits, ground_edits, run_edits
from loopsim.errors import LoopsimError, SketchError
from loopsim.parts import Corner

LAYOUT = "layout 1"
HOLE = WallOpening(name="cable hole", along_mm=50, up_mm=20)
BAY = Reserved(name="drive bay", x_mm=200, y_mm=200)
NOTE = Note(id="note", text="mind the beam", x_mm=10, y_mm=10)


def test_a_corner_of_a_plain_box_is_pulled_and_the_size_follows(build: Build) -> None:
    edit = ground_edits.move_outline_corner(build, 2, 700, 450)
    assert edit.text == "Move corner of the enclosure"
    room = edit.build.enclosure
    assert (room.length_mm, room.width_mm, room.corners[2]) == (700, 450, (700, 450))
    assert ground_edits.set_outline(edit.build, ()).build.enclosure.corners == ((0, 0), (700, 0), (700, 450), (0, 450))


def test_corners_are_added_to_the_nearest_wall_and_removed(build: Build) -> None:
    edit, index = ground_edits.insert_outline_corner(build, (595, 150))
    assert (index, edit.build.enclosure.corners[2]) == (2, (600, 150))
    notch = ground_edits.move_outline_corner(edit.build, index, 400, 150)
    assert ground_edits.remove_outline_corner(notch.build, index).build.enclosure.corners == build.enclosure.corners
    last, index = ground_edits.insert_outline_corner(build, (3, 100))  # the wall from the last corner to the first
    assert (index, last.build.enclosure.corners[-1]) == (4, (0, 100))


def test_an_outline_of_two_corners_and_a_corner_that_is_not_there_are_refused(build: Build) -> None:
    three = ground_edits.remove_outline_corner(build, 0).build
    with pytest.raises(LoopsimError, match="at least three corners, got 2"):
        ground_edits.remove_outline_corner(three, 0)
    with pytest.raises(SketchError, match="corners 1 to 4, got 5"):
        ground_edits.move_outline_corner(build, 4, 0, 0)


def test_openings_are_cut_changed_and_closed(build: Build) -> None:
    cut = ground_edits.add_opening(build, HOLE)
    assert cut.text == "Cut cable hole"
    moved = ground_edits.change_opening(cut.build, "cable hole", along_mm=90, part="block")
    assert moved.build.enclosure.openings[0].along_mm == 90
    assert ground_edits.free_opening_name(cut.build, "cable hole") == "cable hole 2"
    assert ground_edits.remove_opening(cut.build, "cable hole").build == build
    with pytest.raises(SketchError, match="no opening 'cabel hole'; did you mean 'cable hole'"):
        ground_edits.remove_opening(cut.build, "cabel hole")


def test_an_opening_outlives_the_part_that_stood_for_its_air(build: Build) -> None:
    linked = ground_edits.add_opening(build, HOLE.with_values(part="block")).build
    assert edits.remove_part(linked, LAYOUT, "block").build.enclosure.openings[0].part is None


def test_reserved_spaces_come_change_and_go(build: Build) -> None:
    made = ground_edits.add_reserved(build, LAYOUT, BAY)
    assert made.text == "Reserve drive bay"
    higher = ground_edits.change_reserved(made.build, LAYOUT, "drive bay", high_mm=40.0)
    assert higher.build.layout().reserved[0].high_mm == 40.0
    assert ground_edits.free_reserved_name(made.build.layout(), "drive bay") == "drive bay 2"
    assert ground_edits.remove_reserved(higher.build, LAYOUT, "drive bay").build == build
    with pytest.raises(LoopsimError, match="must be above its underside"):
        ground_edits.change_reserved(made.build, LAYOUT, "drive bay", high_mm=-5.0)


def test_notes_are_written_moved_pointed_and_removed(build: Build) -> None:
    made = ground_edits.add_note(build, LAYOUT, NOTE)
    assert ground_edits.free_note_id(made.build.layout()) == "note_2"
    moved = ground_edits.change_note(made.build, LAYOUT, "note", x_mm=50, to_x_mm=90, to_y_mm=40)
    assert (moved.text, moved.build.layout().notes[0].to_x_mm) == ("Move note", 90)
    plain = ground_edits.change_note(moved.build, LAYOUT, "note", x_mm=10, to_x_mm=None, to_y_mm=None)
    assert plain.build == made.build
    assert ground_edits.change_note(made.build, LAYOUT, "note", text="gone").text == "Change note"
    assert ground_edits.remove_note(made.build, LAYOUT, "note").build == build


def test_two_clicks_scale_the_drawing_below_about_the_first(build: Build) -> None:
    """400 units apart at 1 mm per unit, known to be 200 mm: half the scale, and the first click stays on its place."""
    laid = ground_edits.put_background(build, LAYOUT, Background(source="floor.png", x_mm=-100, y_mm=0)).build
    scaled = ground_edits.scale_background(laid, LAYOUT, (100, 100), (500, 100), 200.0).build.layout().background
    assert (scaled.mm_per_unit, scaled.x_mm, scaled.y_mm) == (0.5, 0.0, 50.0)
    assert (100 - scaled.x_mm) / scaled.mm_per_unit == (100 - -100) / 1.0  # the same spot of the picture
    for ends, distance in (((0, 0), (0, 0)), 10.0), (((0, 0), (9, 0)), 0.0):
        with pytest.raises(SketchError, match="a scale needs two places apart"):
            ground_edits.scale_background(laid, LAYOUT, *ends, distance)


def test_what_lies_below_is_dimmed_and_taken_away(build: Build) -> None:
    laid = ground_edits.put_background(build, LAYOUT, Background(source="floor.dxf", kind="DXF")).build
    assert (
        ground_edits.change_background(laid, LAYOUT, dim_percent=20, locked=False).build.layout().background.locked
        is False
    )
    assert ground_edits.remove_background(laid, LAYOUT).build == build
    with pytest.raises(SketchError, match="no drawing below it"):
        ground_edits.remove_background(build, LAYOUT)


def test_a_stretch_slides_sideways_between_its_neighbours(build: Build) -> None:
    """run_3 goes from the block's right end to x 580, back along y 300 and in from the left at x -20."""
    corners = tuple(Corner(x_mm=x, y_mm=y) for x, y in ((580, 100), (580, 300), (-20, 300), (-20, 100)))
    drawn = edits.change_run(build, LAYOUT, "run_3", corners=corners).build
    slid = run_edits.slide_stretch(drawn, LAYOUT, "run_3", 2, -50.0)  # to its right, as it runs to the left: away
    assert slid.text == "Slide stretch of tube run Block to Reservoir"
    assert [(c.x_mm, c.y_mm) for c in slid.build.layout().run("run_3").corners] == [
        (580, 100),
        (580, 350),
        (-20, 350),
        (-20, 100),
    ]
    with pytest.raises(SketchError, match="stretch 1 ends at a port"):
        run_edits.slide_stretch(drawn, LAYOUT, "run_3", 0, 10.0)


def test_a_part_that_air_returns_from_can_be_removed(build: Build) -> None:
    returns = [{"outlet": "pump", "inlet": "block"}]
    blown = edits.change_layout(build, LAYOUT, air_returns=returns).build
    assert edits.remove_part(blown, LAYOUT, "pump").build.layout().air_returns == ()

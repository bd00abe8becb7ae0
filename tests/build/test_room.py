"""The room, reserved spaces, notes and the picture below: what is allowed, and what files hold of it."""

import json

import pytest

from loopsim.build import (
    Background,
    Build,
    Enclosure,
    Note,
    PlanPoint,
    Reserved,
    WallOpening,
    edits,
    from_text,
    to_text,
)
from loopsim.errors import LoopsimError, SketchError

LAYOUT = "layout 1"
L_SHAPE = [PlanPoint(x_mm=x, y_mm=y) for x, y in ((0, 0), (600, 0), (600, 200), (300, 200), (300, 400), (0, 400))]


def test_without_an_outline_the_room_is_its_rectangle() -> None:
    assert Enclosure(length_mm=300, width_mm=200).corners == ((0, 0), (300, 0), (300, 200), (0, 200))
    assert len(Enclosure(outline=L_SHAPE).corners) == 6


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"outline": L_SHAPE[:2]}, "at least three corners, got 2"),
        ({"outline": L_SHAPE, "length_mm": 500}, "corner 2: x must be 0 to 500 mm"),
        ({"outline": [L_SHAPE[0], L_SHAPE[2], L_SHAPE[1], L_SHAPE[5]]}, "edges after corners 1 and 3 cross"),
        ({"openings": [{"name": "a", "along_mm": 5, "up_mm": 5}] * 2}, "two openings are called 'a'"),
        ({"openings": [{"name": "a", "along_mm": 5, "up_mm": 5, "part": "fan"}]}, "this build has no part 'fan'"),
    ],
)
def test_a_room_that_cannot_be_is_refused_in_words(build: Build, values: dict, words: str) -> None:
    with pytest.raises(LoopsimError, match=words):
        edits.change_build(build, enclosure=values)


def test_a_reserved_space_without_height_is_refused(build: Build) -> None:
    space = {"name": "bay", "x_mm": 0, "y_mm": 0, "low_mm": 30, "high_mm": 30}
    with pytest.raises(LoopsimError, match=r"must be above its underside \(30 mm\), got 30 mm"):
        edits.change_layout(build, LAYOUT, reserved=[space])


def test_half_an_arrow_is_refused(build: Build) -> None:
    with pytest.raises(LoopsimError, match="an arrow needs x and y"):
        edits.change_layout(build, LAYOUT, notes=[{"id": "n", "text": "here", "x_mm": 0, "y_mm": 0, "to_x_mm": 5}])


def test_names_of_spaces_and_notes_differ(build: Build) -> None:
    spaces = [Reserved(name="bay", x_mm=0, y_mm=0)] * 2
    with pytest.raises(SketchError, match="reserved space 'bay' stands here twice"):
        edits.change_layout(build, LAYOUT, reserved=spaces)


def test_a_file_tells_of_them_only_where_they_are_used(build: Build) -> None:
    plain = to_text(build)
    for word in (
        "lie",
        "mirrored",
        "locked",
        "group",
        "outline",
        "openings",
        "reserved",
        "notes",
        "background",
        "wetted",
    ):
        assert f'"{word}"' not in plain
    full = edits.change_build(
        build, enclosure={"outline": L_SHAPE, "openings": [WallOpening(name="a", along_mm=5, up_mm=5)]}
    )
    full = edits.change_layout(
        full.build,
        LAYOUT,
        reserved=[Reserved(name="bay", x_mm=50, y_mm=50)],
        notes=[Note(id="n", text="mind the beam", x_mm=9, y_mm=9, to_x_mm=20, to_y_mm=20)],
        background=Background(source="floor.svg", kind="SVG"),
    )
    full = edits.change_placement(full.build, LAYOUT, "pump", lie="on edge", mirrored=True, locked=True, group="pumps")
    full = edits.change_part(full.build, "block", wetted="copper")
    assert from_text(to_text(full.build)) == full.build
    assert json.loads(to_text(full.build))["layouts"][0]["placed"][1]["lie"] == "on edge"


def test_port_heights_follow_the_lie(build: Build) -> None:
    """The default block is 80 x 60 x 25 mm, its ports in the middle of both ends, 18 mm up."""
    tipped = edits.change_placement(build, LAYOUT, "block", lie="on edge", height_mm=4).build
    layout = tipped.layout()
    assert tipped.port_spot(layout, "block.inlet") == (460.0, 100.0 + 12.5 - 18.0, 34.0)
    assert layout.placement("block").top_mm(tipped.part("block")) == 64.0

"""The shelf: own parts across builds, in one file that several programs may write."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from loopsim.build.shelf import Shelf, change_shelf, read_shelf, shelf_path
from loopsim.errors import FileError
from loopsim.parts import Block, Pump, Tube

PUMP, BLOCK = Pump(id="pump_a", name="Measured pump"), Block(id="block", name="Old block")
TUBE = Tube(id="tube", name="Bench tube", bore_mm=9.5)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "data" / "shelf.json"


def keep(path: Path, *items: object) -> Shelf:
    for item in items:
        change_shelf(path, lambda shelf, item=item: shelf.with_item(item))
    return read_shelf(path)


def test_where_nothing_was_kept_yet_the_shelf_is_empty_and_no_file_is_made(path: Path) -> None:
    assert read_shelf(path).items == ()
    assert not path.exists()


def test_what_is_kept_is_read_back_the_same(path: Path) -> None:
    shelf = keep(path, PUMP, TUBE, BLOCK)
    assert shelf.items == (PUMP, BLOCK, TUBE)
    assert shelf.item("Bench tube").bore_mm == 9.5


def test_the_same_thing_twice_is_kept_once_whatever_its_id(path: Path) -> None:
    again = PUMP.model_copy(update={"id": "pump_7"})
    assert keep(path, PUMP, again).items == (PUMP,)


def test_other_data_under_the_same_name_get_a_number_and_nothing_is_lost(path: Path) -> None:
    stronger = PUMP.model_copy(update={"rated_power_w": 14.0})
    shelf = keep(path, PUMP, stronger, Tube(id="t", name="Measured pump"))
    assert shelf.names == ("Measured pump", "Measured pump 2", "Measured pump 3")
    assert shelf.item("Measured pump 2").rated_power_w == 14.0


def test_what_is_taken_off_is_gone_and_the_rest_stays(path: Path) -> None:
    keep(path, PUMP, BLOCK, TUBE)
    change_shelf(path, lambda shelf: shelf.without("Measured pump"))
    assert read_shelf(path).names == ("Old block", "Bench tube")


def test_an_unknown_name_offers_the_nearest_and_changes_nothing(path: Path) -> None:
    keep(path, PUMP)
    before = path.read_bytes()
    with pytest.raises(FileError, match="the shelf holds no 'Measured pomp'; did you mean 'Measured pump'"):
        change_shelf(path, lambda shelf: shelf.without("Measured pomp"))
    assert path.read_bytes() == before


def test_a_shelf_that_was_read_a_while_ago_loses_nothing_of_others(path: Path) -> None:
    """Two windows: each has read the shelf, then both keep something."""
    first, second = read_shelf(path), read_shelf(path)
    keep(path, PUMP)
    keep(path, BLOCK)
    assert first == second == Shelf()
    assert read_shelf(path).names == ("Measured pump", "Old block")


KEEP_TWENTY = """
import sys
from pathlib import Path
from loopsim.build.shelf import change_shelf
from loopsim.parts import Tube
for number in range(20):
    tube = Tube(id="t", name=f"{sys.argv[2]} {number}", bore_mm=5 + number)
    change_shelf(Path(sys.argv[1]), lambda shelf: shelf.with_item(tube))
"""


@pytest.mark.slow
def test_two_programs_that_write_at_once_lose_nothing(path: Path) -> None:
    programs = [subprocess.Popen([sys.executable, "-c", KEEP_TWENTY, str(path), name]) for name in ("one", "two")]
    assert [program.wait(timeout=600) for program in programs] == [0, 0]
    assert sorted(read_shelf(path).names) == sorted(f"{of} {number}" for of in ("one", "two") for number in range(20))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"{", "shelf.json: is not JSON"),
        (b"[]", "shelf.json: is not a shelf"),
        (b"\xff\xfe", "shelf.json: is not a text file in UTF-8"),
        (b'{"shelf_version": 1, "tubs": []}', "unknown key 'tubs'; did you mean 'tubes'"),
        (b'{"tubes": [{"id": "t", "name": "Bad", "bore_mm": -1}]}', "tube 'Bad': bore_mm is -1, must be above 0 mm"),
        (b'{"tubes": [{"id": "t", "name": "A"}, {"id": "u", "name": "A"}]}', "two things on the shelf are called 'A'"),
    ],
)
def test_an_unreadable_shelf_is_refused_in_one_sentence_and_kept_aside(path: Path, content: bytes, words: str) -> None:
    path.parent.mkdir()
    path.write_bytes(content)
    with pytest.raises(FileError) as refused:
        read_shelf(path)
    assert words in str(refused.value)
    assert path.read_bytes() == content
    assert keep(path, PUMP).names == ("Measured pump",)
    assert (path.parent / "shelf-unreadable-1.json").read_bytes() == content


def test_files_set_aside_do_not_overwrite_each_other(path: Path) -> None:
    path.parent.mkdir()
    for content in ("first", "second"):
        path.write_text(content)
        keep(path, PUMP)
    aside = [path.with_name(f"shelf-unreadable-{number}.json").read_text() for number in (1, 2)]
    assert aside == ["first", "second"]


def test_a_shelf_of_a_newer_version_is_neither_read_nor_moved(path: Path) -> None:
    path.parent.mkdir()
    path.write_text(json.dumps({"shelf_version": 99}))
    for act in (lambda: read_shelf(path), lambda: keep(path, PUMP)):
        with pytest.raises(FileError, match="written by a newer Loopsim"):
            act()
    assert json.loads(path.read_text()) == {"shelf_version": 99}
    assert not list(path.parent.glob("*unreadable*"))


def test_a_folder_that_cannot_be_made_is_one_clear_error(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("a file where a folder should be")
    with pytest.raises(FileError, match=r"shelf\.json: cannot be written"):
        change_shelf(tmp_path / "data" / "shelf.json", lambda shelf: shelf.with_item(PUMP))


def test_the_shelf_lies_in_a_folder_of_the_programs_own() -> None:
    assert shelf_path().parent.name == "loopsim"

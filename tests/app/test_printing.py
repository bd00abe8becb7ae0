"""The plan on paper is as large as the machine."""

import re
import zlib
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF, QSizeF

from app.build_files import sample_build
from app.printing import CHECK_MM, print_plan, tiles
from app.window import MainWindow
from loopsim.build import Build, Enclosure
from loopsim.errors import FileError

POINT_MM = 25.4 / 72  # a PDF's unit (ISO 32000, 8.3.2.3)


def product(a, b):
    """Of two matrices as a PDF writes them."""
    return (
        a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3], a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5],
    )  # fmt: skip


def strokes(content: str):
    """Straight strokes of a page in millimetres of paper, read from its operators alone."""
    matrix, stack, numbers, at = (1, 0, 0, 1, 0, 0), [], [], None
    for word in content.split():
        if re.fullmatch(r"[-+]?\d*\.?\d+", word):
            numbers.append(float(word))
            continue
        if word == "q":
            stack.append(matrix)
        elif word == "Q":
            matrix = stack.pop()
        elif word == "cm":
            matrix = product(tuple(numbers[-6:]), matrix)
        elif word in ("m", "l"):
            x, y = numbers[-2:]
            place = tuple(POINT_MM * each for each in product((1, 0, 0, 1, x, y), matrix)[4:])
            if word == "l" and at is not None:
                yield at, place
            at = place
        numbers = []


def pages(path: Path) -> list[str]:
    """The contents of the pages, in order."""
    found = []
    for part in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", path.read_bytes(), re.DOTALL):
        try:
            text = zlib.decompress(part).decode("latin-1")
        except zlib.error:
            continue
        if re.search(r"\bcm\b", text) and re.search(r"\bl\b", text):
            found.append(text)
    return found


def lengths(content: str):
    return [((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in strokes(content)]


@pytest.fixture
def printed(tmp_path: Path, qapp) -> Path:  # noqa: ARG001
    build = sample_build("render-plinth")
    print_plan(build, build.layouts[0], tmp_path / "plan.pdf")
    return tmp_path / "plan.pdf"


def test_the_check_bar_of_every_page_is_100_mm_of_paper(printed: Path):
    contents = pages(printed)
    assert len(contents) > 1
    for content in contents:
        assert any(length == pytest.approx(CHECK_MM, abs=0.05) for length in lengths(content))


def test_an_enclosure_that_fits_a_page_is_drawn_as_long_as_it_is(tmp_path: Path, qapp):  # noqa: ARG001
    build = Build(name="Small", enclosure=Enclosure(length_mm=120, width_mm=83))
    assert print_plan(build, build.layouts[0], tmp_path / "small.pdf") == 1
    (content,) = pages(tmp_path / "small.pdf")
    drawn = lengths(content)
    for size in (120, 83):
        assert any(length == pytest.approx(size, abs=0.05) for length in drawn)


def test_pages_have_the_paper_s_size(printed: Path):
    boxes = re.findall(rb"/MediaBox \[\s*0 0 ([\d.]+) ([\d.]+)", printed.read_bytes())
    sizes = {tuple(sorted(round(float(each) * POINT_MM) for each in box)) for box in boxes}
    assert sizes == {(210, 297)}


def test_tiles_cover_the_area_and_share_their_edges():
    area, page = QRectF(-20, -500, 1200, 600), QSizeF(190, 261)
    made = tiles(area, page)
    covered = QRectF()
    for tile in made:
        assert tile.area.size() == page
        covered = covered.united(tile.area)
    assert covered.contains(area)
    assert len(made) == made[0].rows * made[0].columns
    first, second = made[:2]
    assert first.area.right() - second.area.left() == pytest.approx(10)


def test_the_command_writes_the_file_and_says_how_many_pages(window: MainWindow, answers, tmp_path: Path):
    answers.path = tmp_path / "plan.pdf"
    assert window.files.print_plan()
    assert answers.asked == ["print render-plinth-plan.pdf"]
    assert re.search(r"Plan at true size written: .*plan.pdf, \d+ pages", window.message.text)
    assert answers.path.read_bytes().startswith(b"%PDF")


def test_a_place_that_cannot_be_written_is_a_sentence(window: MainWindow, answers, tmp_path: Path, sample: Build):
    answers.path = tmp_path / "nowhere" / "plan.pdf"
    assert not window.files.print_plan()
    assert window.message.text.startswith("plan.pdf: cannot be written")
    with pytest.raises(FileError):
        print_plan(sample, sample.layouts[0], answers.path)

"""The plan drawing: to scale, complete, and without overlapping words."""

import math
import xml.etree.ElementTree as ET
from importlib import resources
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from loopsim.build import Build, Enclosure, Placement, load
from loopsim.geometry import Place, Spot
from loopsim.report.labels import Box, LabelField, around, text_width
from loopsim.report.plan_sheet import PlanSheet
from loopsim.report.plan_svg import plan_svg
from loopsim.report.text import shortened

from .conftest import AWKWARD, TAGGED

SVG = "{http://www.w3.org/2000/svg}"
Sample = tuple[PlanSheet, list[tuple[str | None, Box]]]
FLOWS = {"suction": 1e-4, "feed": 1e-4, "back": 1e-4}


def _samples() -> list[tuple[Build, str]]:
    files = [entry for entry in resources.files("sample_loops").iterdir() if entry.name.endswith(".loop.json")]
    builds = [load(Path(str(file))) for file in files]
    return [(build, layout.name) for build in builds for layout in build.layouts]


def _drawing(build: Build, layout: str | None = None, flows: dict[str, float] | None = None) -> ET.Element:
    chosen = build.layout(layout)
    return ET.fromstring(plan_svg(build, chosen, flows or {run.id: 1e-4 for run in chosen.runs}))


def _texts(drawing: ET.Element) -> list[ET.Element]:
    return list(drawing.iter(f"{SVG}text"))


def _text_box(element: ET.Element) -> Box:
    """What a text covers, measured from the outlines of its letters."""
    outline = TextPath((0, 0), element.text or "", size=float(element.get("font-size", "0")), prop=_FONT, usetex=False)
    (left, low), (right, high) = outline.get_extents().get_points()
    x, y = float(element.get("x", "0")), float(element.get("y", "0"))
    if "rotate(-90" in element.get("transform", ""):
        middle = (left + right) / 2
        return Box(x - high, y - right + middle, x - low, y - left + middle)
    if element.get("text-anchor") == "middle":
        x -= (left + right) / 2
    return Box(x + left, y - high, x + right, y - low)


_FONT = FontProperties(family="DejaVu Sans")


@pytest.fixture(scope="module", params=_samples(), ids=lambda sample: sample[1])
def sample(request: pytest.FixtureRequest) -> Sample:
    """The sheet of a sample's layout, and every text on it with what it covers."""
    build, layout = request.param
    texts = [(element.text, _text_box(element)) for element in _texts(_drawing(build, layout))]
    return PlanSheet(build, build.layout(layout)), texts


def test_no_two_words_of_a_sample_plan_overlap(sample: Sample) -> None:
    _, texts = sample
    assert len(texts) > 10
    clashes = [(a, b) for (a, first), (b, second) in combinations(texts, 2) if _overlap(first, second)]
    assert clashes == []


def test_no_word_of_a_sample_plan_leaves_the_sheet_or_lies_on_a_part(sample: Sample) -> None:
    sheet, texts = sample
    parts = list(sheet.outline_boxes())
    for words, box in texts:
        assert Box(0, 0, 174, sheet.height).contains(box), words
        assert not any(_overlap(box, part) for part in parts), words


def _overlap(a: Box, b: Box) -> bool:
    return min(a.right, b.right) > max(a.left, b.left) and min(a.bottom, b.bottom) > max(a.top, b.top)


def test_the_enclosure_and_the_scale_bar_are_drawn_to_one_scale(build: Build) -> None:
    drawing = _drawing(build)
    room = next(drawing.iter(f"{SVG}polygon"))
    xs, ys = zip(*(map(float, corner.split(",")) for corner in room.get("points", "").split()), strict=True)
    scale = (max(xs) - min(xs)) / 700
    assert (max(ys) - min(ys)) / 400 == pytest.approx(scale, rel=1e-3)
    (words,) = [text.text for text in _texts(drawing) if text.get("text-anchor") == "start"]
    bar_mm = float((words or "").removesuffix(" mm"))
    lines = [line for line in drawing.iter(f"{SVG}line") if line.get("stroke") == "#111111"]
    drawn = max(float(line.get("x2", "0")) - float(line.get("x1", "0")) for line in lines)
    assert drawn == pytest.approx(bar_mm * scale, rel=2e-3)


def test_every_part_is_named_and_every_run_numbered(build: Build) -> None:
    words = [element.text for element in _texts(_drawing(build))]
    assert {"Tank", AWKWARD, shortened(TAGGED, 30), "1", "2", "3", "700 mm", "400 mm"} <= set(words)
    assert "h 0 to 55" in words
    assert {"h 12", "h 19"} <= set(words)  # ends of the sloping run into the pump
    assert "h 18 to 60" in words  # the riser behind the tank


def test_every_part_with_a_symbol_shows_it_turned_with_the_part(build: Build) -> None:
    layout = build.layout()
    turned = tuple(each.with_values(rotation_deg=90) if each.part == "tank" else each for each in layout.placed)
    drawing = _drawing(build.with_values(layouts=(layout.with_values(placed=turned),)))
    places = [group.get("transform", "") for group in drawing.iter(f"{SVG}g")]
    assert ["rotate(-90)" in place for place in places] == [True, False, False]
    assert list(drawing.iter(f"{SVG}svg")) == [drawing]


def test_back_of_the_enclosure_is_up(build: Build) -> None:
    sheet = PlanSheet(build, build.layout())
    assert sheet.point(Spot(0, 400, 0))[1] < sheet.point(Spot(0, 0, 0))[1]
    assert sheet.point(Spot(700, 0, 0))[0] > sheet.point(Spot(0, 0, 0))[0]


def _arrow_headings(drawing: ET.Element) -> list[float]:
    """Direction of every arrow in plan, counter-clockwise from x [degrees]."""
    arrows = [each for each in drawing.iter(f"{SVG}polygon") if each.get("stroke") == "#1D6F7A"]
    headings = []
    for arrow in arrows:
        tip, left, right = (np.array([*map(float, corner.split(","))]) for corner in arrow.get("points", "").split())
        dx, dy = tip - (left + right) / 2
        headings.append(math.degrees(math.atan2(-dy, dx)) % 360)
    return headings


def test_arrows_point_along_the_flow_and_turn_round_with_it(build: Build) -> None:
    forward = _arrow_headings(_drawing(build, flows=FLOWS))
    assert forward == pytest.approx([0, 0, 180], abs=2)  # to the pump, away from it, back along the rear
    backward = _arrow_headings(_drawing(build, flows={run: -flow for run, flow in FLOWS.items()}))
    assert backward == pytest.approx([180, 180, 0], abs=2)


def test_a_run_without_flow_has_no_arrow(build: Build) -> None:
    assert len(_arrow_headings(_drawing(build, flows={**FLOWS, "back": 0.0}))) == 2


def test_the_higher_tube_is_drawn_last(build: Build) -> None:
    layout = build.layout()
    tubes = [line for line in _drawing(build).iter(f"{SVG}line") if line.get("stroke") == "#1D6F7A"]
    sheet = PlanSheet(build, layout)
    last = (float(tubes[-1].get("x2", "0")), float(tubes[-1].get("y2", "0")))
    assert last == pytest.approx(sheet.point(build.port_spot(layout, "tank.inlet")), abs=0.01)  # down from 60 mm


def test_a_part_outside_the_enclosure_still_lies_on_the_sheet(build: Build) -> None:
    layout = build.layout()
    placed = tuple(
        Placement(part="tank", x_mm=-300, y_mm=-200) if each.part == "tank" else each for each in layout.placed
    )
    sheet = PlanSheet(build, layout.with_values(placed=placed, runs=()))
    assert all(sheet.limits.contains(box) for box in sheet.outline_boxes())


def test_nothing_is_drawn_larger_than_life(build: Build) -> None:
    small = build.with_values(enclosure=Enclosure(length_mm=60, width_mm=40, clear_height_mm=50))
    assert PlanSheet(small, small.layout().with_values(placed=(), runs=(), loop_flow_at=None)).scale == 1.0


def test_an_outline_is_drawn_where_the_geometry_puts_it(build: Build) -> None:
    sheet = PlanSheet(build, build.layout())
    box = list(sheet.outline_boxes())[1]
    left, _ = sheet.point(Place(300, 80).spot(Spot(-30, 0, 0)))
    assert box.left == pytest.approx(left)
    assert box.right - box.left == pytest.approx(60 * sheet.scale)


def test_labels_in_a_crowd_never_overlap() -> None:
    field = LabelField(Box(0, 0, 100, 100), np.empty((0, 2)))
    target = Box.centred(50, 50, 4, 4)
    field.take(target)
    placed = []
    while (box := field.place(around(target, 12, 4), target)) is not None:
        placed.append(box)
    assert len(placed) > 20
    assert not any(_overlap(a, b) for a, b in combinations([target, *placed], 2))
    assert all(field.limits.contains(box) for box in placed)


def test_a_label_goes_beside_a_line_rather_than_onto_it() -> None:
    line = np.column_stack([np.linspace(0, 100, 200), np.full(200, 45.0)])  # just above the target
    field = LabelField(Box(0, 0, 100, 100), line)
    target = Box.centred(50, 50, 4, 4)
    box = field.place(around(target, 12, 4), target)
    assert box is not None
    assert not field.covers_line(box)


@pytest.mark.parametrize("words", ["Pump A", "Graphics 1", "WWW mmm", "illicit", "h 10 to 26", "run 12", "OUTLET & Q"])
def test_the_width_of_text_is_not_underestimated(words: str) -> None:
    measured = TextPath((0, 0), words, size=10, prop=_FONT).get_extents().width
    assert measured <= text_width(words, 10) <= 1.6 * measured

"""Pressure budget and grade line in the report: bars, lines, and the tables beside them."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from loopsim.build import Build, edits, load
from loopsim.parts import Corner
from loopsim.report import Figure, Paragraph, Report, Section, Table, report_content
from loopsim.report.budget_svg import MOST_BARS, budget_svg
from loopsim.report.grade_line_svg import grade_line_svg
from loopsim.studies import BudgetLine, PartFlow, grade_line, operating_point

from .conftest import DAY, TAGGED

SVG = "{http://www.w3.org/2000/svg}"


def _section(report: Report, title: str) -> Section:
    return next(section for section in report.sections if section.title == title)


def _blocks(report: Report, title: str, kind: type) -> list:
    return [block for block in _section(report, title).blocks if isinstance(block, kind)]


def _words(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


def _lines(svg: str, ink: str) -> list[tuple[float, ...]]:
    found = [line for line in ET.fromstring(svg).iter(f"{SVG}line") if line.get("stroke") == ink]
    return [tuple(float(line.get(key)) for key in ("x1", "y1", "x2", "y2")) for line in found]


def test_bars_are_as_long_as_the_shares_and_named(report: Report, build: Build) -> None:
    (figure,) = _blocks(report, "Pressure budget", Figure)
    budget = operating_point(build).budget
    bars = [x2 - x1 for x1, _, x2, _ in _lines(figure.svg, "#1D6F7A")]
    assert [bar / bars[0] for bar in bars] == pytest.approx([part.share / budget[0].share for part in budget], abs=0.01)
    assert TAGGED in _words(figure.svg)
    assert f"{100 * budget[0].share:.1f} %" in _words(figure.svg)


def test_rings_climb_to_one_hundred_per_cent(report: Report) -> None:
    (figure,) = _blocks(report, "Pressure budget", Figure)
    rings = [float(ring.get("cx")) for ring in ET.fromstring(figure.svg).iter(f"{SVG}circle")]
    end = next(element for element in ET.fromstring(figure.svg).iter(f"{SVG}text") if element.text == "100 %")
    assert rings == sorted(rings)
    assert rings[-1] == pytest.approx(float(end.get("x")), abs=0.05)


def test_of_very_many_parts_the_largest_have_bars() -> None:
    part = PartFlow("id", "name", "block", 1e-4, 100.0, 0.02, "measured")
    lines = [BudgetLine(part, 0.02 * number) for number in range(1, 51)]
    assert len(_lines(budget_svg(["name"] * 50, lines), "#1D6F7A")) == MOST_BARS


def test_the_grade_table_gives_gauge_and_absolute_pressure_at_every_port(report: Report, build: Build) -> None:
    (table,) = _blocks(report, "Grade line", Table)
    (line,) = grade_line(operating_point(build))
    assert [column.title for column in table.columns][-2:] == ["gauge, kPa", "absolute, kPa"]
    assert [row[0] for row in table.rows] == [point.name for point in line.points]
    for row, point in zip(table.rows, line.points, strict=True):
        gauge, absolute = (float(cell.replace("−", "-")) for cell in row[-2:])
        assert gauge == pytest.approx(point.pressure / 1000, abs=0.06)
        assert absolute - gauge == pytest.approx(101.3, abs=0.12)


def test_the_figure_says_in_words_where_it_is_below_the_rooms_pressure(report: Report, build: Build) -> None:
    (figure,) = _blocks(report, "Grade line", Figure)
    (line,) = grade_line(operating_point(build))
    assert line.sentence in figure.caption
    assert line.sentence in figure.alt
    assert ("below the room's pressure" in _words(figure.svg)) is bool(line.below_atmosphere)


def test_the_parts_are_named_and_no_two_names_overlap(plinth_path: Path) -> None:
    build = load(plinth_path)
    (line,) = grade_line(operating_point(build))
    names = [step.name for step in line.steps if step.kind != "tube_run"]
    svg = grade_line_svg(line)
    shown = [element for element in ET.fromstring(svg).iter(f"{SVG}text") if element.text in names]
    assert sorted(element.text for element in shown) == sorted(names)
    boxes = []
    for element in shown:
        x, y, half = float(element.get("x")), float(element.get("y")), 0.3 * 2.4 * len(element.text)
        boxes.append((x - half, y - 2.4, x + half, y))
    for number, a in enumerate(boxes):
        for b in boxes[number + 1 :]:
            assert a[2] <= b[0] + 1.0 or b[2] <= a[0] + 1.0 or a[3] <= b[1] or b[3] <= a[1]


def test_the_suction_is_shaded_from_vessel_to_pump(plinth_path: Path) -> None:
    (line,) = grade_line(operating_point(load(plinth_path)))
    svg = grade_line_svg(line)
    (band,) = re.findall(r'<rect x="([\d.]+)" y="6.00" width="([\d.]+)" height="68.00" fill="#CFE3E2"/>', svg)
    scale = (174 - 4 - 14) / line.length
    assert float(band[0]) == pytest.approx(14 + scale * line.suction.start, abs=0.01)
    assert float(band[1]) == pytest.approx(scale * (line.suction.end - line.suction.start), abs=0.01)
    assert "suction" in _words(svg)


def test_a_long_stretch_below_the_rooms_pressure_is_hatched(build: Build) -> None:
    high = tuple(Corner(x_mm=x, y_mm=y, height_mm=900, turn="elbow") for x, y in ((20, 300), (20, 80)))
    (line,) = grade_line(operating_point(edits.change_run(build, "ring", "back", corners=high).build))
    assert any("back" in stretch.steps for stretch in line.below_atmosphere)
    slanting = [mark for mark in _lines(grade_line_svg(line), "#111111") if mark[0] != mark[2] and mark[1] != mark[3]]
    assert len(slanting) > 10


def test_where_nothing_flows_both_sections_say_so(build: Build) -> None:
    still = report_content(edits.remove_part(build, "ring", "pump").build, dated=DAY)
    for title in ("Pressure budget", "Grade line"):
        (block,) = _section(still, title).blocks
        assert isinstance(block, Paragraph)
        assert block.text.startswith("Nothing flows")

"""Heat in the report: tables, the balance of bars, the staircase, cautions."""

import itertools
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from loopsim.build import Build, edits, load
from loopsim.report import Figure, Listing, Paragraph, Report, Section, Table, report_content, to_html, to_markdown
from loopsim.report.balance_svg import balance_svg
from loopsim.report.cautions import CAUTIONS, LEFT_OUT
from loopsim.report.staircase_svg import staircase_svg
from loopsim.studies import HeatPoint, heat_balance, heat_point, heat_points, staircases
from loopsim.studies.rounding import with_band
from loopsim.studies.tolerance.quick import quick_bands

from .conftest import DAY

SVG = "{http://www.w3.org/2000/svg}"
WARM, LIQUID = "#A4511C", "#1D6F7A"


@pytest.fixture(scope="module")
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)


@pytest.fixture(scope="module")
def heat(plinth: Build) -> HeatPoint:
    return heat_point(plinth)


@pytest.fixture(scope="module")
def whole(plinth: Build) -> Report:
    return report_content(plinth, dated=DAY)


def section(report: Report, title: str) -> Section:
    return next(each for each in report.sections if each.title == title)


def table(report: Report, title: str, caption: str) -> Table:
    found = [block for block in section(report, title).blocks if isinstance(block, Table)]
    return next(each for each in found if each.caption.startswith(caption))


def words(report: Report, title: str) -> str:
    return " ".join(block.text for block in section(report, title).blocks if isinstance(block, Paragraph))


def bars(svg: str, ink: str) -> list[tuple[float, float]]:
    lines = [each for each in ET.fromstring(svg).iter(f"{SVG}line") if each.get("stroke") == ink]
    return [(float(each.get("x1")), float(each.get("x2"))) for each in lines]


def test_the_answer_says_which_component_is_nearest_to_its_limit(whole: Report, heat: HeatPoint) -> None:
    answers = [block.text for block in section(whole, "The answer").blocks if block.weight == "answer"]
    assert len(answers) == 2
    assert answers[1].startswith("Full duty, room at 28 °C")
    half = quick_bands(heat)["Processor, temperature_c"]
    at, margin = (with_band(value, half) for value in (heat.warmest.temperature, heat.warmest.margin))
    assert f"Processor reaches {at} °C, {margin} K below its limit" in answers[1]


def test_every_component_stands_against_its_limit(whole: Report, heat: HeatPoint) -> None:
    rows = table(whole, "Heat", "Components").rows
    assert [row[0] for row in rows] == [each.name for each in heat.components]
    for row, each in zip(rows, heat.components, strict=True):
        assert float(row[3]) == pytest.approx(each.temperature, abs=0.051)
        assert float(row[5]) - float(row[3]) == pytest.approx(float(row[6]), abs=0.11)


def test_load_cases_stand_side_by_side(whole: Report, plinth: Build) -> None:
    rows = table(whole, "Heat", "Load cases").rows
    for row, each in zip(rows, heat_points(plinth), strict=True):
        assert row[:3] == (each.case.name, f"{each.room:g}", f"{each.case.load_percent:g}")
        assert row[7:] == (each.warmest.name, f"{each.warmest.margin:.1f}")


def test_both_sides_of_the_table_add_up_to_the_same(whole: Report, heat: HeatPoint) -> None:
    rows = table(whole, "Heat balance", "Heat in and out").rows
    into, out = (sum(float(row[2]) for row in rows if row[0] == side) for side in ("in", "out"))
    assert into == pytest.approx(out, abs=0.06 * len(rows))
    assert into == pytest.approx(heat.budget.electrical, abs=0.06 * len(rows))


def test_bars_follow_one_another_and_end_at_the_total(heat: HeatPoint) -> None:
    balance = heat_balance(heat)
    svg = balance_svg(balance)
    ends = []
    for ink, lines in ((WARM, balance.into), (LIQUID, balance.out)):
        found = bars(svg, ink)
        lengths = [end - start for start, end in found]
        shares = [line.heat / balance.total for line in lines]
        width = lengths[0] / shares[0]
        assert lengths == pytest.approx([max(share * width, 0.2) for share in shares], abs=0.02)
        for (_, end), (start, _) in itertools.pairwise(found):
            assert start == pytest.approx(end, abs=0.02)
        ends.append(found[-1][1])
    assert ends[0] == pytest.approx(ends[1], abs=0.2)


def test_the_staircase_climbs_in_blocks_and_falls_in_radiators(heat: HeatPoint) -> None:
    (stairs,) = staircases(heat)
    lines = list(ET.fromstring(staircase_svg(stairs)).iter(f"{SVG}polyline"))
    assert len(lines) == len(stairs.steps)
    for line, step in zip(lines, stairs.steps, strict=True):
        (_, start), (_, end) = (map(float, pair.split(",")) for pair in line.get("points").split())
        if step.kind == "block":
            assert start > end, "up on paper is down in y"
            assert line.get("stroke") == WARM
        if step.kind == "radiator":
            assert start < end
            assert line.get("stroke") == LIQUID


def test_the_staircase_names_parts_with_what_they_change(heat: HeatPoint) -> None:
    (stairs,) = staircases(heat)
    said = [each.text for each in ET.fromstring(staircase_svg(stairs)).iter(f"{SVG}text")]
    radiator = next(step for step in stairs.steps if step.id == "radiator_1")
    assert f"Radiator 1 −{-radiator.change:.1f} K" in said


def test_air_and_supplies_are_told(whole: Report, heat: HeatPoint) -> None:
    chamber = next(row for row in table(whole, "Air", "Air in the enclosure").rows if row[0] == "chamber")
    assert float(chamber[1]) == pytest.approx(heat.spaces[0].temperature, abs=0.051)
    assert len(table(whole, "Air", "Fans").rows) == 5
    assert [row[0] for row in table(whole, "Air", "Radiators").rows] == ["Radiator 1", "Radiator 2"]
    assert "dB(A) at 1 m" in words(whole, "Air")
    supplies = table(whole, "Heat balance", "Electrical supplies").rows
    assert [(row[1], row[3]) for row in supplies] == [("outside", "250")] * 3


def test_a_missed_limit_stands_among_the_findings(plinth: Build) -> None:
    slow = plinth
    for number in range(1, 6):
        slow = edits.change_placement(slow, slow.layout().name, f"fan_{number}", speed_percent=75).build
    report = report_content(slow, dated=DAY)
    (found,) = [block for block in section(report, "Findings").blocks if isinstance(block, Listing)]
    assert any(re.match(r"Processor: it reaches 8\d\.\d °C, its limit is 80 °C\.", item) for item in found.items)
    assert "above its limit" in words(report, "The answer")


def test_heat_without_a_way_out_has_no_temperature_and_says_so(report: Report) -> None:
    (row,) = table(report, "Heat", "Components").rows
    assert row[3] == "boils"
    assert "no way out" in words(report, "Heat")
    assert "have no way out" in words(report, "Heat balance")
    assert not re.search(r"\d{5,}", to_markdown(Report("", DAY, sections=(section(report, "Heat"),)), "x")[0])


def test_every_format_carries_the_heat(whole: Report) -> None:
    html, (markdown, drawings) = to_html(whole), to_markdown(whole, "log")
    for text in (html, markdown):
        assert "Heat balance" in text
        assert "Load cases side by side" in text
    assert {"log-staircase.svg", "log-heat-balance.svg"} <= set(drawings)
    assert html.count("<svg") == len(whole.figures)


@pytest.mark.parametrize(
    "subject", ["mains", "supplies", "burns at a touch", "Glycol", "hot glass", "Plastic and glass under pressure"]
)
def test_what_can_hurt_someone_is_named(subject: str) -> None:
    assert any(subject in caution for caution in CAUTIONS)


def test_cautions_defer_to_local_codes_and_licensed_practice() -> None:
    mains = [caution for caution in CAUTIONS if "mains wiring" in caution or "Electrical supplies" in caution]
    assert len(mains) == 2
    assert all("local" in caution and "licensed" in caution for caution in mains)


def test_what_is_left_out_does_not_deny_what_is_worked_out() -> None:
    assert not any("no temperatures" in item or "one temperature everywhere" in item for item in LEFT_OUT)


def test_figures_are_named_apart(whole: Report) -> None:
    names = [figure.name for figure in whole.figures]
    assert len(set(names)) == len(names)
    assert all(isinstance(figure, Figure) and figure.alt for figure in whole.figures)

"""What the flow report says."""

from datetime import date

import pytest

from loopsim import __version__
from loopsim.build import Build, Layout, Placement
from loopsim.errors import SketchError
from loopsim.parts import Reservoir
from loopsim.report import Column, Figure, Listing, Paragraph, Report, Section, Table, report_content
from loopsim.studies import failures, heat_point, news_of_heat, operating_point
from loopsim.units import from_si

from .conftest import AWKWARD, DAY, TAGGED


def _section(report: Report, title: str) -> Section:
    return next(section for section in report.sections if section.title == title)


def _table(report: Report, title: str, number: int = 0) -> Table:
    return [block for block in _section(report, title).blocks if isinstance(block, Table)][number]


def test_sections_stand_in_the_order_in_which_a_builder_reads(report: Report) -> None:
    assert [section.title for section in report.sections] == [
        "The answer",
        "Plan",
        "Operating point",
        "Pressure budget",
        "Grade line",
        "Curves",
        "If a pump stops",
        "Heat",
        "Heat balance",
        "Air",
        "Parts list",
        "Tube cut list",
        "Coolant volume",
        "Filling",
        "Draining",
        "Leak test",
        "Swell of the coolant",
        "Clear plastic under pressure",
        "Findings",
        "Cautions",
        "Where the data come from",
        "What the model leaves out",
    ]
    assert all(section.blocks for section in report.sections)


def test_the_head_names_build_layout_date_and_version(report: Report, build: Build) -> None:
    assert report.facts == (
        ("Build", build.name),
        ("Layout", "ring"),
        ("Date", "2026-03-14"),
        ("Worked out by", f"Loopsim {__version__}"),
    )
    assert report.notes == ("Invented data.", "Second *line*.")


def test_without_a_date_the_report_is_of_today(build: Build) -> None:
    assert report_content(build).dated == date.today()


def test_the_answer_gives_the_flow_and_what_stays_with_the_worst_pump_stopped(report: Report, build: Build) -> None:
    flow = from_si(operating_point(build).loop_flow, "l_h")
    words = _section(report, "The answer").blocks[0].text
    assert words == f"The flow is {flow:.0f} L/h at {TAGGED}. If {AWKWARD} stops, no pump drives the flow."


def test_a_layout_in_which_nothing_flows_says_so_in_every_section_and_does_not_fail() -> None:
    alone = Layout(name="one", placed=(Placement(part="tank", x_mm=0, y_mm=0),))
    report = report_content(Build(name="bare", parts=(Reservoir(id="tank", name="Tank"),), layouts=(alone,)), dated=DAY)
    assert "Nothing flows" in _section(report, "The answer").blocks[0].text
    assert len(report.sections) == 22


def test_the_running_share_of_the_budget_ends_at_one_hundred_per_cent(report: Report) -> None:
    rows = _table(report, "Pressure budget").rows
    shares = [float(row[5]) for row in rows]
    assert shares == sorted(shares, reverse=True)
    assert float(rows[-1][6]) == pytest.approx(100.0, abs=0.1)
    assert rows[0][0] == TAGGED


def test_the_operating_point_shows_that_it_closed(report: Report, build: Build) -> None:
    point = operating_point(build)
    proof = _section(report, "Operating point").blocks[-1].text
    assert f"closed in {point.iterations} iterations" in proof
    assert "kg/s" in proof
    assert "Pa round any loop" in proof


def test_the_coolant_is_stated_with_its_properties(report: Report) -> None:
    (row,) = _table(report, "Operating point", 1).rows
    assert row[:2] == ("30 % propylene glycol in water", "30")
    assert 1010 < float(row[2]) < 1030  # kg/m3, as every maker's table of such a mix has it: common practice
    assert 1.9 < float(row[3]) < 2.4  # mPa s, likewise


def test_every_failure_stands_in_the_table_with_its_sentence(report: Report, build: Build) -> None:
    rows = _table(report, "If a pump stops").rows
    cases = failures(build).cases
    assert [row[0] for row in rows] == ["none", AWKWARD]
    assert [row[4] for row in rows[1:]] == [case.sentence for case in cases]


def test_data_come_with_kind_source_date_medium_and_tolerance(report: Report, build: Build) -> None:
    rows = {row[0:2]: row for row in _table(report, "Where the data come from", 1).rows}
    assert rows[TAGGED, "pressure drop"][2:] == (
        "measured",
        "bucket and gauge",
        "2026-02-01",
        "water, 20 °C",
        "±5",
        "12.4 ± 0.6 kPa at 240 L/h",
    )
    assert rows[AWKWARD, "stopped, forward"][2] == "a guess"
    tank, hose = build.part("tank"), build.tube("hose")
    assert rows["Tank", "single numbers"][3] == tank.provenance.source
    assert rows["Tank", "single numbers"][6] == f"±{100 * tank.relative_tolerance:g}"
    assert rows["10/13 hose", "tube"][2] == "from a table"
    assert rows["10/13 hose", "tube"][6] == f"±{100 * hose.relative_tolerance:g}"


def test_every_headline_says_which_data_it_rests_on(report: Report) -> None:
    assert _table(report, "Where the data come from").rows == (
        (f"flow at {TAGGED}", "a guess"),
        (f"head of {AWKWARD}", "a guess"),
        (f"flow with {AWKWARD} stopped", "a guess"),
    )


@pytest.mark.parametrize(
    "word", ["leak", "eye protection", "air pressure", "swallowed", "animals", "hot", "licensed", "acrylic", "dry"]
)
def test_the_usual_cautions_are_there(report: Report, word: str) -> None:
    (listing,) = _section(report, "Cautions").blocks
    assert isinstance(listing, Listing)
    assert any(word in item for item in listing.items)


def test_findings_of_the_result_are_listed_as_sentences(report: Report, build: Build) -> None:
    (listing,) = _section(report, "Findings").blocks
    assert isinstance(listing, Listing)
    heat, point = heat_point(build), operating_point(build)
    assert len(listing.items) == len(point.findings) + len(news_of_heat(heat, (), point)) > 0
    assert all(item.endswith(".") for item in listing.items)


def test_figures_carry_a_description(report: Report) -> None:
    assert [figure.name for figure in report.figures] == ["plan", "budget", "grade-line", "curves", "heat-balance"]
    assert all(len(figure.alt) > 40 and figure.svg.startswith("<svg") for figure in report.figures)


def test_an_unknown_layout_is_named(build: Build) -> None:
    with pytest.raises(SketchError, match="no layout 'rng'; did you mean 'ring'"):
        report_content(build, "rng")


def test_an_empty_layout_is_refused_with_a_way_out() -> None:
    with pytest.raises(SketchError, match="place a reservoir"):
        report_content(Build(name="empty"))


def test_a_table_refuses_a_row_of_another_length() -> None:
    with pytest.raises(ValueError, match="a row has 1 cells for 2 columns"):
        Table((Column("a"), Column("b")), (("only one",),), "short")


def test_blocks_know_their_kind() -> None:
    assert [block.kind for block in (Paragraph, Table, Figure, Listing)] == ["paragraph", "table", "figure", "listing"]

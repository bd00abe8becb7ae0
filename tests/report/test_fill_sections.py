"""Fill plan, drain plan and leak test in the report."""

from pathlib import Path

from loopsim.build import Build, LeakRecord, edits, load
from loopsim.report import Listing, Paragraph, Section, Table, report_content, to_html, to_markdown, to_pdf
from loopsim.report.fill_sections import draining, filling, leaks
from loopsim.studies.fill import LEAK_CAUTIONS, drain_plan, fill_plan

from .conftest import DAY


def texts(section: Section) -> str:
    return " ".join(block.text for block in section.blocks if isinstance(block, Paragraph))


def tables(section: Section) -> list[Table]:
    return [block for block in section.blocks if isinstance(block, Table)]


def test_every_step_of_the_fill_plan_stands_in_the_table_with_a_box(plinth_path: Path) -> None:
    plinth = load(plinth_path)
    plan, section = fill_plan(plinth), filling(plinth, plinth.layout())
    table = tables(section)[0]
    assert [row[1] for row in table.rows] == [f"{step.sentence}." for step in plan.steps]
    assert {row[-1] for row in table.rows} == {"☐"}
    assert table.total is not None
    assert table.total[2] == f"{plan.poured * 1e6:.0f}"
    assert "not known" in [row[3] for row in table.rows], "bleeding"


def test_flooded_pumps_and_lock_head_stand_as_figures(plinth_path: Path) -> None:
    plinth = load(plinth_path)
    plan, found = fill_plan(plinth), tables(filling(plinth, plinth.layout()))
    flooded = next(table for table in found if table.columns[0].heading == "pump")
    assert [row[0] for row in flooded.rows] == ["Pump A", "Pump B"]
    assert [row[1] for row in flooded.rows] == [f"{each.level * 1e3:.0f}" for each in plan.pumps]
    (start,) = next(table for table in found if table.columns[0].heading == "pumps").rows
    assert start[2] == f"{plan.starts[0].lock * 1e3:.0f}"
    assert start[-1] == "starts"


def test_what_is_done_is_ticked_in_the_log(plinth_path: Path) -> None:
    plinth = load(plinth_path)
    steps = [[each.key for each in plan.steps] for plan in (fill_plan(plinth), drain_plan(plinth))]
    done = {"filled_steps": (steps[0][1],), "drained_steps": (steps[1][0],)}
    layout = edits.change_layout(plinth, plinth.layout().name, **done).build.layout()
    for section, ticked in ((filling(plinth, layout), 1), (draining(plinth, layout), 0)):
        boxes = [row[-1] for row in tables(section)[0].rows]
        assert [number for number, box in enumerate(boxes) if box == "☑"] == [ticked]


def test_a_loop_that_cannot_be_filled_says_so_first(build: Build) -> None:
    assert not fill_plan(build).is_complete
    assert "cannot be filled as it is drawn" in texts(filling(build, build.layout()))


def test_cautions_stand_before_the_steps(build: Build) -> None:
    kinds = [type(block) for block in filling(build, build.layout()).blocks]
    assert kinds.index(Listing) < kinds.index(Table)
    assert leaks(build, build.layout()).blocks[0] == Listing(LEAK_CAUTIONS)


def test_every_warning_stands_with_its_remedy(build: Build) -> None:
    plan, section = fill_plan(build), filling(build, build.layout())
    assert plan.warnings
    assert tables(section)[-1].rows == tuple((f"{each.text}.", f"{each.remedy}.") for each in plan.warnings)


def test_what_was_poured_is_set_against_what_the_loop_holds(build: Build) -> None:
    plan = fill_plan(build)
    poured_ml = plan.capacity * 1e6 - 50
    measured = edits.change_layout(build, "ring", poured_ml=poured_ml).build
    assert "50 mL of air were inside" in texts(filling(measured, measured.layout()))
    assert "Measured" not in texts(filling(build, build.layout()))


def test_a_loop_without_an_opening_below_says_so_instead_of_a_drain_plan(build: Build) -> None:
    assert "add a drain port" in texts(draining(build, build.layout()))


def test_the_leak_record_goes_into_the_log(build: Build) -> None:
    record = LeakRecord(start_bar=0.4, end_bar=0.39, start_c=21.0, end_c=20.0, note="dial gauge, by the builder")
    tested = edits.change_layout(build, "ring", leak_record=record).build
    words = texts(leaks(tested, tested.layout()))
    assert "Read 0.400 bar at 21 °C, then 0.390 bar at 20 °C" in words
    assert "dial gauge, by the builder" in words
    assert "No leak test is noted yet" in texts(leaks(build, build.layout()))


def test_the_sections_stand_in_every_format(build: Build) -> None:
    report = report_content(build, dated=DAY)
    titles = [section.title for section in report.sections]
    assert titles.index("Filling") + 2 == titles.index("Draining") + 1 == titles.index("Leak test")
    assert "Fill plan" in to_html(report)
    assert "Fill plan" in str(to_markdown(report, "log"))


def test_the_sections_can_be_set_as_pdf(build: Build) -> None:
    assert to_pdf(report_content(build, dated=DAY)).startswith(b"%PDF")

"""The samples as they are filled and drained: what the awkward one is there for, and what the plinth shows."""

from typing import get_args

import pytest

import sample_loops
from loopsim.build import Build, edits, from_text
from loopsim.network import LEVEL, height_graph
from loopsim.studies import findings, operating_point
from loopsim.studies.fill import DrainCode, FillCode, air_map, drain_plan, fill_plan, gravity_fill

UNFINISHED = {"open end", "no vessel"}  # what a drawing in progress lacks; a sample is drawn without fault
FILLING, DRAINING = set(get_args(FillCode)), set(get_args(DrainCode))


def sample(name: str) -> Build:
    return from_text(sample_loops.sample(name).read_text(encoding="utf-8"))


def test_the_awkward_riser_shows_every_warning_with_its_remedy() -> None:
    build = sample("awkward-riser")
    plans = [fill_plan(build, layout.name) for layout in build.layouts]
    warnings = [warning for plan in plans for warning in plan.warnings]
    assert {warning.code for warning in warnings} == FILLING - UNFINISHED
    drained = [warning for layout in build.layouts for warning in drain_plan(build, layout.name).warnings]
    drained += drain_plan(build, "filled from the summit", most_tilt=LEVEL).warnings
    assert {warning.code for warning in drained} == DRAINING
    assert all(warning.remedy for warning in (*warnings, *drained))


def test_without_its_sump_and_a_tube_it_shows_what_a_drawing_in_progress_lacks() -> None:
    build = sample("awkward-riser")
    name = build.layout().name
    half = edits.remove_part(build, name, "sump").build
    warnings = [each for each in fill_plan(half, name).warnings if each.code in UNFINISHED]
    assert {each.code for each in warnings} == UNFINISHED
    assert all(each.remedy for each in warnings)


def test_the_awkward_riser_is_drawn_without_fault_and_never_runs_its_pump() -> None:
    build = sample("awkward-riser")
    for layout in build.layouts:
        assert findings(build, layout.name) == ()
        plan = fill_plan(build, layout.name)
        assert not plan.is_complete
        assert not any(step.running for step in plan.steps)


def test_the_awkward_riser_has_its_sump_lowest_and_its_pump_highest() -> None:
    layout = sample("awkward-riser").layout()
    wet = {"sump", "pump", "lamp_plate", "driver_plate"}
    heights = {part: layout.placement(part).height_mm for part in wet}
    assert min(heights, key=heights.__getitem__) == "sump"
    assert max(heights, key=heights.__getitem__) == "pump"


@pytest.mark.parametrize("layout", ["two pumps in series", "two pumps side by side", "one large pump"])
def test_every_layout_of_the_plinth_is_filled_through_its_raised_port(layout: str) -> None:
    plan = fill_plan(sample("render-plinth"), layout)
    assert plan.is_complete
    assert plan.opening.item == "fill_port"
    assert {step.running for step in plan.steps if step.running}


def test_the_plinths_valve_lets_the_large_pump_flood_first() -> None:
    """Its top lies at 47 mm, above the reservoir's level at 46 mm; the port reaches up to the hump at 53 mm."""
    plan = fill_plan(sample("render-plinth"), "one large pump")
    poured = [step for step in plan.steps if step.action == "pour"]
    assert [step.at.item for step in poured if step.at] == ["reservoir", "fill_port"]
    assert all(step.shut == ("fill_valve",) for step in poured)
    assert 0.047 < poured[-1].level < 0.053


def test_the_plinths_hump_over_the_beam_shuts_air_in() -> None:
    build = sample("render-plinth")
    beam = build.layout().reserved[0]
    (crest,) = [run for run in build.layout().runs if run.end == "reservoir.inlet"]
    over = [height for height in build.run_path(build.layout(), crest).heights_mm if height > (beam.high_mm or 0.0)]
    assert max(over) == 53
    assert any(
        warning.code == "air shut in" and warning.at is not None and warning.at.item == crest.id
        for warning in fill_plan(build).warnings
    )


@pytest.mark.parametrize("name", ["render-plinth", "awkward-riser", "pier-camera"])
def test_no_sentence_of_filling_speaks_in_ids_of_places(name: str) -> None:
    build = sample(name)
    for layout in build.layouts:
        filled, reached = fill_plan(build, layout.name), gravity_fill(build, layout.name)
        said = [step.sentence for step in filled.steps] + list(reached.sentences)
        said += [text for each in filled.warnings for text in (each.text, each.remedy)]
        said += [high.sentence for high in air_map(operating_point(build, layout.name)).points]
        places = height_graph(build, layout).names
        assert not [(place, text) for text in said for place in places if place in text]

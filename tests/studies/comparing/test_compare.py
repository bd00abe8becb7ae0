"""Layouts side by side: figures against their own studies, differences of drawings in words."""

from pathlib import Path

import pytest

from loopsim.build import Build, edits, load
from loopsim.errors import SketchError
from loopsim.parts import Corner
from loopsim.studies import compare, failures, heat_points
from loopsim.studies.comparing import ComparedRow, drawing_differences, inventory
from loopsim.studies.comparing.drawing import pump_arrangement

from ..failing.struck import LAYOUT, machine

SERIES, SIDE, LARGE = "two pumps in series", "two pumps side by side", "one large pump"


@pytest.fixture(scope="module")
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)


@pytest.fixture(scope="module")
def found(plinth: Build):
    return compare([(plinth, name) for name in (SERIES, SIDE, LARGE)], base=SIDE)


def words(before: Build, after: Build) -> tuple[str, ...]:
    return drawing_differences(before, before.layout(LAYOUT), after, after.layout(LAYOUT))


def test_every_figure_is_that_of_its_own_study(found, plinth: Build) -> None:
    for place, name in enumerate(found.names):
        heats = heat_points(plinth, name)
        assert found.row("flow_l_h").values[place] == heats[0].point.loop_flow
        for heat in heats:
            assert found.row(f"margin_k, {heat.case.name}").values[place] == pytest.approx(heat.warmest.margin)
        worst = failures(plinth, name, heats[0]).worst
        left = worst.share * heats[0].point.loop_flow
        assert found.row("flow_pump_stopped_l_h").values[place] == pytest.approx(left)


def test_differences_are_against_the_chosen_base(found) -> None:
    assert (found.names[found.base], found.drawing[found.base]) == (SIDE, ())
    row = found.row("flow_l_h")
    assert row.against(found.base) == tuple(value - row.values[1] for value in row.values)


def test_the_best_of_a_row_is_the_largest_or_the_smallest() -> None:
    def best(better: str, *values: float | None) -> frozenset[int]:
        return ComparedRow("x", "x", "", better, values).best

    assert best("more", 1.0, 3.0, 2.0) == {1}
    assert best("less", 1.0, 3.0, None) == {0}
    assert best("more", 2.0, 3.0, 2.9999) == {1, 2}
    margins = ComparedRow("x", "x", "k", "more", (2.64, 2.56, 1.0))
    assert margins.decimals(2.64) == 1
    assert margins.best == {0, 1}, "both read 2.6"
    assert best("more", 2.0, 2.0) == best("", 1.0, 2.0) == best("more", None, None) == frozenset()


def test_the_sample_s_layouts_are_told_apart_in_words(found) -> None:
    assert "pumps in series instead of side by side" in found.drawing[0]
    assert "2 tees fewer" in found.drawing[0]
    assert found.drawing[2][:2] == ("with Large pump", "without Pump A and Pump B")


def test_the_same_drawing_has_no_differences() -> None:
    assert words(machine(), machine()) == ()


def test_each_kind_of_change_has_its_words() -> None:
    before = machine()
    corner = Corner(x_mm=500, y_mm=300, turn="elbow")
    changed = edits.change_run(before, LAYOUT, "from_reservoir", corners=(corner,)).build
    assert words(before, changed)[0] == "1 elbow more"
    assert words(changed, before)[0] == "1 elbow fewer"
    slower = edits.change_placement(before, LAYOUT, "pump", speed_percent=60.0).build
    assert words(before, slower) == ("Pump at 60 % instead of 100 %",)
    throttled = edits.change_placement(before, LAYOUT, "valve", opening_percent=30.0).build
    assert words(before, throttled) == ("Valve 30 % open instead of 100 %",)
    wider = edits.change_part(before, "filter", clogging_percent=50.0).build
    assert words(before, wider) == ("other data of Filter",)
    moved = edits.move(before, LAYOUT, "mat", 300.0, 300.0).build
    assert any(each.startswith("Mat moved by ") for each in words(before, moved))


def test_counts_are_those_of_the_drawing() -> None:
    """By hand: seven runs, and a valve and a check valve among the fittings; bores of 10 mm hold 78.5 mL a metre."""
    build = machine()
    counted = inventory(build, build.layout())
    lengths = [build.run_path(build.layout(), run).length_mm for run in build.layout().runs]
    assert counted.tube == pytest.approx(sum(lengths) / 1000)
    assert counted.fitting_count == sum(counted.fittings.values()) >= 2
    held = sum(build.part(part_id).coolant_ml for part_id in build.layout().placements)
    assert counted.coolant == pytest.approx(held * 1e-6 + 78.54e-6 * counted.tube, rel=1e-4)


def test_one_pump_or_pumps_apart_have_no_arrangement(plinth: Build) -> None:
    assert pump_arrangement(plinth, plinth.layout(LARGE)) == ""
    assert pump_arrangement(plinth, plinth.layout(SERIES)) == "in series"
    assert pump_arrangement(plinth, plinth.layout(SIDE)) == "side by side"


def test_layouts_of_two_files_bear_the_names_of_their_builds(plinth: Build) -> None:
    other = edits.change_build(plinth, name="Second try").build
    found = compare([(plinth, SERIES), (other, SERIES)])
    assert found.names == (f"Render plinth, {SERIES}", f"Second try, {SERIES}")
    assert found.drawing == ((), ())
    assert all(not row.best for row in found.rows)


def test_too_few_too_many_and_unknown_are_refused(plinth: Build) -> None:
    with pytest.raises(SketchError, match="takes 2 to 6 layouts, got 1"):
        compare([(plinth, SERIES)])
    with pytest.raises(SketchError, match="takes 2 to 6 layouts, got 7"):
        compare([(plinth, SERIES)] * 7)
    with pytest.raises(SketchError, match=f"no layout 'two pumps in serie' .*did you mean '{SERIES}'"):
        compare([(plinth, SERIES), (plinth, SIDE)], base="two pumps in serie")


def test_parts_of_one_drawing_only_are_named_and_fittings_counted() -> None:
    before = machine()
    without = edits.remove_part(before, LAYOUT, "mat").build
    assert words(before, without) == ("without Mat",)
    assert "1 valve fewer" in words(before, edits.remove_part(before, LAYOUT, "valve").build)

"""Numbers by their names, and sweeps over them: a point is a solve."""

from pathlib import Path

import numpy as np
import pytest

from loopsim.build import Build, edits
from loopsim.errors import FileError, PartDataError, SketchError
from loopsim.studies import heat_point, parameter, sweep
from loopsim.studies.figures import FIGURES, figures_of
from loopsim.studies.varying import Variation, each_point

from ..failing.struck import LAYOUT, machine


@pytest.fixture(scope="module")
def build() -> Build:
    return machine()


@pytest.mark.parametrize(
    ("reference", "value", "heading"),
    [
        ("pump.speed_percent", 100.0, "Pump speed, %"),
        ("filter.clogging_percent", 0.0, "Filter clogging, %"),
        ("from_pump.kinked_percent", 0.0, "Pump to Check valve kink, %"),
        ("t.bore_mm", 10.0, "T bore, mm"),
        ("ambient.temperature_c", 22.0, "room temperature, °C"),
        ("case.load_percent", 100.0, "full duty load, %"),
        ("coolant.glycol_mass_fraction", 0.0, "coolant glycol"),
        ("block.heat_w", 200.0, "Block heat, W"),
        ("block.loads.1.limit_c", 80.0, "Block limit, °C"),
        ("pump.curve.points.1.head_m", 4.1, "Pump, pump curve points 1 head, m"),
    ],
)
def test_a_number_is_found_by_its_name_and_set(build: Build, reference: str, value: float, heading: str) -> None:
    found = parameter(build, reference)
    assert (found.value, found.heading) == (value, heading)
    changed = found.put(build, value + 0.25 if "glycol" in reference else value + 10)
    assert parameter(changed, reference).value != value
    assert parameter(build, reference).value == value
    assert found.put(changed, value) == build


def test_the_load_case_counts(build: Build) -> None:
    warm = parameter(build, "case.ambient_c", case_name="warm day")
    assert warm.value == 35.0
    assert [case.ambient_c for case in warm.put(build, 40.0).load_cases] == [None, 40.0]


@pytest.mark.parametrize(
    ("reference", "message"),
    [
        ("pumpe.speed_percent", "nothing called 'pumpe'; did you mean 'pump'"),
        ("pump.speed_percnt", "Pump has no number 'speed_percnt'; did you mean 'speed_percent'"),
        ("pump.name", "Pump has no number 'name'"),
        ("pump", "Pump has no number ''"),
        ("block.dp_kpa", r"Block has several of these, write which: drop\.points\.1\.dp_kpa, drop\.points\.2"),
        ("pump.curve.points.99.head_m", "Pump has no number 'curve.points.99.head_m'; did you mean 'curve.points"),
    ],
)
def test_an_unknown_number_is_refused_with_the_nearest(build: Build, reference: str, message: str) -> None:
    with pytest.raises(SketchError, match=message):
        parameter(build, reference)


def test_a_load_that_is_not_allowed_says_what_is(build: Build) -> None:
    with pytest.raises(PartDataError, match=r"block 'Block': loads\[0\]\.heat_w is -5, must be at least 0 W"):
        parameter(build, "block.heat_w").put(build, -5.0)


def test_two_numbers_of_one_table_are_set_side_by_side(build: Build) -> None:
    first, second = parameter(build, "pump.curve.points.1.head_m"), parameter(build, "pump.curve.points.2.head_m")
    both = second.put(first.put(build, 5.0), 4.5)
    assert [point.head_m for point in both.part("pump").curve.points[:2]] == [5.0, 4.5]


def test_a_load_swept_is_the_load_edited(build: Build) -> None:
    found = sweep(build, [Variation("block.heat_w", (100.0, 250.0))])
    (chip,) = build.part("block").loads
    hotter = edits.change_part(build, "block", loads=(chip.with_values(heat_w=250.0),)).build
    assert found.points[1].figures["margin_k"] == pytest.approx(heat_point(hotter).warmest.margin, abs=1e-3)


def test_a_parts_own_load_in_a_case_counts_in_this_case_only(build: Build) -> None:
    own = Variation("block.load_percent", (50.0,))
    found = sweep(build, [own], case_name="warm day").points[0]
    half = edits.change_build(build, case_loads=[{"case": "warm day", "part": "block", "load_percent": 50.0}]).build
    assert found.figures["margin_k"] == pytest.approx(heat_point(half, case_name="warm day").warmest.margin, abs=1e-3)
    put = parameter(build, "block.load_percent", case_name="warm day").put(build, 50.0)
    assert put.load_share(put.load_case("full duty"), "block") == 1.0


def test_a_range_is_written_with_its_ends() -> None:
    assert Variation.from_text("a.b=40:100:4") == Variation("a.b", (40.0, 60.0, 80.0, 100.0))
    assert Variation.from_text("a.b=5:5:1").values == (5.0,)
    assert Variation.from_text("a.b=-1:1:3").values == (-1.0, 0.0, 1.0)


@pytest.mark.parametrize("run", ["", "1:2", "1:2:0", "1:2:3:4", "x:2:3", "1:inf:3", "1:2:2.5"])
def test_a_range_of_another_form_is_refused(run: str) -> None:
    with pytest.raises(SketchError, match=r"write item\.field=from:to:n"):
        Variation.from_text(f"a.b={run}")


def test_a_point_of_a_sweep_is_a_solve(build: Build) -> None:
    speeds = Variation("pump.speed_percent", (40.0, 70.0, 100.0))
    found = sweep(build, [speeds, Variation("ambient.temperature_c", (15.0, 30.0))])
    assert found.figure("flow_l_h").shape == (3, 2)
    for point in found.points:
        changed = edits.change_placement(build, LAYOUT, "pump", speed_percent=point.values[0]).build
        ambient = changed.ambient.with_values(temperature_c=point.values[1])
        alone = figures_of(heat_point(edits.change_build(changed, ambient=ambient).build))
        assert point.figures == pytest.approx(alone, rel=1e-5)


def test_more_speed_gives_more_flow_and_a_warmer_room_less_margin(build: Build) -> None:
    """Affinity: where all resistance were square, flow would go with the speed; valves that crack take more off."""
    speeds = Variation("pump.speed_percent", (50.0, 75.0, 100.0))
    found = sweep(build, [speeds, Variation("ambient.temperature_c", (15.0, 25.0, 35.0))])
    assert (np.diff(found.figure("flow_l_h"), axis=0) > 0).all()
    assert (np.diff(found.figure("margin_k"), axis=1) < 0).all()


def test_parts_may_stand_meanwhile(build: Build) -> None:
    loads = Variation("case.load_percent", (50.0, 100.0))
    found = sweep(build, [loads], stopped=["fan_1"])
    assert found.points[1].figures["margin_k"] == pytest.approx(heat_point(build, stopped=["fan_1"]).warmest.margin)


def test_points_come_one_by_one(build: Build) -> None:
    points = each_point(build, [Variation("pump.speed_percent", tuple(np.linspace(40, 100, 60)))])
    assert next(points).values == (40.0,)


def test_a_sweep_that_was_cut_short_is_finished_as_if_nothing_had_been(build: Build, tmp_path: Path) -> None:
    speeds = [Variation("pump.speed_percent", tuple(np.linspace(60, 100, 10)))]
    points = each_point(build, speeds, keep_in=tmp_path / "parts")
    for _ in range(9):
        next(points)
    points.close()
    assert len(list((tmp_path / "parts").glob("*.npz"))) == 2
    with pytest.raises(FileError, match="unfinished work on another build"):
        next(each_point(build, speeds, stopped=["fan_1"], keep_in=tmp_path / "parts"))
    assert list(each_point(build, speeds, keep_in=tmp_path / "parts")) == list(each_point(build, speeds))
    assert not (tmp_path / "parts").exists()


def test_where_nothing_comes_to_rest_there_are_no_figures(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("loopsim.studies.varying.grid.at_rest", lambda *_: None)
    found = sweep(build, [Variation("pump.speed_percent", (60.0, 100.0))])
    assert [(dict(point.figures), point.warmest) for point in found.points] == [({}, ""), ({}, "")]
    assert np.isnan(found.figure("flow_l_h")).all()


def test_a_value_that_is_not_allowed_says_what_is(build: Build) -> None:
    with pytest.raises(PartDataError, match="speed"):
        sweep(build, [Variation("pump.speed_percent", (0.0,))])


def test_a_sweep_is_over_one_number_or_two(build: Build) -> None:
    one = Variation("pump.speed_percent", (50.0, 100.0))
    for wrong in ([], [one, one], [one, Variation("t.bore_mm", (10.0,)), Variation("ambient.temperature_c", (20.0,))]):
        with pytest.raises(SketchError, match="vary one number or two different ones"):
            sweep(build, wrong)
    many = Variation("t.bore_mm", tuple(np.linspace(5, 15, 1000)))
    with pytest.raises(SketchError, match="1,000,000 points, allowed are at most 100,000"):
        sweep(build, [many, Variation("ambient.temperature_c", tuple(np.linspace(0, 40, 1000)))])


def test_every_figure_says_its_unit() -> None:
    assert all(figure.unit and figure.heading.startswith(figure.label) for figure in FIGURES)

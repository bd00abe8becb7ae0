"""`loopsim highpoints`, `fill`, `drain` and `leaktest` as a builder types them."""

import json
from pathlib import Path

import pytest

import sample_loops
from loopsim.build import edits, load, save
from loopsim.network import Tilt
from loopsim.studies import operating_point
from loopsim.studies.fill import air_map, drain_plan, fill_plan, tilt_plan


def test_highpoints_tells_every_one_with_its_verdict_and_the_tilts(run, plinth_path: Path) -> None:
    status, out, err = run("highpoints", plinth_path, "--tilt", 15)
    assert (status, err) == (0, "")
    plinth = load(plinth_path)
    found = air_map(operating_point(plinth))
    assert all(f"{point.sentence}." in out for point in found.points)
    assert all(each in out for each in found.sources)
    assert out.count("Tilt ") == len(tilt_plan(plinth, most=Tilt(15, 15)).steps) > 0


@pytest.mark.parametrize("angle", [-5, 90, 400])
def test_a_machine_is_not_held_upside_down(run, plinth_path: Path, angle: float) -> None:
    status, out, err = run("highpoints", plinth_path, f"--tilt={angle}")
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "must be 0 to less than 90°" in err


def test_highpoints_with_a_pump_stopped_as_json(run, plinth_path: Path) -> None:
    status, out, _ = run("highpoints", plinth_path, "--stop", "Pump A", "--stop", "pump_b", "--json")
    data = json.loads(out)
    assert status == 0
    assert data["stopped"] == ["pump_a", "pump_b"]
    assert {point["verdict"] for point in data["high_points"]} == {"stays"}
    assert data["tilts"] is None


def test_fill_prints_every_step_with_its_number(run, plinth_path: Path) -> None:
    status, out, err = run("fill", plinth_path)
    assert (status, err) == (0, "")
    plan = fill_plan(load(plinth_path))
    for step in plan.steps:
        assert f"{step.number:3d}. {step.sentence}." in out
    assert all(warning.remedy in out for warning in plan.warnings)
    assert f"{plan.top_ups} top-ups" in out


def test_fill_and_drain_say_which_steps_are_done(run, plinth_path: Path, tmp_path: Path) -> None:
    plinth = load(plinth_path)
    keys = [plan.steps[0].key for plan in (fill_plan(plinth), drain_plan(plinth))]
    done = {"filled_steps": keys[:1], "drained_steps": keys[1:]}
    save(edits.change_layout(plinth, plinth.layout().name, **done).build, path := tmp_path / "done.loop.json")
    for command in ("fill", "drain"):
        _, out, _ = run(command, path)
        assert out.count("[done]") == 1
        _, out, _ = run(command, path, "--json")
        assert [step["done"] for step in json.loads(out)["steps"]][:2] == [True, False]


def test_fill_from_another_opening_pours_there(run, plinth_path: Path) -> None:
    status, out, _ = run("fill", plinth_path, "--from", "reservoir", "--json")
    data = json.loads(out)
    assert status == 0
    assert data["from"] == "reservoir/lid"
    assert {step["at"] for step in data["steps"] if step["action"] == "pour"} == {"reservoir/lid"}


def test_fill_as_json_carries_the_moments_and_leaves_unknown_times_null(run, plinth_path: Path) -> None:
    _, out, _ = run("fill", plinth_path, "--json")
    data = json.loads(out)
    assert data["poured_ml"] == pytest.approx(data["moments"][-1]["poured_ml"])
    assert data["capacity_ml"] == pytest.approx(data["poured_ml"] + data["air_left_ml"][0], abs=0.01)
    assert all(step["time_s"] is None for step in data["steps"] if step["action"] == "bleed")
    assert data["mix"]["water_ml"] == pytest.approx(1.1 * data["capacity_ml"], rel=1e-4)
    assert all({"code", "at", "text", "remedy"} == set(each) for each in data["warnings"])
    assert [(each["pump"], each["flooded"]) for each in data["pumps"]] == [("pump_a", True), ("pump_b", True)]
    assert all(0 < each["floods_from_mm"] < 46 for each in data["pumps"])  # the level as drawn
    (start,) = data["starts"]
    assert 0 < start["lock_head_mm"] < start["head_with_gas_mm"] < start["shut_off_head_mm"]


def test_an_unknown_opening_offers_what_there_is(run, plinth_path: Path) -> None:
    status, _, err = run("fill", plinth_path, "--from", "reservoirs")
    assert status == 2
    assert "'reservoirs' is no opening" in err


def test_leaktest_reads_a_test_and_corrects_for_temperature(run, plinth_path: Path) -> None:
    """By hand: 0.4 bar and 1.01325 bar of air at 22 °C cool to 21 °C: 1.41325 * 294.15 / 295.15 - 1.01325 bar."""
    readings = ("--start-bar", 0.4, "--end-bar", 0.395, "--start-c", 22, "--end-c", 21)
    status, out, _ = run("leaktest", plinth_path, *readings, "--json")
    data = json.loads(out)
    assert status == 0
    assert data["result"]["expected_bar"] == pytest.approx(1.41325 * 294.15 / 295.15 - 1.01325, abs=1e-5)
    assert data["result"]["verdict"] == "tight"
    assert data["test_pressure_bar"] == 0.5
    assert any("eye protection" in each for each in data["cautions"])


def test_leaktest_counts_what_the_barometer_did(run, plinth_path: Path) -> None:
    """A gauge reads against the room: weather that falls by 12 hPa lets a tight loop read 0.012 bar more."""
    readings = ("--start-bar", 0.4, "--end-bar", 0.4, "--start-c", 22, "--end-c", 22)
    weather = ("--start-air-kpa", 101.3, "--end-air-kpa", 100.1)
    _, out, _ = run("leaktest", plinth_path, *readings, *weather, "--json")
    data = json.loads(out)
    assert data["result"]["by_barometer_bar"] == pytest.approx(0.012, abs=1e-6)
    assert data["result"]["expected_bar"] == pytest.approx(0.412, abs=1e-6)
    assert any("The room's pressure fell by 0.0120 bar" in each for each in data["sentences"])
    _, out, _ = run("leaktest", plinth_path, *readings, "--json")
    assert json.loads(out)["result"]["by_barometer_bar"] == 0
    status, _, err = run("leaktest", plinth_path, *weather)
    assert status == 2
    assert "--start-bar" in err


def test_leaktest_says_cautions_first(run, plinth_path: Path) -> None:
    readings = ("--start-bar", 0.4, "--end-bar", 0.2, "--start-c", 22, "--end-c", 22)
    _, out, _ = run("leaktest", plinth_path, *readings)
    lines = out.splitlines()
    assert lines[0].startswith("  caution: Unplug")
    assert lines[-1].endswith("leaks.")


def test_leaktest_without_readings_says_with_how_much_air(run, plinth_path: Path) -> None:
    status, out, _ = run("leaktest", plinth_path)
    assert status == 0
    assert "0.50 bar at most" in out
    assert "Read " not in out


def test_half_the_readings_are_refused(run, plinth_path: Path) -> None:
    status, _, err = run("leaktest", plinth_path, "--start-bar", 0.4, "--end-bar", 0.3)
    assert status == 2
    assert "--start-c, --end-c not given" in err


def test_drain_without_an_opening_says_what_to_add(run) -> None:
    status, _, err = run("drain", sample_loops.sample("kiln-lamp"))
    assert status == 2
    assert "add a drain port" in err

"""The command line as a builder types it."""

import json
import re
from pathlib import Path

import pytest

from loopsim.build import Build, load, save, to_text
from loopsim.build.layout_edits import copy_layout
from loopsim.studies import failure_outcomes, grade_line, operating_point
from tests.studies.failing.struck import LAYOUT, machine

HEADINGS = ["at", "distance m", "height mm", "head m", "gauge kPa", "absolute kPa"]


def test_solve_prints_flow_and_budget(run, plinth_path: Path) -> None:
    status, out, err = run("solve", plinth_path)
    assert (status, err) == (0, "")
    assert "Render plinth, two pumps in series" in out
    assert "Pressure budget" in out
    assert f"{operating_point(load(plinth_path)).loop_flow * 3.6e6:.0f} ± " in out


def test_solve_as_json_carries_the_promised_keys(run, plinth_path: Path) -> None:
    status, out, _ = run("solve", plinth_path, "--json")
    data = json.loads(out)
    assert status == 0
    assert data["solved"] is True
    assert {"layout", "iterations", "mass_imbalance_kg_s", "pressure_imbalance_pa", "flow_l_h"} <= set(data)
    for item in (*data["pumps"], *data["parts"]):
        assert {"id", "name", "kind", "flow_l_h", "dp_kpa"} <= set(item)
    assert all({"head_m", "state", "speed"} <= set(pump) for pump in data["pumps"])
    for pump in data["pumps"]:
        assert pump["heat_to_coolant_w"] + pump["heat_to_air_w"] == pytest.approx(pump["power_w"])
        assert pump["efficiency"] == pytest.approx(pump["dp_kpa"] * pump["flow_l_h"] / 3600 / pump["power_w"], rel=1e-4)
    assert all({"code", "part", "text"} <= set(warning) for warning in data["warnings"])
    point = operating_point(load(plinth_path))
    assert data["flow_l_h"] == pytest.approx(point.loop_flow * 3.6e6, abs=1e-6)
    assert {part["id"] for part in data["parts"]} == {part.id for part in point.parts}


def test_a_stopped_pump_and_a_layout_are_taken(run, plinth_path: Path) -> None:
    name = "two pumps side by side"
    _, out, _ = run("solve", plinth_path, "--layout", name, "--stop", "pump_a", "--json")
    data = json.loads(out)
    assert data["stopped"] == ["pump_a"]
    states = {pump["id"]: pump["state"] for pump in data["pumps"]}
    assert states == {"pump_a": "stopped", "pump_b": "running"}
    assert next(pump for pump in data["pumps"] if pump["id"] == "pump_a")["flow_l_h"] < 0
    assert "back_flow" in {warning["code"] for warning in data["warnings"]}


def test_failures_of_all_layouts(run, tmp_path: Path) -> None:
    path = tmp_path / "two.loop.json"
    save(copy_layout(machine(), LAYOUT, "second").build, path)
    _, out, _ = run("failures", path, "--json", "--untimed")
    assert [each["layout"] for each in json.loads(out)] == [LAYOUT, "second"]
    status, out, _ = run("failures", path, "--untimed")
    assert status == 0
    assert out.count("Pump is the only pump") == 2


def test_failures_as_json_carry_what_the_study_found(run, plinth_path: Path) -> None:
    name = "two pumps side by side"
    _, out, _ = run("failures", plinth_path, "--layout", name, "--case", "usual", "--untimed", "--json")
    (data,) = json.loads(out)
    found = failure_outcomes(load(plinth_path), name, "usual")
    assert (data["layout"], data["case"], data["survives_any"]) == (name, "usual", found.survives_any)
    for case, outcome in zip(data["cases"], found.outcomes, strict=True):
        assert case["title"] == outcome.failure.title
        assert case["verdict"] == outcome.verdict
        assert case["flow_l_h"] == pytest.approx(outcome.flow * 3.6e6, abs=1e-5)
        assert case["margin_k"] == (None if outcome.margin is None else pytest.approx(outcome.margin, abs=1e-3))
    assert data["cases"][0]["fails"] == [{"what": "stopped", "item": "pump_a"}]
    assert data["cases"][0]["back_flows_l_h"]["pump_a"] > 100
    least, most = data["cases"][0]["share_between"]
    assert least < data["cases"][0]["share"] < most
    assert data["alarms"]["flow_warn_l_h"] > data["alarms"]["flow_cut_l_h"] > 0


def test_failures_say_what_to_do_and_when_to_warn(run, plinth_path: Path) -> None:
    _, out, _ = run("failures", plinth_path, "--layout", "two pumps in series")
    assert re.search(r"All pumps stopped: nothing flows, .* met after .*; shut down\.", out)
    assert re.search(r"Fan 1 stopped: .*; cut the load to \d+ W of 568 W\.", out)
    assert "Pump B carries on against the standing impeller of Pump A" in out
    assert re.search(r"Alarms, proposed\. At Reservoir: warn below \d+ L/h, cut below \d+ L/h", out)


@pytest.mark.parametrize("command", [("solve",), ("transient", "--minutes", "1"), ("tolerance", "-n", "4")])
def test_a_part_is_stopped_by_the_name_that_the_answers_show(run, plinth_path: Path, command) -> None:
    by_name, by_id = (run(*command, plinth_path, "--stop", part, "--json") for part in ("Pump A", "pump_a"))
    assert by_name == by_id
    assert by_name[0] == 0


def test_check_finds_a_sound_sample_in_order(run, plinth_path: Path) -> None:
    status, out, _ = run("check", plinth_path)
    assert status == 0
    assert "the file is in order" in out


def test_schema_is_json(run) -> None:
    _, out, _ = run("schema")
    assert json.loads(out)["title"] == "Build"


@pytest.mark.parametrize("ending", ["html", "md", "pdf"])
def test_report_is_written_and_named(run, plinth_path: Path, tmp_path: Path, ending: str) -> None:
    target = tmp_path / f"log.{ending}"
    status, out, _ = run("report", plinth_path, "-o", target)
    assert status == 0
    assert str(target) in out.splitlines()
    assert target.stat().st_size > 1000


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["solve", "none.loop.json"], "none.loop.json: cannot be read"),
        (["solve"], "Missing argument"),
        (["solv"], "No such command"),
        (["solve", "{plinth}", "--layout", "two pump in series"], "did you mean 'two pumps in series'?"),
        (["solve", "{plinth}", "--stop", "pump_c"], "has no pump or fan 'pump_c' to stop"),
        (["report", "{plinth}", "-o", "log.docx"], ".html"),
    ],
)
def test_bad_input_is_one_line_on_standard_error(run, plinth_path: Path, arguments: list[str], words: str) -> None:
    status, out, err = run(*(each.format(plinth=plinth_path) for each in arguments))
    assert status == 2
    assert out == ""
    assert len(err.splitlines()) == 1
    assert words in err


def test_an_empty_build_gets_a_plain_sentence(run, tmp_path: Path) -> None:
    path = tmp_path / "empty.loop.json"
    save(Build(name="empty"), path)
    for command in ("solve", "failures"):
        status, _, err = run(command, path)
        assert status == 2
        assert "is empty: place a reservoir, a pump and a block" in err
    status, out, _ = run("check", path)
    assert status == 0
    assert "nothing is placed yet" in out


def test_a_loop_without_a_pump_and_with_an_open_end_is_solved_and_said(run, plinth_path: Path, tmp_path: Path) -> None:
    from loopsim.build import edits

    build = edits.remove_part(load(plinth_path), "one large pump", "large_pump").build
    path = tmp_path / "still.loop.json"
    save(build, path)
    status, out, _ = run("solve", path, "--layout", "one large pump")
    assert status == 0
    assert "there is no pump, so nothing flows" in out
    assert "1 port open" in out


def test_a_defect_of_ours_exits_with_1(run, plinth_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("loopsim.solve.newton.MOST_STEPS", 1)
    status, _, err = run("solve", plinth_path)
    assert status == 1
    assert "does not close" in err


def test_reading_and_solving_leave_the_file_alone(run, plinth_path: Path) -> None:
    before = plinth_path.read_text(encoding="utf-8")
    run("solve", plinth_path)
    assert plinth_path.read_text(encoding="utf-8") == before == to_text(load(plinth_path))


def test_solve_prints_the_budget_as_bars_and_the_grade_line_with_both_pressures(run, plinth_path: Path) -> None:
    _, out, _ = run("solve", plinth_path)
    lines = out.splitlines()
    head = next(number for number, line in enumerate(lines) if line.startswith("Pressure budget"))
    bars = [line.count("#") for line in lines[head + 2 : head + 8]]
    assert bars == sorted(bars, reverse=True)
    assert bars[0] > bars[-1] >= 1
    start = lines.index("Grade line from Reservoir")
    assert re.split("  +", lines[start + 1].strip()) == HEADINGS
    (line,) = grade_line(operating_point(load(plinth_path)))
    rows = lines[start + 2 : start + 2 + len(line.points)]
    for row, point in zip(rows, line.points, strict=True):
        assert row.startswith(point.name)
        gauge, absolute = map(float, row.split()[-2:])
        assert gauge == pytest.approx(point.pressure / 1000, abs=0.006)
        assert absolute - gauge == pytest.approx(101.325, abs=0.011)
    assert lines[start + 2 + len(line.points)].strip().startswith("Below the room's pressure")


def test_solve_as_json_carries_budget_and_grade_line(run, plinth_path: Path) -> None:
    _, out, _ = run("solve", plinth_path, "--json")
    data = json.loads(out)
    assert data["budget"][-1]["running_share"] == pytest.approx(1.0, abs=1e-5)
    shares = [each["share"] for each in data["budget"]]
    assert shares[0] == data["budget"][0]["running_share"] == max(shares)
    (line,) = data["grade_line"]
    assert line["held_by"] == line["items"][0] == "reservoir"
    first, last = line["points"][0], line["points"][-1]
    assert (first["distance_m"], last["distance_m"]) == (0.0, line["length_m"])
    assert {**first, "distance_m": 0} == {**last, "distance_m": 0}
    assert line["suction"]["items"] == ["run_1", "fill_valve", "run_12", "fill_port", "run_13"]
    for point in line["points"]:
        weight = line["density_kg_m3"] * 9.80665 / 1000
        by_hand = weight * (point["piezometric_head_m"] - point["elevation_mm"] / 1000)
        assert point["gauge_kpa"] == pytest.approx(by_hand, abs=1e-4)

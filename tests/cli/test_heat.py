"""Heat, air, supplies and sound on the command line."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

import sample_loops
from loopsim.build import Build, load, save
from loopsim.cli import main
from loopsim.studies import HeatPoint, heat_point, heat_points
from loopsim.studies.rounding import with_band
from loopsim.studies.tolerance.quick import quick_bands


@pytest.fixture(scope="module")
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)


@pytest.fixture(scope="module")
def heat(plinth: Build) -> HeatPoint:
    return heat_point(plinth)


def row(out: str, title: str, name: str) -> list[str]:
    """Cells of a row of the table with this title."""
    lines = out.splitlines()
    below = lines[lines.index(title) :]
    return next(line for line in below if line.startswith(name))[len(name) :].split()


def test_solve_says_whether_it_stays_cool_and_shows_every_component(
    printed, plinth_path: Path, heat: HeatPoint
) -> None:
    out = printed("solve", plinth_path)
    assert heat.warmest is not None
    half = quick_bands(heat)["Processor, temperature_c"]
    at, margin = (with_band(value, half) for value in (heat.warmest.temperature, heat.warmest.margin))
    assert f"Processor reaches {at} °C, {margin} K below its limit" in out
    for component in heat.components:
        cooled_by, given, at = row(out, "Components", component.name)[:3]
        assert cooled_by == component.cooled_by
        assert (given, at) == (f"{component.heat:.0f}", f"{component.temperature:.1f}")


def test_solve_shows_air_supplies_sound_and_where_heat_goes(printed, plinth_path: Path, heat: HeatPoint) -> None:
    out = printed("solve", plinth_path)
    assert row(out, "Fans", "Fan 3")[:2] == ["running", f"{heat.fans[2].flow * 3600:.1f}"]
    chamber = next(space for space in heat.spaces if space.name == "chamber")
    assert row(out, "Air in the enclosure", "chamber")[:2] == [f"{chamber.temperature:.1f}", f"{chamber.pressure:.1f}"]
    assert row(out, "Supplies", "Supply 1")[:3] == ["outside", f"{heat.supplies[0].load:.0f}", "250"]
    assert row(out, f"Heat out, {heat.budget.electrical:.1f} W", "Radiator 1")[0] == f"{heat.exchangers[0].heat:.1f}"
    assert f"about {heat.sound:.0f} dB(A) at 1 m" in out


def test_load_cases_stand_side_by_side(printed, plinth_path: Path, plinth: Build) -> None:
    out = printed("solve", plinth_path)
    for each in heat_points(plinth):
        cells = row(out, "Load cases", each.case.name)
        assert cells[0] == f"{each.room:.0f}"
        assert cells[-1] == f"{each.warmest.margin:.1f}"


def test_a_case_is_taken_by_its_name(printed, as_json, plinth_path: Path, plinth: Build) -> None:
    data = as_json("solve", plinth_path, "--case", "usual")
    assert data["heat"]["case"] == "usual"
    expected = heat_point(plinth, case_name="usual").coolant_rise
    assert data["heat"]["coolant_rise_k"] == pytest.approx(expected, abs=1e-5)
    assert "usual, room at 22 °C" in printed("solve", plinth_path, "--case", "usual")


def test_an_unknown_case_is_one_line_that_offers_the_nearest(capsys, plinth_path: Path) -> None:
    status = main(["solve", str(plinth_path), "--case", "usal"])
    out, err = capsys.readouterr()
    assert (status, out) == (2, "")
    assert err == "loopsim: this build has no load case 'usal'; did you mean 'usual'?\n"


def test_json_carries_heat_whose_two_sides_are_equal(as_json, plinth_path: Path, heat: HeatPoint) -> None:
    data = as_json("solve", plinth_path)["heat"]
    for got, component in zip(data["components"], heat.components, strict=True):
        assert got["part"] == component.part
        assert got["temperature_c"] == pytest.approx(component.temperature, abs=1e-6)
        assert got["margin_k"] == pytest.approx(got["limit_c"] - got["temperature_c"], abs=1e-5)
    into, out = (sum(line["heat_w"] for line in data[side]) for side in ("heat_in", "heat_out"))
    assert into == pytest.approx(out, rel=1e-6)
    assert into == pytest.approx(data["budget"]["electrical_w"], rel=1e-6)
    assert data["heat_left_w"] == pytest.approx(0, abs=1e-3)
    assert data["imbalance"] < 1e-6
    assert {supply["loss_w"] for supply in data["supplies"]} == {round(each.loss, 6) for each in heat.supplies}


def test_json_has_a_row_for_each_case(as_json, plinth_path: Path, plinth: Build) -> None:
    rows = as_json("solve", plinth_path)["load_cases"]
    assert [each["case"] for each in rows] == [case.name for case in plinth.load_cases]
    assert all(each["holds"] for each in rows)
    assert rows[0]["room_c"] == 28


def test_the_staircase_goes_round_and_ends_where_it_began(as_json, plinth_path: Path) -> None:
    (stairs,) = as_json("solve", plinth_path)["heat"]["staircase"]
    for step, after in pairwise(stairs):
        assert after["enters_c"] == pytest.approx(step["leaves_c"], abs=1e-5)
        assert after["from_m"] == step["to_m"]
    assert stairs[-1]["leaves_c"] == pytest.approx(stairs[0]["enters_c"], abs=1e-4)


def test_a_fan_is_stopped_by_its_id_and_the_missed_limit_is_a_warning(printed, as_json, plinth_path: Path) -> None:
    data = as_json("solve", plinth_path, "--stop", "fan_2", "--stop", "pump_a")
    assert data["stopped"] == ["fan_2", "pump_a"]
    assert {pump["id"]: pump["state"] for pump in data["pumps"]} == {"pump_a": "stopped", "pump_b": "running"}
    fans = {fan["id"]: fan for fan in data["heat"]["fans"]}
    assert fans["fan_2"]["state"] == "stopped"
    assert fans["fan_2"]["air_m3_h"] < 0
    codes = {warning["code"] for warning in data["warnings"]}
    assert {"over_limit", "air_back"} <= codes
    out = printed("solve", plinth_path, "--stop", "fan_2")
    assert "stopped: Fan 2" in out
    assert "K above its limit" in out


def test_no_warning_is_said_twice(as_json, plinth_path: Path) -> None:
    warnings = as_json("solve", plinth_path, "--stop", "pump_a", "--layout", "two pumps side by side")["warnings"]
    said = [(each["code"], each["part"]) for each in warnings]
    assert len(said) == len(set(said))


def test_what_only_another_case_has_to_say_names_that_case(printed, as_json) -> None:
    camera = sample_loops.sample("pier-camera")
    frost = [each["text"] for each in as_json("solve", camera)["warnings"] if each["code"] == "frost"]
    assert len(frost) == 1
    assert frost[0].startswith("winter night: 30 % propylene glycol in water freezes at −13 °C")
    assert "warning: winter night: 30 %" in printed("solve", camera)
    shown = as_json("solve", camera, "--case", "winter night")["warnings"]
    assert [each["text"].startswith("30 %") for each in shown if each["code"] == "frost"] == [True]


def test_heat_without_a_way_out_is_said_and_never_a_number(printed, as_json, plinth: Build, tmp_path: Path) -> None:
    from loopsim.build import edits

    build = plinth
    for radiator in ("radiator_1", "radiator_2"):
        build = edits.remove_part(build, "one large pump", radiator).build
    path = tmp_path / "sealed.loop.json"
    save(build, path)
    data = as_json("solve", path, "--layout", "one large pump")
    assert data["heat"]["steady"] is False
    assert data["heat"]["coolant_rise_k"] is None
    chamber = next(space for space in data["heat"]["spaces"] if space["name"] == "chamber")
    assert chamber["temperature_c"] is None
    assert any(warning["code"] in ("boils", "no_way_out") for warning in data["warnings"])
    out = printed("solve", path, "--layout", "one large pump")
    assert "have no way out and warm the machine without end" in out
    assert not re.search(r"\d{4,}\.\d|\bnan\b|\binf\b", out)


def test_a_drawing_without_heat_says_that_nothing_is_heated(printed, plinth: Build, tmp_path: Path) -> None:
    from loopsim.build import Layout, Placement

    layout = Layout(name="tank", placed=(Placement(part="reservoir", x_mm=200, y_mm=200),))
    path = tmp_path / "tank.loop.json"
    save(plinth.with_values(layouts=(layout,)), path)
    out = printed("solve", path)
    assert "nothing is heated" in out
    assert "Components" not in out

"""`loopsim shelf` as a builder types it."""

import json
from pathlib import Path

import pytest

from loopsim.build import load


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("platformdirs.user_data_dir", lambda *_, **__: str(tmp_path / "data"))


def test_what_is_added_is_listed_and_what_is_removed_is_not(run, plinth_path: Path) -> None:
    assert run("shelf")[1].startswith("The shelf is empty")
    assert run("shelf", "add", plinth_path, "pump_a") == (0, "kept as 'Pump A'\n", "")
    tube = load(plinth_path).tubes[0]
    assert run("shelf", "add", plinth_path, tube.id)[0] == 0
    listed = run("shelf")[1]
    assert "Pump A" in listed
    assert tube.name in listed
    assert run("shelf", "remove", "Pump A") == (0, "took 'Pump A' off the shelf\n", "")
    assert "Pump A" not in run("shelf")[1]


def test_the_list_as_json_carries_the_data(run, plinth_path: Path) -> None:
    run("shelf", "add", plinth_path, "pump_a")
    (pump,) = json.loads(run("shelf", "--json")[1])
    assert (pump["kind"], pump["name"]) == ("pump", "Pump A")
    assert pump["curve"]["points"][0]["head_m"] == load(plinth_path).part("pump_a").curve.points[0].head_m


def test_adding_the_same_part_again_says_so(run, plinth_path: Path) -> None:
    run("shelf", "add", plinth_path, "pump_a")
    assert "on the shelf already" in run("shelf", "add", plinth_path, "pump_a")[1]


def test_unknown_parts_and_names_are_one_line_and_status_2(run, plinth_path: Path) -> None:
    status, out, err = run("shelf", "add", plinth_path, "pump_x")
    assert (status, out) == (2, "")
    assert "did you mean 'pump_" in err
    status, out, err = run("shelf", "remove", "Pump A")
    assert (status, out) == (2, "")
    assert err == "loopsim: the shelf holds no 'Pump A'; it is empty\n"

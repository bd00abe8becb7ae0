"""`loopsim transient` as a builder types it."""

import json
from pathlib import Path

import pytest

from loopsim.build import load
from loopsim.studies import transient
from loopsim.studies.words import duration


def test_stopped_pumps_give_a_table_and_the_sentence(run, plinth_path: Path) -> None:
    status, out, err = run("transient", plinth_path, "--stop", "pump_a", "--stop", "pump_b", "--minutes", 20)
    assert (status, err) == (0, "")
    found = transient(load(plinth_path), stopped=["pump_a", "pump_b"], minutes=20)
    assert found.sentence in out
    assert out.splitlines()[0].startswith("Render plinth, two pumps in series, ")
    (row,) = [line for line in out.splitlines() if line.lstrip().startswith("10 s")]
    at_ten = sorted(each for each, time in enumerate(found.time) if time <= 10)[-1]
    first = float(row.split()[2])
    assert found.components[0].temperature[at_ten] - 0.1 <= first <= found.components[0].temperature[at_ten + 1] + 0.1
    assert duration(found.components[0].crosses) in out


def test_where_nothing_stops_it_warms_up(run, plinth_path: Path) -> None:
    status, out, _ = run("transient", plinth_path, "--minutes", 60)
    assert status == 0
    assert "From cold: 95 % of the way to rest is made after" in out


def test_as_json_arrays_go_with_the_times(run, plinth_path: Path) -> None:
    status, out, _ = run("transient", plinth_path, "--stop", "pump_a", "--stop", "pump_b", "--json")
    data = json.loads(out)
    assert status == 0
    count = len(data["time_s"])
    for each in data["components"]:
        assert len(each["temperature_c"]) == count
        assert {"part", "name", "heat_w", "limit_c", "cooled_by", "reaches_limit_s", "alone_s", "whole_loop_s"} <= set(
            each
        )
    assert all(len(course) == count for group in ("coolant_c", "air_c") for course in data[group].values())
    assert data["stopped"] == ["pump_a", "pump_b"]
    assert data["time_to_limit_s"] == data["crossings"][0]["time_s"]
    assert data["boils"]["time_s"] == pytest.approx(data["time_s"][-1], abs=1e-3)
    assert data["heat_imbalance"] < 1e-6


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--stop", "pump_x"), "no pump or fan 'pump_x' to stop; did you mean 'pump_"),
        (("--case", "ful duty"), "did you mean 'full duty'"),
        (("--layout", "no such layout"), "no layout 'no such layout'"),
        (("--minutes", "-3"), "must be above 0 minutes, got -3"),
    ],
)
def test_bad_names_give_one_line(run, plinth_path: Path, arguments, words) -> None:
    status, out, err = run("transient", plinth_path, *arguments)
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    assert words in err

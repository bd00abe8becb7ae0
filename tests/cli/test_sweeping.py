"""`loopsim sweep` as a builder types it."""

import csv
import json
from pathlib import Path

import pytest

import sample_loops
from loopsim.build import load
from loopsim.cli.sweeping import _write
from loopsim.studies import SweepPoint, heat_point, parameter

VARY = ("--vary", "pump_a.speed_percent=60:100:3")


def test_a_table_has_a_line_for_each_point(run, plinth_path: Path) -> None:
    status, out, _ = run("sweep", plinth_path, *VARY)
    lines = out.splitlines()
    assert status == 0
    assert lines[0].split()[:4] == ["Pump", "A", "speed,", "%"]
    assert [line.split()[0] for line in lines[1:]] == ["60", "80", "100"]


def test_all_figures_go_into_a_file_in_named_units(run, plinth_path: Path, tmp_path: Path) -> None:
    target = tmp_path / "map.csv"
    status, out, _ = run("sweep", plinth_path, *VARY, "--vary", "ambient.temperature_c=20:25:2", "-o", target)
    rows = list(csv.DictReader(target.read_text(encoding="utf-8").splitlines()))
    heat = heat_point(load(plinth_path))
    assert (status, out.strip(), len(rows)) == (0, str(target), 6)
    assert [float(row["pump_a.speed_percent"]) for row in rows] == [60, 60, 80, 80, 100, 100]
    assert float(rows[-1]["flow_l_h"]) == pytest.approx(heat.point.loop_flow * 3.6e6, rel=1e-4)
    assert float(rows[-1]["Processor, temperature_c"]) == pytest.approx(heat.warmest.temperature, rel=1e-4)


def test_json_carries_every_point(run, plinth_path: Path) -> None:
    _, out, _ = run("sweep", plinth_path, *VARY, "--stop", "pump_b", "--json")
    data = json.loads(out)
    assert data["varied"] == ["pump_a.speed_percent"]
    flows = [point["flow_l_h"] for point in data["points"]]
    assert flows == sorted(flows)
    alone = heat_point(load(plinth_path), stopped=["pump_b"])
    assert flows[-1] == pytest.approx(alone.point.loop_flow * 3.6e6, rel=1e-5)


def test_a_wrong_range_and_an_unwritable_file_are_said_in_one_line(run, plinth_path: Path, tmp_path: Path) -> None:
    status, _, err = run("sweep", plinth_path, "--vary", "pump_a.speed_percent=60")
    assert (status, err.count("\n")) == (2, 1)
    assert "item.field=from:to:n" in err
    status, _, err = run("sweep", plinth_path, *VARY, "-o", tmp_path / "none" / "map.csv")
    assert (status, err.count("\n")) == (2, 1)
    assert "cannot be written" in err


def test_a_sweep_that_is_refused_leaves_every_file_as_it_was(run, plinth_path: Path, tmp_path: Path) -> None:
    old, new = tmp_path / "old.csv", tmp_path / "new.csv"
    old.write_text("measured by hand", encoding="utf-8")
    for target in (old, new):
        assert run("sweep", plinth_path, *VARY, "--stop", "nosuch", "-o", target)[0] == 2
    assert old.read_text(encoding="utf-8") == "measured by hand"
    assert not new.exists()


def test_points_before_the_first_rest_are_written_too(tmp_path: Path) -> None:
    parameters = (parameter(load(sample_loops.sample("kiln-lamp")), "pump.speed_percent"),)
    figures = ({}, {"flow_l_h": 1 / 3.6e6}, {})
    points = [SweepPoint((float(number),), each) for number, each in enumerate(figures, start=1)]
    _write(tmp_path / "some.csv", parameters, iter(points))
    assert (tmp_path / "some.csv").read_text().split() == ["pump.speed_percent,flow_l_h", "1.0,", "2.0,1.0", "3.0,"]
    _write(tmp_path / "none.csv", parameters, iter(points[:1]))
    assert (tmp_path / "none.csv").read_text().split() == ["pump.speed_percent", "1.0"]


@pytest.mark.slow
def test_processes_that_share_a_sweep_find_the_same(run, plinth_path: Path, tmp_path: Path) -> None:
    vary = ("--vary", "pump_a.speed_percent=60:100:9")  # more than one chunk
    for jobs in (1, 2):
        assert run("sweep", plinth_path, *vary, "--jobs", jobs, "-o", tmp_path / f"{jobs}.csv")[0] == 0
    assert (tmp_path / "1.csv").read_bytes() == (tmp_path / "2.csv").read_bytes()


def test_a_wrong_number_of_processes_is_refused(run, plinth_path: Path) -> None:
    status, _, err = run("sweep", plinth_path, *VARY, "--jobs", 0)
    assert (status, err.count("\n")) == (2, 1)
    assert "processes must be 1 to 256, got 0" in err

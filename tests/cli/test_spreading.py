"""`loopsim tolerance` as a builder types it."""

import csv
import json
from pathlib import Path

import pytest

from loopsim.build import load
from loopsim.cli.long_work import TableFile
from loopsim.studies import tolerance


def test_bands_and_what_matters_most_are_printed(run, plinth_path: Path) -> None:
    status, out, _ = run("tolerance", plinth_path, "-n", 1000)
    assert status == 0
    assert "1,000 draws, seed 0" in out
    (processor,) = [line for line in out.splitlines() if line.startswith("Processor, °C")]
    low, high = float(processor.split()[5]), float(processor.split()[7])
    assert low < 77 < high
    assert "Of the variance of flow each explains by itself: Pump" in out


def test_json_carries_the_study(run, plinth_path: Path) -> None:
    _, out, _ = run("tolerance", plinth_path, "-n", 1000, "--seed", 3, "--case", "usual", "--json")
    data, found = json.loads(out), tolerance(load(plinth_path), case_name="usual", draws=1000, seed=3)
    assert (data["draws"], data["seed"], data["case"]) == (1000, 3, "usual")
    assert data["within"] == pytest.approx(found.within)
    for band, expected in zip(data["bands"], found.bands, strict=True):
        assert band["key"] == expected.key
    assert data["bands"][0]["middle"] == pytest.approx(found.band("flow_l_h").middle * 3.6e6, abs=1e-5)
    assert [each["key"] for each in data["inputs"]] == [each.key for each in found.inputs]
    assert data["first_order"]["flow_l_h"][0]["key"] == found.shares["flow_l_h"][0].input.key


def test_every_draw_is_written(run, plinth_path: Path, tmp_path: Path) -> None:
    target = tmp_path / "draws.csv"
    run("tolerance", plinth_path, "-n", 1500, "-o", target)
    rows = list(csv.DictReader(target.read_text(encoding="utf-8").splitlines()))
    found = tolerance(load(plinth_path), draws=1500)
    assert len(rows) == 1500
    mean = sum(float(row["flow_l_h"]) for row in rows) / 1500
    assert mean == pytest.approx(found.band("flow_l_h").mean * 3.6e6, rel=1e-6)


def test_wrong_numbers_are_said_in_one_line(run, plinth_path: Path) -> None:
    status, _, err = run("tolerance", plinth_path, "-n", 0)
    assert (status, err.count("\n")) == (2, 1)
    assert "draws must be 1 to" in err


def test_draws_that_are_refused_leave_a_table_as_it_was(run, plinth_path: Path, tmp_path: Path) -> None:
    target = tmp_path / "draws.csv"
    target.write_text("measured by hand", encoding="utf-8")
    assert run("tolerance", plinth_path, "--layout", "nosuch", "-o", target)[0] == 2
    assert target.read_text(encoding="utf-8") == "measured by hand"


def test_a_run_that_was_cut_short_is_taken_up(run, plinth_path: Path, tmp_path: Path, monkeypatch) -> None:
    target, whole = tmp_path / "draws.csv", tmp_path / "whole.csv"
    add = TableFile.add
    monkeypatch.setattr(TableFile, "add", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
    status, _, err = run("tolerance", plinth_path, "-n", 1500, "-o", target)
    assert status == 130
    monkeypatch.setattr(TableFile, "add", add)
    status, _, err = run("tolerance", plinth_path, "-n", 1600, "-o", target)
    assert (status, "unfinished work on another build, or with other options" in err) == (2, True)
    status, out, err = run("tolerance", plinth_path, "-n", 1500, "-o", target)
    assert (status, err) == (0, "loopsim: taking up what draws.csv.unfinished holds\n")
    assert run("tolerance", plinth_path, "-n", 1500, "-o", whole)[1] == out
    assert target.read_text(encoding="utf-8") == whole.read_text(encoding="utf-8")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["draws.csv", "whole.csv"]

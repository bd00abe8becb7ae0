"""Measured against predicted, in the terminal and in the report."""

import json
from pathlib import Path

import pytest

from loopsim.build import edits, load, save
from loopsim.studies import measured_against, operating_point


@pytest.fixture
def measured(plinth_path: Path, tmp_path: Path) -> Path:
    build = load(plinth_path)
    note = "bucket and watch, 12 L"
    edit = edits.change_layout(build, build.layouts[0].name, measured_flow_l_h=300.0, measured_note=note)
    save(edit.build, tmp_path / "measured.loop.json")
    return tmp_path / "measured.loop.json"


def test_solve_says_measured_and_predicted(run, measured: Path) -> None:
    found = measured_against(operating_point(load(measured)))
    out = run("solve", measured)[1]
    assert f"Checked: {found.sentence} (bucket and watch, 12 L)" in out


def test_solve_as_json_carries_both_flows(run, measured: Path, plinth_path: Path) -> None:
    data = json.loads(run("solve", measured, "--json")[1])
    assert data["measured"]["flow_l_h"] == 300.0
    assert data["measured"]["predicted_flow_l_h"] == data["flow_l_h"]
    assert data["measured"]["deviation"] == pytest.approx(data["flow_l_h"] / 300.0 - 1, abs=1e-6)
    assert json.loads(run("solve", plinth_path, "--json")[1])["measured"] is None


def test_the_report_says_it_at_the_operating_point(run, measured: Path, tmp_path: Path) -> None:
    target = tmp_path / "log.md"
    assert run("report", measured, "-o", target)[0] == 0
    text = target.read_text(encoding="utf-8")
    assert "Measured 300 L/h at Reservoir, predicted" in text
    assert "How it was measured: bucket and watch, 12 L." in text

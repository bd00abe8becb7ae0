"""`loopsim arrange` as a builder types it."""

import json
from pathlib import Path

import pytest

from loopsim.build import load, save
from loopsim.studies import heat_point
from loopsim.units import from_si
from tests.studies.arranging.loops import block, loop, radiator


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "machine.loop.json"
    save(loop(block(1, 8.0), radiator(1)), made)
    return made


def test_the_best_orders_are_printed_below_the_drawing_with_how_they_are_ranked(run, path: Path) -> None:
    status, out, _ = run("arrange", path, "--keep", "2")
    lines = out.splitlines()
    assert status == 0
    assert lines[0].split()[:2] == ["flow", "L/h"]
    assert [line.split()[0] for line in lines[1:4]] == ["now", "1", "2"]
    assert "First stand those that fit and hold every limit" in out
    assert "3 orders tried" in lines[-1]


def test_json_and_the_file_written_hold_the_same_arrangements(run, path: Path, tmp_path: Path) -> None:
    written = tmp_path / "with.loop.json"
    status, out, _ = run("arrange", path, "--first", "flow", "-o", written, "--json")
    data, made = json.loads(out), load(written)
    assert status == 0
    assert len(made.layouts) == 1 + len(data["arrangements"])
    for layout, told in zip(made.layouts[1:], data["arrangements"], strict=True):
        heat = heat_point(made, layout.name)
        assert from_si(heat.point.loop_flow, "l_h") == pytest.approx(told["flow_l_h"], abs=1e-5)
        assert heat.warmest.margin == pytest.approx(told["margin_k"], abs=1e-5)


def test_a_part_that_cannot_change_places_is_refused(run, path: Path) -> None:
    status, _, err = run("arrange", path, "--part", "Pump")
    assert (status, "only blocks and radiators change places" in err) == (2, True)

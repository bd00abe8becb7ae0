"""`loopsim compare` as a builder types it."""

import json
from pathlib import Path

import pytest

from loopsim.build import load
from loopsim.studies import compare, operating_point
from loopsim.units import from_si


def test_all_layouts_of_a_file_stand_side_by_side(run, plinth_path: Path) -> None:
    status, out, _ = run("compare", plinth_path)
    assert status == 0
    (flow,) = [line for line in out.splitlines() if line.startswith("flow, L/h")]
    build = load(plinth_path)
    series, beside, large = (from_si(operating_point(build, each.name).loop_flow, "l_h") for each in build.layouts)
    changes = (f"({beside - series:+.0f})", f"({large - series:+.0f})")
    assert flow.split()[2:] == [f"{series:.0f}", f"{beside:.0f}", changes[0], f"*{large:.0f}", changes[1]]
    assert "one large pump: with Large pump, without Pump A and Pump B" in out


def test_json_carries_values_differences_and_the_best(run, plinth_path: Path) -> None:
    names = ["two pumps side by side", "two pumps in series"]
    _, out, _ = run("compare", plinth_path, "--layout", names[0], "--layout", names[1], "--base", names[1], "--json")
    data = json.loads(out)
    build = load(plinth_path)
    found = compare([(build, name) for name in names], names[1])
    assert [each["layout"] for each in data["layouts"]] == names
    assert data["base"] == names[1]
    for row, expected in zip(data["rows"], found.rows, strict=True):
        assert row["key"] == expected.key
        assert row["best"] == sorted(expected.best)
    flow = data["rows"][0]
    assert flow["unit"] == "l_h"
    assert flow["values"] == pytest.approx([value * 3.6e6 for value in found.row("flow_l_h").values], abs=1e-5)
    assert flow["against_base"][1] == 0


def test_one_layout_alone_is_refused(run, plinth_path: Path) -> None:
    status, _, err = run("compare", plinth_path, "--layout", "one large pump")
    assert (status, err) == (2, "loopsim: compare: takes 2 to 6 layouts, got 1; choose some by name\n")

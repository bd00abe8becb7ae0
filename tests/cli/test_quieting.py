"""`loopsim quiet` as a builder types it."""

import json
from pathlib import Path

import sample_loops

CAMERA = Path(str(sample_loops.sample("pier-camera")))


def test_the_quietest_speeds_are_printed_with_what_margin_costs(run) -> None:
    status, out, _ = run("quiet", CAMERA)
    lines = out.splitlines()
    assert (status, lines[0].split()[-2:]) == (0, ["margin", "K"])
    assert lines[1].startswith("now")
    assert "hold every limit" in lines[-1]


def test_json_says_why_one_pump_cannot_be_survived(run) -> None:
    _, out, _ = run("quiet", CAMERA, "--survive", "pump", "--json")
    data = json.loads(out)
    assert (data["survive"], data["best"], data["curve"]) == ("pump", None, [])
    assert data["now"]["margin_k"] < 0
    assert [group["parts"] for group in data["groups"]] == [["pump"], ["fan"]]

"""`loopsim swell` and `loopsim covers` as a builder types them."""

import json
from pathlib import Path

from loopsim.build import load
from loopsim.studies import heat_points, operating_point
from loopsim.studies.fill import COVER_CAUTIONS, SWELL_CAUTIONS, covers, swell_sheet


def test_swell_says_cautions_first_then_every_circuit(run, plinth_path: Path) -> None:
    status, out, err = run("swell", plinth_path)
    assert (status, err) == (0, "")
    assert out.splitlines()[0] == f"  caution: {SWELL_CAUTIONS[0]}"
    plinth = load(plinth_path)
    (circuit,) = swell_sheet(operating_point(plinth), heat_points(plinth))
    assert all(f"{each[1:]}." in out for each in circuit.sentences)


def test_swell_at_a_temperature_of_ones_own_as_json(run, plinth_path: Path) -> None:
    status, out, _ = run("swell", plinth_path, "--hot-c", 60, "--json")
    (circuit,) = json.loads(out)["circuits"]
    assert status == 0
    assert (circuit["hot_c"], circuit["verdict"], circuit["cushion"]) == (60.0, "holds", None)
    assert circuit["levels"][0]["vessel"] == "reservoir"


def test_covers_lists_every_check_with_remedy_and_source(run, plinth_path: Path) -> None:
    status, out, err = run("covers", plinth_path)
    assert (status, err) == (0, "")
    assert out.splitlines()[0] == f"  caution: {COVER_CAUTIONS[0]}"
    for check in covers(load(plinth_path))[0].checks:
        assert f"{check.sentence[1:]}." in out
        assert check.remedy in out
        assert check.source in out


def test_covers_at_another_test_pressure_as_json(run, plinth_path: Path) -> None:
    status, out, _ = run("covers", plinth_path, "--test-bar", 0.1, "--json")
    (part,) = json.loads(out)["parts"]
    assert status == 0
    assert (part["test_bar"], part["verdict"], part["is_guess"]) == (0.1, "fine", True)
    assert {"what", "found", "asked", "margin", "verdict", "text", "remedy", "source"} == set(part["checks"][0])

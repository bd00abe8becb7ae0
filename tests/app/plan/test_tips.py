"""What the plan says where the pointer rests."""

import pytest

from app.answer import Answer
from app.plan.handles import Hit
from app.plan.tips import tip
from loopsim.build import Build, edits
from loopsim.parts import TubeRun
from loopsim.studies import operating_point


@pytest.fixture
def closed(document) -> Build:
    """The machine with its loop closed."""
    build = document.build
    for run in (
        TubeRun(id="down", start="block.outlet", end="rad.a", tube="tube"),
        TubeRun(id="back", start="rad.b", end="vessel.inlet", tube="tube"),
    ):
        build = edits.add_run(build, "one pump", run).build
    document.do(edits.Edit(build, "Close the loop"))
    return build


def test_a_run_says_flow_drop_velocity_and_state_of_flow(document, closed):
    point = operating_point(closed)
    run = point.of("down")
    text = tip(Hit("run", "down"), document, Answer(closed.revision, "one pump", point))
    assert f"{run.flow * 3.6e6:.0f} L/h" in text
    assert f"{run.dp / 1000:.2g}" in text
    assert f"{run.velocity:.2f} m/s, Re {run.reynolds:.0f} ({run.regime})" in text
    assert "Block to Radiator" in text


def test_a_part_says_its_place_and_what_flows_through_it(document, closed):
    point = operating_point(closed)
    answer = Answer(closed.revision, "one pump", point)
    assert f"{point.of('block').flow * 3.6e6:.0f} L/h; takes" in tip(Hit("part", "block"), document, answer)
    assert f"L/h at {point.of('pump').head:.2f} m" in tip(Hit("part", "pump"), document, answer)


def test_without_an_answer_a_part_still_says_its_size_and_place(document):
    assert "60 × 60 × 38 mm, 0 mm above the floor" in tip(Hit("part", "pump"), document, None)

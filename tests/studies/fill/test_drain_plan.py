"""The drain plan as numbered steps."""

from collections import Counter
from collections.abc import Callable

import pytest

from loopsim.build import Build, load
from loopsim.errors import SketchError
from loopsim.network import LEVEL, height_graph
from loopsim.parts import DrainPort, Reservoir, SidePort
from loopsim.studies.fill import drain, drain_plan, drain_proposal, fill_plan
from loopsim.studies.fill.drain_plan import drain_sums
from loopsim.units import from_si

Make = Callable[..., Build]


@pytest.fixture
def drained(build: Make, tube: Make) -> Callable[..., Build]:
    """A vessel at 500 mm above a ring with a drain port at its foot; the ring sags to `sag_mm` on the way back."""

    def make(sag_mm: float) -> Build:
        ports = (SidePort(name="inlet", side="left", height_mm=12), SidePort(name="outlet", side="right", height_mm=12))
        placed = {
            Reservoir(id="vessel", name="Vessel", port_list=ports): {"x_mm": 300, "y_mm": 200, "height_mm": 500},
            DrainPort(id="foot", name="Foot"): {"x_mm": 700, "y_mm": 200, "height_mm": 100},
        }
        back = [(900, 200, 125), (900, 400, 300), (600, 400, sag_mm), (60, 400, 300), (60, 200, 512)]
        down = tube("down", "vessel.outlet", "foot.a", (500, 200, 512), (500, 200, 125))
        return build(placed, [down, tube("back", "foot.b", "vessel.inlet", *back)])

    return make


def test_steps_are_numbered_and_say_what_runs_off(drained: Callable[..., Build]) -> None:
    plan = drain_plan(drained(300), most_tilt=LEVEL)
    assert [step.number for step in plan.steps] == list(range(1, len(plan.steps) + 1))
    (opened,) = (step for step in plan.steps if step.volume > 0)
    assert opened.at is not None
    assert opened.at.item == "foot"
    assert plan.drain.drained == pytest.approx(opened.volume)
    assert "Unplug" in plan.steps[0].sentence or "unplug" in plan.steps[0].sentence
    assert "lids and caps above" in plan.steps[1].sentence


def test_it_runs_for_minutes_out_of_10_mm(drained: Callable[..., Build]) -> None:
    """Torricelli out of 0.5 m or so: about 1.5 m/s, 0.1 L/s at the start for half a litre."""
    (opened,) = (step for step in drain_plan(drained(300), most_tilt=LEVEL).steps if step.volume > 0)
    assert opened.seconds is not None
    assert 5 < opened.seconds < 60


def test_what_sags_stays_and_freezes(drained: Callable[..., Build]) -> None:
    build = drained(50)
    plan = drain_plan(build, most_tilt=LEVEL)
    full = drain(build, most_tilt=LEVEL)
    assert 0.5 * full.left < plan.drain.left <= full.left  # air in the loop takes the place of some
    assert {"liquid stays", "frost"} <= {warning.code for warning in plan.warnings}
    assert any("Blow through" in step.sentence and "eye protection" in step.sentence for step in plan.steps)


@pytest.mark.parametrize("sample", ["render-plinth", "kiln-lamp", "pier-camera"])
def test_what_was_poured_in_comes_out_or_stays(sample: str) -> None:
    """Volume is kept from the fill plan to the drain plan, part by part."""
    build = load(f"sample_loops/{sample}.loop.json")
    name = build.layouts[0].name
    build = build if sample == "render-plinth" else drain_proposal(build, name).edit.build
    filled = fill_plan(build, name)
    plan, graph = drain_plan(build, name, filled=filled), height_graph(build, build.layout(name))
    found = plan.drain
    assert found.held == pytest.approx(filled.poured, rel=1e-6)
    assert found.drained + found.blown_free + found.stays == pytest.approx(filled.poured, rel=1e-6)
    assert plan.air == pytest.approx(filled.capacity - filled.poured, rel=1e-6)
    assert sum(step.volume for step in plan.steps) == pytest.approx(found.drained)
    inside: Counter[str] = Counter()
    for low in found.low_points:
        inside.update({each.at.item: each.volume for each in low.held})
    for item, volume in inside.items():
        assert volume <= float(graph.liquid[graph.passages_of[item]].sum()) * (1 + 1e-9)
    assert f"{from_si(filled.poured, 'ml'):.0f} mL that its filling" in drain_sums(found)


def test_no_opening_at_all_is_an_error_that_says_what_to_add(loop: Make) -> None:
    with pytest.raises(SketchError, match="add a drain port at its lowest place"):
        drain_plan(loop(250, vessel_mm=100))

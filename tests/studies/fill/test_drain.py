"""Draining, against closed forms."""

import math
from collections.abc import Callable

import pytest

from loopsim.build import Build, load
from loopsim.errors import SketchError
from loopsim.network import Tilt, height_graph
from loopsim.parts import DrainPort, FillPort, Pump, QuickDisconnect, Reservoir, TubeRun
from loopsim.studies.fill import drain

Make = Callable[..., Build]


def with_drain(
    build: Make, tube: Callable[..., TubeRun], *corners: tuple[float, float, float], height_mm: float
) -> Build:
    """From a fill port 200 mm up over corners to a drain port, whose opening lies at its underside."""
    return build(
        {
            FillPort(id="fill", name="Fill"): {"x_mm": 200, "y_mm": 200, "height_mm": 200},
            DrainPort(id="drain", name="Drain"): {"x_mm": 1000, "y_mm": 200, "height_mm": height_mm},
        },
        [tube("line", "fill.b", "drain.a", *corners)],
    )


def test_a_line_that_falls_all_the_way_runs_empty(build: Make, tube: Callable[..., TubeRun]) -> None:
    result = drain(with_drain(build, tube, height_mm=0))
    assert result.drained == pytest.approx(result.held)
    assert result.low_points == ()
    assert result.collect == pytest.approx(1.1 * result.held)
    assert [step.at.item for step in result.steps] == ["drain"]


def test_a_dip_keeps_what_lies_below_its_pass(build: Make, tube: Callable[..., TubeRun]) -> None:
    """Down to 100 mm, up to 150 mm, down to the drain: both legs of the dip stay full up to 150 mm."""
    bench = with_drain(build, tube, (400, 200, 100), (600, 200, 150), height_mm=0)
    result = drain(bench)
    (low,) = result.low_points
    graph = height_graph(bench, bench.layout())
    first, second, _ = graph.passages_of["line"]
    share = (150 - 100) / (209 - 100)
    assert low.volume == pytest.approx(share * graph.volume[first] + graph.volume[second])
    assert low.at.height == pytest.approx(0.100)
    assert low.level == pytest.approx(0.150)
    assert low.blown_free == pytest.approx(0.8 * low.volume)
    assert result.drained + result.left == pytest.approx(result.held)
    assert "stay, up to 150 mm" in " ".join(result.sentences)


def test_what_stays_is_told_by_the_part_that_holds_it(build: Make, tube: Callable[..., TubeRun]) -> None:
    """A vessel of 80 by 150 mm that stands below its drain: all that stays lies under one surface, part by part.

    A tube at 100 mm leads from the vessel, whose floor lies at 88 mm, over a crest at 120 mm to the drain, and its
    lowest place is in a pump 60 mm deeper: the pump keeps what a pump holds, not what the vessel keeps.
    """
    bench = build(
        {
            Reservoir(id="vessel", name="Vessel"): {"x_mm": 200, "y_mm": 200, "height_mm": 88},
            Pump(id="pump", name="Pump"): {"x_mm": 700, "y_mm": 200, "height_mm": 28},
            DrainPort(id="drain", name="Drain"): {"x_mm": 1400, "y_mm": 200},
        },
        [tube("line", "vessel.outlet", "pump.inlet"), tube("on", "pump.outlet", "drain.a", (1100, 200, 120))],
    )
    result, graph = drain(bench), height_graph(bench, bench.layout())
    (low,) = [each for each in result.low_points if "vessel" in {held.at.item for held in each.held}]
    held = {each.at.item: each.volume for each in low.held}
    assert low.at.item == "vessel"
    assert low.name == "Vessel and 3 beside it"
    assert low.volume == pytest.approx(sum(held.values()))
    for item, volume in held.items():
        assert volume <= graph.liquid[graph.passages_of[item]].sum() + 1e-12
    vessel = bench.part("vessel")
    floor = min(spot.height_mm for spot in vessel.inside.places.values())
    assert held["vessel"] == pytest.approx(vessel.surface_m2 * (low.level - 0.088 - floor / 1e3))
    assert next(each.blown_free for each in low.held if each.at.item == "vessel") == 0.0  # air bubbles through it


def test_a_tilt_empties_a_shallow_dip(build: Make, tube: Callable[..., TubeRun]) -> None:
    """A dip of 20 mm over 200 mm, 5.7 degrees: lifting the left side by more lets it run off."""
    bench = with_drain(build, tube, (400, 200, 60), (600, 200, 80), height_mm=0)
    assert drain(bench).left > 1e-6
    held = drain(bench, most_tilt=Tilt(15, 0))
    assert held.left == pytest.approx(0, abs=1e-7)
    assert held.steps[0].tilt.right_up_deg < -5
    assert "cap and lid" in held.sentences[0]
    assert "left side up" in held.sentences[1]


def test_nothing_runs_over_a_hump_that_is_higher(build: Make, tube: Callable[..., TubeRun]) -> None:
    """A siphon's shape: the vessel's liquid stays behind the crest, for the crest fills with air."""
    bench = build(
        {
            Reservoir(id="vessel", name="Vessel"): {"x_mm": 200, "y_mm": 200, "height_mm": 100},
            DrainPort(id="drain", name="Drain"): {"x_mm": 1000, "y_mm": 200},
        },
        [tube("line", "vessel.outlet", "drain.a", (500, 200, 300))],
    )
    result = drain(bench)
    (low, *_) = result.low_points
    vessel = 0.15 * 0.08 * 0.039
    rising = math.pi / 4 * 0.01**2 * math.dist((280, 112), (500, 300)) / 1000
    assert low.volume == pytest.approx(vessel + rising, rel=0.01)


def test_the_opening_that_lets_out_most_comes_first(build: Make, tube: Callable[..., TubeRun]) -> None:
    """Two dips with a drain at each: the long one first."""
    bench = build(
        {
            DrainPort(id="small", name="Small"): {"x_mm": 200, "y_mm": 200},
            FillPort(id="top", name="Top"): {"x_mm": 500, "y_mm": 200, "height_mm": 200},
            DrainPort(id="large", name="Large"): {"x_mm": 1800, "y_mm": 200},
        },
        [tube("short", "small.b", "top.a"), tube("long", "top.b", "large.a")],
    )
    result = drain(bench)
    assert [step.at.item for step in result.steps] == ["large", "small"]
    assert result.drained == pytest.approx(result.held, rel=1e-6)
    assert [step.at.item for step in drain(bench, at=["small"]).steps] == ["small"]
    assert drain(bench, at=["small"]).left > 0


def test_what_a_dry_break_spills_is_told(build: Make) -> None:
    bench = build({QuickDisconnect(id="q", name="Q"): {"x_mm": 200, "y_mm": 200}}, [])
    assert drain(bench).spill == {"q": pytest.approx(0.3e-6)}


def test_the_frost_note_holds_the_coolants_freezing_point(build: Make, tube: Callable[..., TubeRun]) -> None:
    result = drain(with_drain(build, tube, (400, 200, 100), (600, 200, 150), height_mm=0))
    assert result.freezes_below_c == pytest.approx(0, abs=0.05)
    assert "freeze at 0 °C" in result.sentences[-1].replace("-0", "0")


def test_a_layout_without_an_opening_says_what_to_add() -> None:
    with pytest.raises(SketchError, match="add a drain port"):
        drain(load("sample_loops/kiln-lamp.loop.json"))

"""The air map, against closed forms and against what a hand sees."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from loopsim.build import Build, Placement, load
from loopsim.errors import SketchError
from loopsim.network import Tilt, height_graph
from loopsim.parts import BleedPort, Pump, Radiator, Reservoir, TubeRun
from loopsim.studies import operating_point
from loopsim.studies.fill import air_map
from loopsim.studies.fill.bleeding import bled_while, bleed_remedy
from loopsim.studies.fill.flows import passage_flows

Make = Callable[..., Build]
AREA = math.pi / 4 * 0.010**2
PLINTH = "sample_loops/render-plinth.loop.json"


def high_points(build: Build, **options) -> dict[str, object]:
    return {point.at.place: point for point in air_map(operating_point(build), **options).points}


def test_an_inverted_u_keeps_what_its_legs_hold_above_the_vessels_ports(loop: Make) -> None:
    """From the pump's outlet at 19 mm up to 219 mm and down; air gets out at the vessel's ports, both at 12 mm.

    By hand: both legs, the suction line from 19 to 12 mm, and the pump without its top, which is a high point of its
    own (an eighth of 15 mL), and without what lies below 12 mm of its bottom, from 19 to 3 mm (another eighth).
    """
    build = loop(219)
    (crest,) = [point for point in air_map(operating_point(build)).points if point.at.item == "line"]
    assert crest.height == pytest.approx(0.219)
    assert crest.sill == pytest.approx(0.012)
    graph = height_graph(build, build.layout())
    legs = graph.passages_of["line"]
    rising, falling = graph.length[legs[0]], graph.length[legs[1]]
    suction = graph.length[graph.passages_of["suction"]].sum()
    pump = 15e-6 * (1 - 1 / 8 - 9 / 16 / 8)
    assert crest.gas == pytest.approx(AREA * (rising + falling + suction) + pump, rel=1e-3)


def test_air_that_fast_liquid_carries_down_ends_in_the_vessel(loop: Make) -> None:
    (crest,) = [point for point in air_map(operating_point(loop(219))).points if point.at.item == "line"]
    assert crest.speed > crest.clears_above
    assert (crest.verdict, crest.ends_in, crest.caught_at) == ("clears", "vessel", None)
    assert "the air ends in Vessel" in crest.sentence


def test_high_points_that_clear_do_not_catch_what_comes_from_others(loop: Make) -> None:
    """Two crests one after the other in a fast line, the lower one first."""
    higher, lower = [point for point in air_map(operating_point(loop(150, 60, 219))).points if point.at.item == "line"]
    assert (higher.verdict, lower.verdict) == ("clears", "clears")
    assert lower.into == higher.at.place
    assert (lower.caught_at, lower.ends_in) == (None, "vessel")


def test_with_the_pump_stopped_all_air_stays(loop: Make) -> None:
    mapped = air_map(operating_point(loop(219), stopped=["pump"]))
    assert {point.verdict for point in mapped.points} == {"stays"}
    assert mapped.stopped == {"pump"}
    assert [point.at.item for point in mapped.points][:1] == ["line"]


def test_a_slow_pump_leaves_it_open_whether_it_clears(loop: Make) -> None:
    build = loop(219)
    (layout,) = build.layouts
    slow = tuple(each.with_values(speed_percent=9.0) if each.part == "pump" else each for each in layout.placed)
    build = build.with_values(layouts=(layout.with_values(placed=slow),))
    (crest,) = [point for point in air_map(operating_point(build)).points if point.at.item == "line"]
    assert crest.stays_below <= crest.speed < crest.clears_above
    assert crest.verdict == "may clear"


def test_the_top_of_a_running_pump_is_open_to_its_impeller(loop: Make) -> None:
    point = high_points(loop(60))["pump/top"]
    assert (point.blind, point.verdict) == (point.gas, "may clear")
    assert "impeller" in point.sentence
    assert point.gas * 1e6 == pytest.approx(15 / 8, rel=1e-6)  # an eighth of the pump's 15 mL, from 19 to 35 mm


def test_the_upper_half_of_a_lying_radiator_keeps_air_that_its_slow_flow_does_not_carry_down(
    build: Make, tube: Callable[..., TubeRun]
) -> None:
    """Ports at 27 mm, end tanks from 1 to 54 mm, 120 mL: what lies above 27 mm is half, within the step of 0.5 mm."""
    bench = build(
        {
            Reservoir(id="vessel", name="Vessel"): {"x_mm": 200, "y_mm": 200, "height_mm": 15},
            Pump(id="pump", name="Pump"): {"x_mm": 500, "y_mm": 200, "height_mm": 8},
            Radiator(id="radiator", name="Radiator"): {"x_mm": 1000, "y_mm": 200},
        },
        [
            tube("suction", "vessel.outlet", "pump.inlet"),
            tube("there", "pump.outlet", "radiator.a"),
            tube("back", "radiator.b", "vessel.inlet", (1300, 200, 27), (1300, 500, 27), (60, 500, 27), (60, 200, 27)),
        ],
    )
    (point,) = [each for each in air_map(operating_point(bench)).points if each.at.item == "radiator"]
    assert point.gas * 1e6 == pytest.approx(60 * 27 / 26.5, rel=0.03)
    assert point.verdict == "stays"
    assert point.speed < point.stays_below


def with_a_bleed(build: Make, tube: Callable[..., TubeRun]) -> Build:
    """A line that rises to 200 mm, with a bleed port there whose opening lies at 224 mm, and falls again."""
    return build(
        {
            Reservoir(id="vessel", name="Vessel"): {"x_mm": 200, "y_mm": 200},
            Pump(id="pump", name="Pump"): {"x_mm": 500, "y_mm": 200},
            BleedPort(id="bleed", name="Bleed"): {"x_mm": 800, "y_mm": 200, "height_mm": 200},
        },
        [
            tube("suction", "vessel.outlet", "pump.inlet"),
            tube("up", "pump.outlet", "bleed.a"),
            tube("down", "bleed.b", "vessel.inlet", (900, 400, 12), (60, 400, 12), (60, 200, 12)),
        ],
    )


def test_a_cap_on_a_high_point_lets_its_air_out(build: Make, tube: Callable[..., TubeRun]) -> None:
    bench = with_a_bleed(build, tube)
    (neck,) = [point for point in air_map(operating_point(bench)).points if point.at.item == "bleed"]
    assert neck.cap == "bleed/opening"
    assert neck.left_under_cap == pytest.approx(0, abs=1e-9)
    assert neck.verdict == "clears"  # all but what stands in the neck, from 209 to 224 mm
    assert neck.blind == pytest.approx(AREA * 0.015, rel=1e-6)
    assert "in a blind end" in neck.sentence
    stopped = air_map(operating_point(bench, stopped=["pump"])).points[0]
    assert "leave the cap of Bleed shut: it lies above the vessel's level" in stopped.sentence
    opened = air_map(operating_point(bench), opened=["bleed"]).points
    assert not [point for point in opened if point.at.item == "bleed"]


def test_a_cap_is_opened_only_where_liquid_stands_higher_than_it(build: Make, tube: Callable[..., TubeRun]) -> None:
    """At rest liquid comes out below the level and air goes in above it: communicating vessels."""
    bench = with_a_bleed(build, tube)
    (layout,) = bench.layouts
    raised = tuple(each.with_values(height_mm=300.0) if each.part == "vessel" else each for each in layout.placed)
    below = air_map(operating_point(bench.with_values(layouts=(layout.with_values(placed=raised),)), stopped=["pump"]))
    (neck,) = [point for point in below.points if point.at.item == "bleed"]
    assert "open the cap of Bleed with the pumps off" in neck.sentence


def test_a_bleed_port_is_advised_only_where_opening_it_lets_liquid_out(loop: Make) -> None:
    """Above the level nothing but a running pump presses liquid out: communicating vessels."""
    dry = air_map(operating_point(loop(219), stopped=["pump"])).points[0]
    assert dry.sentence.endswith("above its level a bleed port would let air in")
    point = operating_point(loop(50))
    pressed = next(each for each in air_map(point).points if each.at.item == "line")
    ways = {True: "opened a little while the pumps run", False: "would let air in"}
    for over in (True, False):
        ends = dict.fromkeys(point.pressures, 5_000.0 if over else -5_000.0)
        running = replace(point, pressures=ends)
        kept = replace(pressed, verdict="stays", speed=0.1, cap=None, bled_while=bled_while(running, pressed.at))
        assert ways[over] in bleed_remedy(running, kept)
    assert bled_while(replace(point, pressures={}), replace(pressed.at, height=0.01)) == "pumps stand"
    assert "opened with the pumps off" in bleed_remedy(point, replace(kept, bled_while="pumps stand"))


def test_the_vessel_of_another_circuit_says_nothing_of_a_bleed_port(loop: Make) -> None:
    """A vessel that stands higher, alone and first in the layout, holds no liquid over this loop."""
    build = loop(219)
    (layout,) = build.layouts
    tall = Reservoir(id="other", name="Other")
    above = Placement(part="other", x_mm=900, y_mm=700, height_mm=400)
    both = build.with_values(parts=(tall, *build.parts), layouts=(layout.with_values(placed=(above, *layout.placed)),))
    for each in (build, both):
        (crest,) = [high for high in air_map(operating_point(each, stopped=["pump"])).points if high.at.item == "line"]
        assert crest.sentence.endswith("above its level a bleed port would let air in")


def test_a_bleed_port_is_no_longer_proposed_where_there_is_one(build: Make, tube: Callable[..., TubeRun]) -> None:
    mapped = air_map(operating_point(with_a_bleed(build, tube), stopped=["pump"]))
    assert not any(point.takes_port for point in mapped.points if point.at.item == "bleed")


def test_an_opening_that_there_is_not_is_refused(loop: Make) -> None:
    with pytest.raises(SketchError, match="'lid' is no opening"):
        air_map(operating_point(loop(50)), opened=["lid"])


def test_a_tilt_moves_high_points(loop: Make) -> None:
    build = loop(19)
    level = air_map(operating_point(build)).gas
    assert air_map(operating_point(build), tilt=Tilt(right_up_deg=20)).gas > 1.5 * level


def test_flows_of_passages_are_those_of_runs_and_close_inside_parts() -> None:
    build = load(PLINTH)
    for layout in build.layouts:
        point = operating_point(build, layout.name)
        graph = height_graph(build, layout)
        flow = passage_flows(graph, point)
        net = np.zeros(len(graph.names))
        np.subtract.at(net, graph.ends[:, 0], flow)
        np.add.at(net, graph.ends[:, 1], flow)
        assert np.abs(net).max() < 1e-9 * 3600  # what comes in goes out at every place
        for run in layout.runs:
            assert flow[graph.passages_of[run.id]] == pytest.approx(point.of(run.id).flow)


def test_every_sentence_of_the_sample_names_its_part() -> None:
    mapped = air_map(operating_point(load(PLINTH)))
    assert mapped.points
    for point in mapped.points:
        assert point.sentence.startswith(point.at.name)
    assert 0 < mapped.gas < mapped.capacity
    assert mapped.stays[0].gas == max(point.gas for point in mapped.stays)

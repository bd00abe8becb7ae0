"""A plate of channels, alone and in a loop."""

import math

import pytest
from pydantic import ValidationError

from loopsim.build import Build, Layout, Placement
from loopsim.elements import Channel
from loopsim.errors import SketchError
from loopsim.media import water
from loopsim.network import assemble
from loopsim.parts import ChannelPlate, Pump, Reservoir, Tube, TubeRun
from loopsim.solve import solve_flow

WATER = water().at(20.0)
FLOW = 5e-5
ENDS = [("in", "a", "b", 100.0, 0)]
# A port as large as the channel's section (80 mm2), so that the change of section costs nothing.
SAME_SECTION_MM = (4 * 80 / math.pi) ** 0.5


def plate(
    channels: list[tuple[str, str, str, float, int]], ports: tuple[str, ...] = ("a", "b"), **values
) -> ChannelPlate:
    names = ("name", "start", "end", "length_mm", "corners")
    sides = {"a": "left", "b": "right", "c": "back"}
    bore = values.pop("bore_mm", SAME_SECTION_MM)
    return ChannelPlate(
        id="plate",
        name="Plate",
        port_list=[{"name": port, "side": sides[port], "bore_mm": bore} for port in ports],
        channels=[dict(zip(names, row, strict=True)) for row in channels],
        **values,
    )


def drop(of: ChannelPlate, flow: float = FLOW) -> float:
    (path,) = of.flow_paths
    return float(path.element.dp(flow, WATER)[0])


def test_a_single_channel_is_its_friction() -> None:
    expected = Channel(0.010, 0.008, 0.1, 3e-6).dp(FLOW, WATER)[0]
    assert drop(plate(ENDS)) == pytest.approx(expected, rel=1e-4)


def test_corners_cost_their_velocity_heads() -> None:
    v = FLOW / 80e-6
    straight, turning = plate(ENDS, laminar_loss=0.0), plate([("in", "a", "b", 100.0, 3)], laminar_loss=0.0)
    assert drop(turning) - drop(straight) == pytest.approx(3 * 1.2 * WATER.density * v**2 / 2, rel=1e-6)


def test_a_wide_port_costs_what_leaving_a_channel_into_a_vessel_does() -> None:
    """Handbook limits: 0.5 heads to enter from a large space by a sharp edge, 1 to leave into one."""
    v = FLOW / 80e-6
    extra = drop(plate(ENDS, bore_mm=1000.0)) - drop(plate(ENDS))
    assert extra == pytest.approx(1.5 * WATER.density * v**2 / 2, rel=1e-3)


def test_a_narrow_port_costs_heads_of_its_own_velocity() -> None:
    """A port of a tenth of the section: widening (1 - 0.1)^2 and narrowing 0.5 (1 - 0.1)^0.75, on its velocity."""
    v = FLOW / 8e-6
    extra = drop(plate(ENDS, bore_mm=SAME_SECTION_MM / 10**0.5)) - drop(plate(ENDS))
    assert extra == pytest.approx((0.9**2 + 0.5 * 0.9**0.75) * WATER.density * v**2 / 2, rel=1e-3)


def test_a_branching_costs_each_channel_that_meets_there_and_a_joint_of_two_nothing() -> None:
    rows = [("in", "a", "x", 50, 0), ("on", "x", "b", 50, 0)]
    joint = plate(rows)
    branching = plate([*rows, ("over", "x", "c", 50, 0)], ("a", "b", "c"))
    losses = [
        [path.element.loss_coefficient for path in each.flow_paths if path.name != "over"]
        for each in (joint, branching)
    ]
    assert losses[0] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert losses[1] == pytest.approx([0.6, 0.6])


def test_a_plate_is_alike_both_ways_where_its_ports_are() -> None:
    assert drop(plate(ENDS, bore_mm=6.0)) == pytest.approx(-drop(plate(ENDS, bore_mm=6.0), -FLOW))


def test_it_holds_what_its_channels_hold() -> None:
    assert plate([*ENDS, ("side", "a", "b", 50.0, 0)]).coolant_ml == pytest.approx(10 * 8 * 150 / 1000)


def test_places_that_are_no_ports_are_inner_nodes_at_the_channels_height() -> None:
    made = plate([("in", "a", "x", 50, 0), ("up", "x", "b", 50, 0), ("over", "x", "c", 50, 0)], ("a", "b", "c"))
    assert {name: spot.height_mm for name, spot in made.inner_nodes.items()} == {"x": 12.0}


@pytest.mark.parametrize(
    ("channels", "words"),
    [
        ([("in", "a", "a", 50, 0)], "channel 'in' leads from 'a' back to it"),
        ([("in", "a", "x", 50, 0), ("in", "x", "b", 50, 0)], "two channels are called 'in'"),
        ([("in", "a", "x", 50, 0), ("up", "x", "a", 50, 0)], "no channel reaches port 'b'"),
        (
            [("in", "a", "b", 50, 0), ("up", "b", "split", 50, 0)],
            "only one channel ends at 'split', which is no port; lead it to a port, or another channel to it",
        ),
    ],
)
def test_channels_that_lead_nowhere_are_refused(channels: list, words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        plate(channels)


def _loop(of: ChannelPlate) -> Build:
    runs = (("pump.outlet", "plate.a"), ("plate.b", "tank.inlet"), ("tank.outlet", "pump.inlet"))
    layout = Layout(
        name="loop",
        placed=(
            Placement(part="tank", x_mm=100, y_mm=100),
            Placement(part="pump", x_mm=300, y_mm=100),
            Placement(part="plate", x_mm=500, y_mm=300, height_mm=5),
        ),
        runs=tuple(TubeRun(id=f"r{n}", start=a, end=b, tube="t") for n, (a, b) in enumerate(runs)),
    )
    parts = (Reservoir(id="tank", name="Tank"), Pump(id="pump", name="Pump"), of)
    return Build(name="b", tubes=(Tube(id="t", name="T"),), parts=parts, layouts=(layout,))


def test_in_a_loop_equal_arms_share_the_flow_and_unequal_ones_do_not() -> None:
    def arms(left_mm: float) -> tuple[float, float, float]:
        of = plate(
            [
                ("feed", "a", "split", 40, 1),
                ("left", "split", "join", left_mm, 2),
                ("right", "split", "join", 150, 2),
                ("back", "join", "b", 40, 1),
            ],
            corner_loss=0.0,
            branch_loss=0.0,
        )
        build = _loop(of)
        flow = solve_flow(assemble(build, build.layout()).network).flow
        return flow["plate/feed"], flow["plate/left"], flow["plate/right"]

    feed, left, right = arms(150)
    assert left == pytest.approx(right)
    assert left + right == pytest.approx(feed)
    _, left, right = arms(600)
    assert right > 1.5 * left


def test_inner_nodes_stand_at_their_height_in_the_enclosure() -> None:
    of = plate([("in", "a", "x", 50, 0), ("on", "x", "b", 50, 0)])
    build = _loop(of)
    loop = assemble(build, build.layout())
    assert loop.network.junctions["plate/x"].elevation == pytest.approx(0.017)
    assert loop.elements_of["plate"] == ("plate/in", "plate/on")


def test_a_place_inside_takes_no_tube_run() -> None:
    build = _loop(plate([("in", "a", "x", 50, 0), ("on", "x", "b", 50, 0)]))
    with pytest.raises(SketchError, match="part 'Plate' has no port 'x'"):
        build.port("plate.x")

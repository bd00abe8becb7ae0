"""Several vessels open to the air in one circuit, against hydrostatics by hand."""

import pytest

from loopsim.build import Build, Enclosure, Placement, edits
from loopsim.elements import Tube as TubeElement
from loopsim.network import assemble
from loopsim.parts import Block, Pump, Reservoir, SidePort, Tube, TubeRun
from loopsim.studies import operating_point
from loopsim.units import GRAVITY

LAYOUT = "layout 1"
INNER_AREA = 0.150 * 0.080  # of a vessel of 160 by 90 mm with walls of 5 mm [m2]


def vessel(name: str, **values) -> Reservoir:
    ports = (SidePort(name="inlet", side="left", height_mm=12), SidePort(name="outlet", side="right", height_mm=12))
    return Reservoir(id=name, name=name.capitalize(), port_list=ports, **values)


def two_vessels(height_of_second: float = 0.0, **second) -> Build:
    """A pump from the first vessel through a block to the second, and a long tube back."""
    build = Build(
        name="bench", enclosure=Enclosure(length_mm=1500, width_mm=500), tubes=(Tube(id="t", name="T", bore_mm=10),)
    )
    for part, x, y, height in (
        (vessel("first"), 200, 100, 0), (Pump(id="pump", name="Pump"), 450, 100, 0),
        (Block(id="block", name="Block"), 700, 100, 0), (vessel("second", **second), 1100, 100, height_of_second),
    ):  # fmt: skip
        place = Placement(part=part.id, x_mm=x, y_mm=y, height_mm=height)
        build = edits.add_part(build, LAYOUT, part, place).build
    for start, end in (
        ("first.outlet", "pump.inlet"), ("pump.outlet", "block.inlet"), ("block.outlet", "second.inlet"),
        ("second.outlet", "first.inlet"),
    ):  # fmt: skip
        run = TubeRun(id=edits.free_run_id(build.layout()), start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build


def levels(build: Build):
    (circuit,) = operating_point(build).circuits
    return circuit.levels


def test_levels_differ_by_the_head_that_the_way_back_needs() -> None:
    build = two_vessels()
    point = operating_point(build)
    first, second = levels(build)
    run = build.layout().runs[-1]
    element = assemble(build, build.layout()).network.links[run.id].element
    assert isinstance(element, TubeElement)
    state = build.coolant.state
    needed = float(element.dp(point.loop_flow, state)[0]) / (state.density * GRAVITY)
    assert second.settles - first.settles == pytest.approx(needed, rel=1e-6)


def test_what_one_vessel_gains_the_other_loses() -> None:
    first, second = levels(two_vessels())
    assert first.settles - first.drawn == pytest.approx(-(second.settles - second.drawn))


def test_a_wider_vessel_moves_less() -> None:
    first, second = levels(two_vessels(width_mm=170.0))  # 160 mm inside, twice the area
    assert second.settles - second.drawn == pytest.approx(-(first.settles - first.drawn) / 2)


def test_every_vessel_takes_in_what_it_gives_off() -> None:
    build = two_vessels()
    flows = {part.id: part.flow for part in operating_point(build).parts}
    assert flows["run"] == pytest.approx(flows["run_4"], rel=1e-9)


def test_pressures_are_those_at_the_settled_levels() -> None:
    """At the outlet of each vessel: the depth below its own surface, still inside."""
    build = two_vessels()
    point = operating_point(build)
    weight = build.coolant.state.density * GRAVITY
    for level in point.circuits[0].levels:
        depth = level.settles - 0.012
        assert point.pressures[f"{level.vessel}.outlet"] == pytest.approx(weight * depth, rel=1e-9)


def test_a_way_back_that_needs_more_head_than_the_rim_gives_runs_one_dry_and_the_other_over() -> None:
    """The tube back takes some 300 mm of head, the vessels stand side by side and are 55 mm high."""
    first, second = levels(two_vessels())
    assert (first.verdict, second.verdict) == ("draws air", "overflows")
    assert first.hours is not None
    assert 0 < first.hours < 1
    warned = [finding for finding in operating_point(two_vessels()).findings if finding.code == "level"]
    assert [finding.quiet for finding in warned] == [False, False]


def test_raising_the_second_vessel_by_that_head_lets_both_hold() -> None:
    first, second = levels(two_vessels(height_of_second=300.0))
    assert (first.verdict, second.verdict) == ("holds", "holds")
    assert (first.hours, second.hours) == (None, None)


def test_the_hours_are_the_room_over_the_flow_at_the_drawn_levels() -> None:
    """The second vessel drains into the first through both tubes; the first has 6 mm to its lid."""
    build = two_vessels(height_of_second=300.0)
    stopped = operating_point(build, stopped={"pump"})
    (first, _) = stopped.circuits[0].levels
    loop = assemble(build, build.layout(), {"pump"})
    for name in ("first", "second"):
        loop.hold(name, 0.0)
    from loopsim.solve import solve_flow

    flow = solve_flow(loop.network).flow
    gain = flow["run_4"] - flow["run"]
    room = INNER_AREA * (0.055 - 0.005 - 0.044)
    assert first.hours == pytest.approx(room / gain / 3600, rel=1e-6)


def test_one_vessel_has_no_levels_to_settle() -> None:
    build = two_vessels()
    build = edits.remove_part(build, LAYOUT, "second").build
    assert all(circuit.levels == () for circuit in operating_point(build).circuits)

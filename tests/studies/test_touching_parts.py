"""Parts whose ports touch: the run between them has no length."""

import pytest

from loopsim.build import Build, Placement, edits
from loopsim.parts import Block, Pump, Reservoir, Tube, TubeRun
from loopsim.studies import operating_point

LAYOUT = "layout 1"


def bench(gap_mm: float) -> Build:
    """Reservoir, pump and, `gap_mm` behind the pump's outlet at the same height, a block."""
    build = Build(name="bench", tubes=(Tube(id="t", name="10/13"),))
    parts = (Reservoir(id="reservoir", name="Reservoir"), Pump(id="pump", name="Pump"), Block(id="block", name="Block"))
    for x_mm, part in zip((100.0, 300.0, 500.0), parts, strict=True):
        build = edits.add_part(build, LAYOUT, part, Placement(part=part.id, x_mm=x_mm, y_mm=100.0, height_mm=0.0)).build
    joints = (
        ("reservoir.outlet", "pump.inlet"),
        ("pump.outlet", "block.inlet"),
        ("block.outlet", "reservoir.inlet"),
    )
    outlet, inlet = (build.port_spot(build.layout(), port) for port in joints[1])
    build = edits.change_placement(
        build,
        LAYOUT,
        "block",
        x_mm=500.0 + outlet.x_mm + gap_mm - inlet.x_mm,
        y_mm=100.0 + outlet.y_mm - inlet.y_mm,
        height_mm=outlet.height_mm - inlet.height_mm,
    ).build
    for number, (start, end) in enumerate(joints):
        run = TubeRun(id=f"run_{number}", start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build


def test_ports_that_touch_are_joined_by_a_run_that_costs_nothing() -> None:
    point = operating_point(bench(0.0))
    touching = point.of("run_1")
    assert touching.flow == pytest.approx(point.loop_flow, rel=1e-9)
    assert touching.share < 1e-3
    assert point.loop_flow > 1e-5
    assert point.loop_flow == pytest.approx(operating_point(bench(1.0)).loop_flow, rel=1e-3)


def test_the_flow_follows_steadily_as_two_parts_come_together() -> None:
    """Nothing jumps where the run becomes shorter than what counts as touching."""
    flows = [operating_point(bench(gap_mm)).loop_flow for gap_mm in (0.0, 0.05, 0.1, 0.2, 0.4)]
    assert flows == sorted(flows, reverse=True)
    assert flows[0] == pytest.approx(flows[-1], rel=1e-4)

"""Check valves in filling, bleeding and draining, by heads worked out by hand."""

from collections.abc import Callable

import numpy as np
import pytest

from loopsim.build import Build, edits
from loopsim.network import height_graph
from loopsim.parts import BleedPort, CheckValve, FillPort, Pump, Reservoir, SidePort, TubeRun
from loopsim.studies import operating_point
from loopsim.studies.fill import air_map, drain_plan, fill_plan, gravity_fill, start_ups
from loopsim.studies.fill.simulate import Filling
from loopsim.units import GRAVITY

Make = Callable[..., Build]
Tube = Callable[..., TubeRun]


def u_tube(build: Make, tube: Tube, forward: bool, cracking_kpa: float = 1.0) -> Build:
    """Two fill ports 400 mm up, joined by a tube along the floor with a check valve in it."""
    valve = CheckValve(id="valve", name="Valve", cracking_kpa=cracking_kpa)
    ports = ("valve.inlet", "valve.outlet") if forward else ("valve.outlet", "valve.inlet")
    return build(
        {
            FillPort(id="a", name="A"): {"x_mm": 200, "y_mm": 200, "height_mm": 400},
            valve: {"x_mm": 500, "y_mm": 200, "rotation_deg": 0.0 if forward else 180.0},
            FillPort(id="b", name="B"): {"x_mm": 800, "y_mm": 200, "height_mm": 400},
        },
        [
            tube("left", "a.b", ports[0], (300, 200, 10)),
            tube("right", ports[1], "b.a", (700, 200, 10)),
        ],
    )


def head_m(build: Build, cracking_kpa: float) -> float:
    return cracking_kpa * 1e3 / (build.coolant.medium.at(build.ambient.temperature_c).density * GRAVITY)


def wet(build: Build, item: str, level: float) -> float:
    """Share of a run that is wet, b open so that air gets out."""
    graph = height_graph(build, build.layout())
    passages = graph.passages_of[item]
    share = gravity_fill(build, opening="a", vents=["b"], level=level).share_wet[passages]
    return float((share * graph.volume[passages]).sum() / graph.volume[passages].sum())


def test_below_its_cracking_head_nothing_passes_forward(build: Make, tube: Tube) -> None:
    bench = u_tube(build, tube, forward=True)
    opens_at = 0.010 + head_m(bench, 1.0)
    assert wet(bench, "right", opens_at - 0.005) == 0
    assert wet(bench, "right", opens_at + 0.005) > 0


def test_behind_it_the_liquid_stands_lower_by_the_cracking_head(build: Make, tube: Tube) -> None:
    """At a level of 300 mm, 102 mm of water keep the valve open: 198 mm stand behind it."""
    bench = u_tube(build, tube, forward=True)
    plain = u_tube(build, tube, forward=True, cracking_kpa=1e-6)
    lower = wet(plain, "right", 0.300 - head_m(bench, 1.0))
    assert wet(bench, "right", 0.300) == pytest.approx(lower, abs=1e-3)
    assert wet(plain, "right", 0.300) > lower + 0.1


def test_backwards_nothing_passes_at_any_level(build: Make, tube: Tube) -> None:
    bench = u_tube(build, tube, forward=False)
    assert wet(bench, "right", 0.405) == 0
    fill = gravity_fill(bench, opening="a", vents=["b"], level=0.405)
    assert [each.name for each in fill.held] == ["Valve"]
    dry = next(each for each in fill.unreached if each.at.item == "right")
    assert dry.is_held
    assert any("a check valve holds the liquid back" in each for each in fill.sentences)
    assert fill.capacity == pytest.approx(height_graph(bench, bench.layout()).liquid.sum())


def test_air_does_not_get_out_through_a_check_valve(build: Make, tube: Tube) -> None:
    """With B capped the right leg's air would have to come back through the valve: it is shut in."""
    bench = u_tube(build, tube, forward=True)
    fill = gravity_fill(bench, opening="a", level=0.400)
    assert any(pocket.at.item in {"right", "b"} for pocket in fill.pockets)


def test_stuck_open_it_is_a_plain_valve(build: Make, tube: Tube) -> None:
    bench = u_tube(build, tube, forward=False)
    stuck = edits.change_part(bench, "valve", stuck="open").build
    assert height_graph(stuck, stuck.layout()).cracking == {}
    assert wet(stuck, "right", 0.300) > 0.5


def in_loop(loop: Make, tube: Tube, forward: bool = True, cracking_kpa: float = 1.0, height_mm: float = 2.0) -> Build:
    """A check valve in the line of the loop, behind its pump, the line rising to 300 mm after it."""
    bench = loop(300, 300)
    valve = CheckValve(id="valve", name="Valve", cracking_kpa=cracking_kpa)
    layout = bench.layout()
    old = layout.run("line")
    first, second = ("valve.inlet", "valve.outlet") if forward else ("valve.outlet", "valve.inlet")
    runs = (
        layout.run("suction"),
        tube("to_valve", "pump.outlet", first),
        old.with_values(id="line", start=second),
    )
    place = layout.placed[0].with_values(part="valve", x_mm=600.0, y_mm=300.0, height_mm=height_mm)
    after = layout.with_values(placed=(*layout.placed, place), runs=runs)
    return bench.with_values(parts=(*bench.parts, valve), layouts=(after,))


def test_a_spring_costs_its_head_when_pumps_start(loop: Make, tube: Tube) -> None:
    plain, sprung = in_loop(loop, tube, cracking_kpa=1e-3), in_loop(loop, tube, cracking_kpa=2.0)
    starts = [start_ups(each, gravity_fill(each))[0] for each in (plain, sprung)]
    assert starts[1].lock - starts[0].lock >= head_m(sprung, 2.0) * 0.99
    assert "by check valves" in starts[1].sentence


def test_a_valve_set_backwards_leaves_no_way_round(loop: Make, tube: Tube) -> None:
    bench = in_loop(loop, tube, forward=False)
    assert start_ups(bench, gravity_fill(bench)) == ()


def test_the_plan_warns_of_what_is_held_back_below_the_level(loop: Make, tube: Tube) -> None:
    plan = fill_plan(in_loop(loop, tube))
    (warning,) = [each for each in plan.warnings if each.code == "held back"]
    assert warning.at is not None
    assert warning.at.item == "valve"
    assert "common practice" in warning.remedy


@pytest.mark.parametrize("with_bleed", [True, False])
def test_a_valve_above_a_pump_keeps_its_air_in_unless_there_is_a_bleed_port(
    build: Make, tube: Tube, with_bleed: bool
) -> None:
    """Common practice: vent between pump and check valve. Then the flooded pump pushes liquid through it."""
    ports = (SidePort(name="inlet", side="left", height_mm=80), SidePort(name="outlet", side="right", height_mm=12))
    placed = {
        Reservoir(id="vessel", name="Vessel", height_mm=100, port_list=ports): {"x_mm": 200, "y_mm": 200},
        Pump(id="pump", name="Pump"): {"x_mm": 500, "y_mm": 200},
        CheckValve(id="valve", name="Valve"): {"x_mm": 850, "y_mm": 200, "height_mm": 150},
    }
    if with_bleed:
        placed[BleedPort(id="bleed", name="Bleed")] = {"x_mm": 650, "y_mm": 200, "height_mm": 40}
        between = [tube("to_bleed", "pump.outlet", "bleed.a"), tube("up", "bleed.b", "valve.inlet", (750, 200, 160))]
    else:
        between = [tube("up", "pump.outlet", "valve.inlet", (750, 200, 160))]
    back = ((900, 200, 250), (900, 400, 80), (60, 400, 80), (60, 200, 80))
    bench = build(
        placed,
        [tube("suction", "vessel.outlet", "pump.inlet"), *between, tube("line", "valve.outlet", "vessel.inlet", *back)],
    )
    plan, graph = fill_plan(bench), height_graph(bench, bench.layout())
    assert plan.is_complete == with_bleed
    full = plan.snapshots[-1].liquid[graph.passages_of["valve"]].min()
    assert full == pytest.approx(1.0 if with_bleed else 0.0)
    for moment in plan.snapshots:
        assert ((moment.liquid >= 0) & (moment.liquid <= 1)).all()


def test_what_was_lifted_over_a_check_valve_does_not_run_back(loop: Make, tube: Tube) -> None:
    """Nothing between valve and summit finds a way down to the vessel; with its disc held off it does."""
    held = in_loop(loop, tube, height_mm=150.0)
    for build, stays in ((held, True), (edits.change_part(held, "valve", stuck="open").build, False)):
        layout = build.layout()
        graph = height_graph(build, layout)
        filling = Filling(build, layout, graph, graph.heights(), np.ones(len(graph.items), dtype=bool))
        outlet, inlet = (graph.number[f"valve.{port}"] for port in ("outlet", "inlet"))
        assert filling.need[inlet] < 0.2
        assert filling.need[outlet] == pytest.approx(0.3 if stays else 0.16, abs=0.002)


def test_air_under_a_valve_on_its_seat_stays_while_the_pump_stands(loop: Make, tube: Tube) -> None:
    bench = in_loop(loop, tube)
    running, standing = (air_map(operating_point(bench, stopped=each)) for each in ((), ("pump",)))
    assert running.capacity == standing.capacity
    assert {point.verdict for point in standing.points} == {"stays"}


def test_draining_does_not_count_on_a_check_valve(loop: Make, tube: Tube) -> None:
    held, stuck = in_loop(loop, tube), edits.change_part(in_loop(loop, tube), "valve", stuck="open").build
    plans = [drain_plan(each, at=["vessel"]) for each in (held, stuck)]
    codes = [[each.code for each in plan.warnings] for plan in plans]
    assert "held back" in codes[0]
    assert "held back" not in codes[1]
    assert plans[0].drain.left >= plans[1].drain.left

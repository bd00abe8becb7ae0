"""Fans as a group: their curve, what they blow against, and each of them stopped in turn."""

import numpy as np
import pytest

from loopsim.parts import AirComponent, Fan, Grille
from loopsim.studies import air_flows, air_plots, heat_point
from tests.studies.test_heat import add, machine


def test_the_operating_point_is_that_of_the_solved_air() -> None:
    heat = heat_point(machine(fans=3))
    (plot,) = air_plots(heat)
    assert plot.curves.flow == pytest.approx(sum(fan.flow for fan in heat.fans), rel=1e-9)
    assert plot.pressure(plot.curves.head) == pytest.approx(heat.fans[0].pressure, rel=1e-9)


def test_the_curves_cross_where_the_fans_work() -> None:
    (plot,) = air_plots(heat_point(machine(fans=3)))
    curves = plot.curves
    gives, needs = (
        np.interp(curves.flow, line.flow, line.head) for line in (curves.combined, curves.system)
    )  # fmt: skip
    assert gives == pytest.approx(curves.head, rel=0.01)
    assert needs == pytest.approx(curves.head, rel=0.01)


def test_fans_side_by_side_add_their_flows_at_one_pressure() -> None:
    """Handbook rule of fans in parallel; the fan's own points are the answer."""
    build = machine(fans=2)
    (plot,) = air_plots(heat_point(build))
    fan = build.part("fan_0")
    for point in fan.curve.points[1:-1]:
        at = 2 * point.air_m3_h / 3600
        head = float(np.interp(at, plot.curves.combined.flow, plot.curves.combined.head))
        # points hold in air of 1.2 kg/m3; pressure goes with density
        assert plot.pressure(head) == pytest.approx(point.pressure_pa * plot.density / 1.2, rel=0.04)


def test_each_fan_stopped_is_near_what_is_solved_without_it() -> None:
    """The curves keep the air as warm as with all fans; the solved air is a little warmer."""
    build = machine(fans=3)
    (plot,) = air_plots(heat_point(build))
    for case in plot.curves.stopped:
        without = heat_point(build, stopped={case.stopped})
        assert case.flow == pytest.approx(sum(fan.flow for fan in without.fans), rel=0.01)
        assert case.flow < plot.curves.flow


def test_fans_of_two_spaces_that_leak_into_each_other_form_no_group_and_each_plot_says_why() -> None:
    build = add(machine(fans=1), Fan(id="aside", name="Aside"), air_from="room", air_to="shaft")
    for name, start, end in (("a", "shaft", "chamber"), ("b", "shaft", "loft"), ("c", "chamber", "loft")):
        build = add(build, Grille(id=name, name=name, free_area_mm2=900), air_from=start, air_to=end)
    build = add(build, Grille(id="out", name="Out", free_area_mm2=900), air_from="loft", air_to="room")
    plots = air_plots(heat_point(build))
    assert [plot.curves.pumps for plot in plots] == [("fan_0",), ("aside",)]
    assert all("fans do not act between two common points" in plot.curves.why_single for plot in plots)


def test_without_a_turning_fan_there_is_no_plot() -> None:
    build = add(machine(fans=0), AirComponent(id="board", name="Board"))
    assert air_plots(heat_point(build)) == ()
    assert air_plots(heat_point(machine(fans=1), stopped={"fan_0"})) == ()


def test_air_is_told_from_space_to_space_as_it_goes() -> None:
    flows = {each.part: each for each in air_flows(heat_point(machine(fans=2), stopped={"fan_1"}))}
    assert (flows["fan_0"].source, flows["fan_0"].target, flows["fan_0"].is_forward) == ("room", "chamber", True)
    assert (flows["fan_1"].source, flows["fan_1"].target, flows["fan_1"].is_forward) == ("chamber", "room", False)
    assert flows["radiator"].target == "room"
    assert "pump" not in flows


def test_what_goes_into_a_space_leaves_it_again_but_for_its_warming() -> None:
    flows = air_flows(heat_point(machine(fans=2)))
    into = sum(each.flow for each in flows if each.target == "chamber")
    out = sum(each.flow for each in flows if each.source == "chamber")
    assert out == pytest.approx(into, rel=0.05)
    assert out > into

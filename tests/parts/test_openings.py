"""A block with more threaded ports than two: all open the same two headers, and those not used are plugged."""

import math

import networkx as nx
import pytest

from loopsim.build import Build, edits
from loopsim.build.free_ports import free_ports
from loopsim.errors import LoopsimError
from loopsim.network import height_graph
from loopsim.parts import Block
from loopsim.studies import heat_point
from tests.studies.machines import LAYOUT, machine

EACH = [(at, number) for at in ("both ends", "one end") for number in ("2", "4", "6", "8")]


def block(at: str, openings: str) -> Block:
    return Block.model_validate({"id": "block", "name": "Block", "ports_at": at, "openings": openings})


def led_to(opening: str, openings: str = "8") -> Build:
    """The machine with its pump's tube led to another opening of the block."""
    build = edits.change_part(machine(), "block", openings=openings).build
    (run,) = [run for run in build.layout().runs if run.end == "block.inlet"]
    return edits.change_run(build, LAYOUT, run.id, end=f"block.{opening}").build


@pytest.mark.parametrize(("at", "openings"), EACH)
def test_openings_lie_apart_on_the_outline_and_look_away_from_it(at: str, openings: str) -> None:
    ports = block(at, openings).ports.values()
    assert len(ports) == int(openings)
    assert len({port.spot for port in ports}) == len(ports)
    for port in ports:
        out = math.cos(math.radians(port.facing_deg)) * port.spot.x_mm
        out += math.sin(math.radians(port.facing_deg)) * port.spot.y_mm
        assert out == pytest.approx(40.0 if port.facing_deg % 180 == 0 else 30.0)  # half of 80 x 60 mm


@pytest.mark.parametrize(("at", "openings"), EACH)
def test_each_opening_leads_into_the_header_of_its_main_port(at: str, openings: str) -> None:
    made = block(at, openings)
    inside = nx.Graph((path.start, path.end) for path in made.inside.paths)
    assert set(made.ports) <= set(inside)
    for twin, main in made.twins.items():
        assert set(inside[twin]) == {f"{main}_header"} == set(inside[main]) & {f"{main}_header"}
    assert made.chambers == (tuple(made.ports),)


def test_an_opening_of_one_header_does_as_well_as_another() -> None:
    """The length of the tube aside, the block takes the same at the same flow."""
    for opening in ("inlet", "inlet_2", "inlet_3", "inlet_4"):
        heat = heat_point(led_to(opening))
        flow = heat.point.of("block")
        resistance = flow.dp / flow.flow**2
        main = heat_point(led_to("inlet")).point.of("block")
        assert resistance == pytest.approx(main.dp / main.flow**2, rel=2e-3), opening
        assert heat.warmest.temperature == pytest.approx(heat_point(machine()).warmest.temperature, abs=0.05)


def test_of_each_header_one_port_waits_and_the_others_are_plugged() -> None:
    build = edits.change_part(machine(), "block", openings="8").build
    assert free_ports(build, build.layout())["block"].waiting == ()
    bare = build.with_values(layouts=(build.layout().with_values(runs=()),))
    assert free_ports(bare, bare.layout())["block"].waiting == ("inlet", "outlet")
    side = led_to("inlet_3")
    assert free_ports(side, side.layout())["block"].waiting == ()
    assert "inlet" in free_ports(side, side.layout())["block"].plugged


def test_air_does_not_come_and_go_where_a_plug_is() -> None:
    build = led_to("inlet_3")
    graph = height_graph(build, build.layout())
    assert not [name for name in graph.openings if str(name).startswith("block.")]


def test_an_opening_with_a_tube_cannot_be_taken_away() -> None:
    with pytest.raises(LoopsimError, match="inlet_3"):
        edits.change_part(led_to("inlet_3"), "block", openings="2")

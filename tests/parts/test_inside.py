"""The inside of parts: where it lies, and that it holds what the part holds."""

import math
import re

import networkx as nx
import pytest

from loopsim.parts import ID_PATTERN, KINDS, Block, DryPart, FillPort, Part, Pump, Radiator, Reservoir, Valve

WET = {name: kind for name, kind in KINDS.items() if not issubclass(kind, DryPart)}


@pytest.fixture(params=WET.values(), ids=WET.keys())
def part(request: pytest.FixtureRequest) -> Part:
    """A part of each kind that coolant enters, with its defaults."""
    return request.param(id="x", name="X")


def ways(part: Part) -> nx.MultiGraph:
    graph = nx.MultiGraph()
    graph.add_edges_from((path.start, path.end) for path in part.inside.paths)
    return graph


def heights(part: Part) -> dict[str, float]:
    ports = {name: port.spot.height_mm for name, port in part.ports.items()}
    return ports | {name: spot.height_mm for name, spot in part.inside.places.items()}


def test_what_its_stretches_hold_is_what_the_part_holds(part: Part) -> None:
    held = sum(path.volume_ml for path in part.inside.paths if not path.holds_air)
    assert held == pytest.approx(part.coolant_ml, rel=1e-9)


def test_stretches_join_ports_and_places_inside_and_all_within_the_outline(part: Part) -> None:
    places = part.inside.places
    assert not set(places) & set(part.ports)
    assert all(re.fullmatch(ID_PATTERN, name) for name in places)
    for path in part.inside.paths:
        assert {path.start, path.end} <= {*part.ports, *places}
        assert path.bore_mm > 0
        assert path.area_mm2 > 0
    for spot in places.values():
        assert abs(spot.x_mm) <= part.length_mm / 2 + 1e-9
        assert abs(spot.y_mm) <= part.width_mm / 2 + 1e-9
        assert -1e-9 <= spot.height_mm <= part.height_mm + 1e-9


def test_liquid_gets_from_port_to_port_inside_where_the_elements_let_it(part: Part) -> None:
    graph = nx.Graph(ways(part))
    assert set(part.ports) <= set(graph)
    if part.merges_ports:
        assert nx.is_connected(graph)
    for path in part.flow_paths:
        assert nx.has_path(graph, path.start, path.end)


def test_every_inner_node_of_the_elements_is_a_place_inside(part: Part) -> None:
    assert dict(part.inner_nodes).items() <= dict(part.inside.places).items()


def test_only_a_way_that_exists_can_shut_a_stretch(part: Part) -> None:
    known = {path.name for path in part.flow_paths}
    assert {path.way for path in part.inside.paths} <= {None, *known}


def test_a_valve_can_shut_its_stretch() -> None:
    assert [path.way for path in Valve(id="v", name="V").inside.paths] == [""]


def test_the_end_tanks_of_a_radiator_reach_to_its_top_and_bottom() -> None:
    radiator = Radiator(id="r", name="R")
    assert max(heights(radiator).values()) == pytest.approx(radiator.height_mm - 1)
    assert min(heights(radiator).values()) == pytest.approx(1)


def test_half_of_a_radiator_lies_above_its_middle() -> None:
    radiator = Radiator(id="r", name="R")
    above = sum(
        path.volume_ml
        for path in radiator.inside.paths
        if heights(radiator)[path.start] + heights(radiator)[path.end] > radiator.height_mm + 1e-9
    )
    assert above == pytest.approx(radiator.coolant_ml / 2, rel=0.01)


def test_there_and_back_leads_through_the_far_tank() -> None:
    radiator = Radiator.model_validate({"id": "r", "name": "R", **Radiator.classes["240 mm"]})
    graph = nx.Graph(ways(radiator))
    graph.remove_node("far_header")
    graph.remove_nodes_from([name for name in list(graph) if name.startswith("far_")])
    assert not nx.has_path(graph, "a", "b")


def test_a_block_dips_between_its_ports() -> None:
    block = Block(id="b", name="B")
    assert min(heights(block).values()) < block.port_height_mm == max(heights(block).values())


def test_the_top_of_a_pumps_volute_lies_below_its_lid_and_above_its_ports() -> None:
    pump = Pump(id="p", name="P")
    assert max(pump.inlet_height_mm, pump.outlet_height_mm) < max(heights(pump).values()) < pump.height_mm


def test_a_reservoirs_column_reaches_from_floor_to_lid_and_is_open_there() -> None:
    vessel = Reservoir(id="v", name="V")
    assert vessel.inside.openings == {"lid": "vented"}
    assert heights(vessel)["floor"] == vessel.wall_mm
    assert heights(vessel)["lid"] == vessel.height_mm - vessel.wall_mm
    air = sum(path.volume_ml for path in vessel.inside.paths if path.holds_air)
    inner = 150 * 80 / 1000  # mm2 of the default vessel, per mm [mL/mm]
    assert air == pytest.approx(inner * (vessel.height_mm - vessel.wall_mm - vessel.level_mm))


def test_a_fill_ports_neck_leads_up_to_its_cap() -> None:
    port = FillPort(id="f", name="F")
    assert port.inside.openings == {"opening": "capped"}
    (neck,) = (path for path in port.inside.paths if "opening" in (path.start, path.end))
    rise = port.opening_height_mm - port.port_height_mm
    assert neck.volume_ml == pytest.approx(math.pi / 4 * port.bore_mm**2 * rise / 1000)

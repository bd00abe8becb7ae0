"""The course of a drawn machine in time: against its state at rest, its balance, hand calculation, and finer rules."""

from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.build import AirReturn, Build, LoadCase, Placement, edits, load
from loopsim.errors import LoopsimError
from loopsim.media import ethylene_glycol, water
from loopsim.parts import (
    AirComponent,
    Fan,
    LiquidExchanger,
    Load,
    Pump,
)
from loopsim.parts.tube_run import Corner
from loopsim.solve import Rates, Streams, solve_transient
from loopsim.studies import heat_point, transient
from loopsim.studies.heat.boiling import boiling_point_c
from loopsim.studies.heat.lumps import lumps_of
from loopsim.studies.heat.point import heat_sources, solved_heat
from loopsim.studies.words import duration

from .machines import LAYOUT, add
from .machines import machine as bare

SAMPLES = sorted(Path(__file__).parents[2].glob("sample_loops/*.loop.json"))


def machine(load: float = 200.0, fans: int = 2, board: float = 20.0, **values) -> Build:
    """The small machine with a board in its air."""
    return add(bare(load, fans, **values), AirComponent(id="board", name="Board", load_w=board))


def component(found, part: str = "block"):
    return next(each for each in found.components if each.part == part)


@pytest.mark.parametrize("stopped", [(), ("fan_1",)], ids=["all running", "one fan stopped"])
@pytest.mark.parametrize("from_cold", [True, False], ids=["from cold", "from rest"])
def test_the_course_ends_where_the_machine_is_at_rest(stopped, from_cold) -> None:
    build = machine()
    found, rest = (
        transient(build, stopped=stopped, minutes=480, from_cold=from_cold),
        heat_point(build, stopped=stopped),
    )
    for each in rest.components:
        assert component(found, each.part).temperature[-1] == pytest.approx(each.temperature, abs=1e-3)
    for item, (_, leaves) in rest.streams.items():
        assert found.streams[item][-1] == pytest.approx(leaves, abs=1e-3)
    assert found.spaces["chamber"][-1] == pytest.approx(rest.spaces[0].temperature, abs=1e-3)
    assert found.vessels["reservoir"][-1] == pytest.approx(rest.ports["reservoir"], abs=1e-3)


def test_it_starts_at_the_rooms_temperature_or_at_rest() -> None:
    build = machine()
    cold, warm = transient(build, minutes=1, from_cold=True), transient(build, minutes=1)
    assert component(cold).temperature[0] == cold.room
    assert component(warm).temperature[0] == pytest.approx(heat_point(build).components[0].temperature, abs=1e-4)
    assert component(warm).temperature[-1] == pytest.approx(component(warm).temperature[0], abs=1e-3)


def test_most_of_the_warm_up_takes_three_time_constants_of_the_whole() -> None:
    """Common practice: 95 % after three times heat capacity over what is given off per kelvin, within a third."""
    build = machine(load=150.0, fans=4)
    found, rest = transient(build, minutes=240, from_cold=True), heat_point(build)
    capacity = found.course.first.capacity[found.course.first.lumps.in_loop].sum()
    mean = np.mean([leaves for _, leaves in rest.streams.values()]) - rest.room
    per_kelvin = rest.budget.to_air_by_exchangers / mean
    assert found.settled == pytest.approx(3 * capacity / per_kelvin, rel=0.33)


def test_a_stopped_pump_leaves_the_block_alone_with_its_load() -> None:
    """Level machine, still coolant: the whole block warms at load over capacity, and the coolant boils in the end."""
    build = machine()
    found = transient(build, stopped=["pump"], minutes=30)
    block = build.part("block")
    own = block.metal_j_k + block.loads[0].capacity_j_k + block.volume_ml * 4.12  # J/K per mL of water near 60 °C
    late = (found.time > 40) & (found.time < 80)
    slope = np.polyfit(found.time[late], component(found).temperature[late], 1)[0]
    assert slope == pytest.approx(200.0 / own, rel=0.05)
    assert found.boils is not None
    assert found.boils.part == "block"
    assert found.time[-1] == found.boils.time


def test_coolant_boils_later_than_its_component_passes_the_limit_and_the_sentence_says_both() -> None:
    found = transient(machine(), stopped=["pump"])
    (crossing,) = found.crossings
    assert (crossing.part, crossing.limit) == ("block", 80.0)
    assert crossing.time == found.time_to_limit < found.boils.time
    assert np.interp(crossing.time, found.time, component(found).temperature) == pytest.approx(80.0, abs=0.05)
    assert f"Pump stopped: Block reaches its limit of 80 °C after {duration(crossing.time)}" in found.sentence
    assert f"the coolant in Block boils after {duration(found.boils.time)}" in found.sentence


@pytest.mark.parametrize("altitude", [0, 2400])
def test_coolant_boils_at_the_pressure_of_the_place(altitude) -> None:
    build = machine()
    build = build.with_values(ambient=build.ambient.with_values(altitude_m=altitude))
    found = transient(build, stopped=["pump"])
    surface = build.part("reservoir").surface_mm - build.part("block").port_height_mm
    pressure = build.ambient.pressure + 9.81 * 1000 * surface / 1000
    expected = PropsSI("T", "P", pressure, "Q", 0, "Water") - 273.15
    assert found.boils.temperature == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("pressure", [3e4, 7.5e4, 101325.0, 1.2e5, 2e5])
def test_waters_boiling_point_is_that_of_the_steam_tables(pressure) -> None:
    """CoolProp (IAPWS-95) as the independent answer; above 100 °C, where our data end, by extrapolation."""
    expected = PropsSI("T", "P", pressure, "Q", 0, "Water") - 273.15
    assert float(boiling_point_c(water(), pressure)) == pytest.approx(expected, abs=0.001 if pressure < 1.02e5 else 0.2)
    assert float(boiling_point_c(ethylene_glycol(0.4), pressure)) > expected


@pytest.mark.parametrize("from_cold", [True, False])
@settings(max_examples=5)
@given(load=st.floats(60, 400), second=st.floats(0, 100))
def test_the_time_to_a_limit_lies_between_its_bounds(from_cold, load, second) -> None:
    """No flow, no air: nothing is given off, so both closed forms hold, for two components on the block too."""
    loads = (
        Load(name="chip", heat_w=load, limit_c=90.0, resistance_k_w=0.05, capacity_j_k=20),
        Load(name="second", heat_w=second, limit_c=90.0, resistance_k_w=0.1),
    )
    build = edits.change_part(machine(fans=4), "block", loads=loads).build
    found = transient(build, stopped=["pump", "fan_0", "fan_1", "fan_2", "fan_3"], from_cold=from_cold)
    crossed = [each for each in found.components if each.cooled_by == "coolant" and each.crosses]
    assert crossed
    for each in crossed:
        assert each.shortest <= each.crosses * (1 + 1e-6)
        assert each.crosses <= each.longest


def test_all_fans_stopped_warm_the_whole_loop_together() -> None:
    """Every part warms at about load over the whole capacity, so the time is near the longer of the bounds."""
    found = transient(machine(board=0.5), stopped=["fan_0", "fan_1"], minutes=30)
    block = component(found)
    assert block.crosses == pytest.approx(block.longest, rel=0.1)
    assert found.spaces["chamber"][-1] > found.spaces["chamber"][0] + 1


def test_air_that_stands_passes_a_limit_soon() -> None:
    found = transient(machine(board=60.0), stopped=["fan_0", "fan_1"], minutes=30)
    board = component(found, "board")
    assert found.first.part == "board"
    assert board.shortest <= board.crosses < 2 * board.shortest
    assert "the air around Board reaches its limit of 50 °C" in found.sentence


def test_where_nothing_gets_too_hot_the_nearest_is_named() -> None:
    found = transient(machine(), minutes=90, stopped=["fan_1"])
    assert found.first is None
    assert found.time_to_limit is None
    assert f"95 % of the way to rest is made after {duration(found.settled)}" in found.sentence
    assert "no limit is reached within 1 h 30 min, Block comes nearest with" in found.sentence


def test_a_component_above_its_limit_at_the_start_is_said_so() -> None:
    found = transient(machine(load=420.0), minutes=2)
    assert component(found).crosses == 0.0
    assert component(found).shortest == 0.0
    assert "Block is above its limit of 80 °C from the start" in found.sentence


def course_by(build: Build, most_move: float, stopped, minutes: float):
    """Temperatures of all lumps from rest, by one rule of solving the flows again."""
    layout, case = build.layout(), build.load_case()
    sources = heat_sources(build, layout, case, stopped)
    of = lumps_of(sources)
    start = Rates(of, solved_heat(build, layout, case)[1].transport).rest(np.zeros(of.count))
    times = np.linspace(0, 60 * minutes, 60)
    return solve_transient(Streams(sources.thermal, sources.at), of, start, times, most_move=most_move)


@pytest.mark.parametrize(
    ("stopped", "radiator_at", "within"),
    [(("fan_1",), 0.0, 0.002), (("fan_0", "fan_1"), 0.0, 0.002), (("pump",), 500.0, 0.2)],
    ids=["one fan", "all fans", "natural circulation"],
)
def test_a_finer_rule_for_the_flows_changes_little(stopped, radiator_at, within) -> None:
    """Flows solved again after a fifth of the usual move: the same within millikelvins, tenths where warmth drives."""
    build = machine(load=40.0, board=1.0, radiator_at=radiator_at)
    usual, finer = (course_by(build, move, stopped, minutes=20) for move in (1.0, 0.2))
    assert finer.solves > usual.solves
    assert np.abs(finer.lumps - usual.lumps).max() < within


def test_a_radiator_above_carries_warmth_away_without_a_pump() -> None:
    """Natural circulation: the coolant moves by its own weight, and the block stays far cooler than in a level loop."""
    level, above = (transient(machine(load=40.0, radiator_at=height), stopped=["pump"]) for height in (0.0, 500.0))
    assert component(above).temperature[-1] < component(level).temperature[-1] - 5
    row = above.course.first.lumps.heat.streams.index("block")
    assert abs(above.course.flow[-1, row]) > 1e-7


@pytest.mark.parametrize(
    "stopped", [(), ("pump",), ("fan_0",), ("fan_0", "fan_1"), ("pump", "fan_0", "fan_1")], ids=str
)
def test_heat_is_stored_or_given_off_whatever_stops(stopped) -> None:
    build = machine(radiator_at=300.0)
    returns = (AirReturn(outlet="radiator", inlet="fan_0", share_percent=30),)
    found = transient(edits.change_layout(build, LAYOUT, air_returns=returns).build, stopped=stopped, from_cold=True)
    assert found.course.imbalance < 1e-6
    assert all(np.isfinite(each.temperature).all() for each in found.components)


@settings(max_examples=25)
@given(
    heat=st.floats(0, 400), board=st.floats(0, 100), speed=st.floats(30, 100), fans=st.integers(1, 4),
    share=st.floats(0, 60),
)  # fmt: skip
def test_the_equations_of_change_rest_where_the_balance_does(heat, board, speed, fans, share) -> None:
    """Two ways to the same temperatures: lumps at rest, and streams in balance."""
    build = edits.change_placement(
        machine(load=heat, fans=fans, board=board), LAYOUT, "pump", speed_percent=speed
    ).build
    returns = (AirReturn(outlet="radiator", inlet="fan_0", share_percent=share),)
    build = edits.change_layout(build, LAYOUT, air_returns=returns).build
    sources, coupled = solved_heat(build, build.layout(), build.load_case())
    of = lumps_of(sources)
    rates = Rates(of, coupled.transport)
    at_rest = rates.rest(np.zeros(of.count))
    for (rows, constant), expected in (
        (rates.inlet, coupled.temperatures.inlet), (rates.outlet, coupled.temperatures.outlet),
        (rates.nodes, coupled.temperatures.node),
    ):  # fmt: skip
        assert rows @ at_rest + constant == pytest.approx(expected, abs=1e-5)
    assert rates.given_off[0] @ at_rest + rates.given_off[1] == pytest.approx(coupled.heat_in, rel=1e-6, abs=1e-6)


def test_runs_are_cut_into_cells_of_a_quarter_metre_at_most() -> None:
    build = machine()
    run = build.layout().runs[0]
    corners = (Corner(x_mm=350, y_mm=700), Corner(x_mm=380, y_mm=700))
    build = edits.change_run(build, LAYOUT, run.id, corners=corners).build
    sources = heat_sources(build, build.layout(), build.load_case())
    of, loop = lumps_of(sources), sources.thermal.loop
    for name, path in loop.paths.items():
        length = path.length_mm / 1000
        count = of.cells[sources.thermal.number[name]]
        assert length / count <= 0.25 < length / max(count - 1, 1) or count == 1
    held = sum(build.part(part).coolant_ml for part in build.layout().placements)
    held += sum(run.coolant_ml(build.tube(run.tube), loop.paths[run.id]) for run in build.layout().runs)
    wet = of.volume.sum() + of.node_volume[: sources.thermal.junction_count].sum()
    assert wet == pytest.approx(held / 1e6, rel=1e-9)


def test_each_load_case_has_a_course_of_its_own() -> None:
    build = machine(load_cases=(LoadCase(name="full"), LoadCase(name="idle", load_percent=10, ambient_c=15)))
    full, idle = transient(build, stopped=["pump"]), transient(build, case_name="idle", stopped=["pump"])
    assert (full.case.name, idle.case.name, idle.room) == ("full", "idle", 15)
    assert full.time_to_limit < (idle.time_to_limit or np.inf)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"stopped": ["pumb"]}, "no pump or fan 'pumb' to stop; did you mean 'pump'"),
        ({"layout_name": "layout 2"}, "no layout 'layout 2'"),
        ({"case_name": "ful duty"}, "did you mean 'full duty'"),
        ({"minutes": 0.0}, "must be above 0 minutes, got 0"),
        ({"minutes": np.inf}, "must be above 0 minutes"),
    ],
)
def test_bad_names_and_times_give_the_usual_error(values, words) -> None:
    with pytest.raises(LoopsimError, match=words):
        transient(machine(), **values)


def test_a_machine_that_never_rests_is_followed_from_cold_only() -> None:
    build = machine(fans=0, board=0.0)
    with pytest.raises(LoopsimError, match="has no rest to start from"):
        transient(build, minutes=5)
    found = transient(build, minutes=60, from_cold=True)
    assert found.boils is not None
    assert found.settled is None


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_samples_can_be_followed_with_any_pump_or_fan_stopped(path) -> None:
    build = load(path)
    for part_id in build.layout().placements:
        if isinstance(build.part(part_id), Pump | Fan):
            found = transient(build, stopped=[part_id], minutes=5)
            assert found.course.imbalance < 1e-6
            assert found.sentence.startswith(f"{build.part(part_id).name} stopped: ")


@pytest.mark.parametrize(
    ("seconds", "words"), [(0.42, "0.4 s"), (31.4, "31 s"), (252, "4 min 12 s"), (600, "10 min"), (7500, "2 h 5 min")]
)
def test_times_read_as_a_person_would_say_them(seconds, words) -> None:
    assert duration(seconds) == words


def test_natural_circulation_ends_where_the_balance_does() -> None:
    """Warmth drives the flow, the flow carries the warmth: two ways to the same state."""
    build = machine(load=40.0, board=1.0, radiator_at=500.0)
    found, rest = transient(build, stopped=["pump"], minutes=180), heat_point(build, stopped=["pump"])
    for each in rest.components:
        assert component(found, each.part).temperature[-1] == pytest.approx(each.temperature, abs=0.02)
    assert found.settled is not None


def test_the_loop_stores_heat_in_coolant_metal_and_components() -> None:
    """By hand: water of 22 °C takes 4.17 J/K per mL (tables of water), and what the part sheets say of the rest."""
    build = machine()
    first = transient(build, minutes=0.1, from_cold=True).course.first
    lumps, block, radiator = first.lumps, build.part("block"), build.part("radiator")
    water_ml = 1e6 * (lumps.volume.sum() + lumps.node_volume[lumps.standing[0]])
    expected = 4.17 * water_ml + block.metal_j_k + block.loads[0].capacity_j_k + radiator.metal_j_k
    assert first.capacity[lumps.in_loop].sum() == pytest.approx(expected, rel=2e-3)
    chamber_l = 1500 * 800 * build.enclosure.clear_height_mm / 1e6
    assert first.capacity[~lumps.in_loop].sum() == pytest.approx(1.2 * chamber_l, rel=0.01)  # air: 1.2 J/K per litre


def test_both_sides_of_a_liquid_exchanger_hold_what_they_hold() -> None:
    plates = LiquidExchanger(id="plates", name="Plates", primary_ml=80.0, secondary_ml=120.0, metal_j_k=500.0)
    build = edits.add_part(machine(), LAYOUT, plates, Placement(part="plates", x_mm=1200, y_mm=300)).build
    sources = heat_sources(build, build.layout(), build.load_case())
    of = lumps_of(sources)
    rows = [sources.thermal.number[name] for name in sources.thermal.loop.elements_of["plates"]]
    assert 1e6 * of.volume[rows] == pytest.approx([80.0, 120.0])
    assert of.wetted[rows] == pytest.approx([250.0, 250.0])

"""A drawn machine with its heat, against hand calculation, conservation and the facts of the trade."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.build import AirReturn, CaseLoad, LoadCase, Placement, edits
from loopsim.errors import LoopsimError
from loopsim.parts import AirComponent, Grille, Pump, Radiator, Reservoir, Supply, TubeRun, Valve
from loopsim.parts.block import Load
from loopsim.studies import heat_point, heat_points, operating_point

from .machines import LAYOUT, add, joined, machine, placed


def test_the_component_is_what_its_resistances_make_of_the_coolant() -> None:
    build = machine()
    heat = heat_point(build)
    (chip,) = heat.components
    enters, leaves = heat.streams["block"]
    block = build.part("block")
    expected = (enters + leaves) / 2 + 200 * (float(block.cooling.resistance(heat.point.of("block").flow)) + 0.05)
    assert chip.temperature == pytest.approx(expected, abs=1e-6)
    assert chip.margin == pytest.approx(80 - expected, abs=1e-6)


def test_coolant_warms_by_heat_over_its_capacity_rate() -> None:
    """Q = rho cp Q dT, by hand at the mean temperature; what the flow loses in the block adds to it."""
    heat = heat_point(machine())
    enters, leaves = heat.streams["block"]
    state = heat.point.state_of("block")
    through = heat.point.of("block")
    rate = state.density * state.heat_capacity * through.flow
    assert leaves - enters == pytest.approx((200 + through.flow * through.dp) / rate, rel=1e-4)


def test_the_radiator_sheds_what_its_effectiveness_says() -> None:
    build = machine()
    heat = heat_point(build)
    (radiator,) = heat.exchangers
    found = heat.coupled
    a, b = found.thermal.heat.exchange_a[0], found.thermal.heat.exchange_b[0]
    air_flow = found.rate[b] / (1.2 * 1006)  # films ask for standard air of the same mass
    conductance = build.part("radiator").exchanger.conductance(radiator.flow, found.rate[a], air_flow, found.rate[b])
    assert radiator.heat == pytest.approx(float(conductance) * (radiator.enters - radiator.other_enters), rel=1e-4)
    assert radiator.leaves < radiator.enters
    assert radiator.other_leaves > radiator.other_enters


def test_all_heat_is_found_again() -> None:
    heat = heat_point(machine())
    assert heat.imbalance < 1e-6
    budget = heat.budget
    assert budget.to_air_by_exchangers == pytest.approx(budget.into_coolant, rel=1e-6)
    assert budget.into_coolant + budget.into_air + budget.outside == pytest.approx(budget.electrical, rel=1e-6)


def test_all_electrical_power_becomes_heat() -> None:
    """Common practice: what goes in by the cable comes out as warm air; nothing leaves as work."""
    build = add(machine(), Supply(id="supply", name="Supply", rating_w=400, efficiency_percent=90,
                                  feeds=[{"part": "block"}, {"part": "pump"}]))  # fmt: skip
    heat = heat_point(build)
    (supply,) = heat.supplies
    pump = heat.point.pumps[0]
    assert supply.load == pytest.approx(200 + pump.power, rel=1e-9)
    assert supply.loss == pytest.approx(supply.load * (1 / 0.9 - 1), rel=1e-9)
    fans = sum(fan.power for fan in heat.fans)
    assert heat.budget.electrical == pytest.approx(200 + pump.power + fans + supply.loss, rel=1e-9)
    assert heat.coupled.heat_out == pytest.approx(heat.budget.electrical, rel=1e-6)


@pytest.mark.parametrize(("load", "low", "high"), [(800.0, 80.0, 89.0), (400.0, 40.0, 44.5)])
def test_a_supply_of_800_w_at_90_percent_gives_80_to_89_w_of_heat(load: float, low: float, high: float) -> None:
    """Common practice, no source: ten per cent of 800 W, reckoned on what it gives or on what it takes."""
    build = add(machine(load=load), Supply(id="supply", name="S", rating_w=800, efficiency_percent=90,
                                           feeds=[{"part": "block"}]))  # fmt: skip
    (supply,) = heat_point(build).supplies
    assert low <= supply.loss <= high


def test_a_larger_flow_changes_the_coolant_little_and_the_component_more() -> None:
    """Common practice: beyond a modest flow the coolant's mean temperature hardly moves; the block's film does."""
    slow = edits.change_placement(machine(), LAYOUT, "pump", speed_percent=50).build
    few, many = heat_point(slow), heat_point(machine())
    assert many.point.loop_flow > 1.5 * few.point.loop_flow
    coolant = [np.mean(each.streams["block"]) for each in (few, many)]
    chip = [each.components[0].temperature for each in (few, many)]
    assert chip[0] - chip[1] > 0.5
    assert chip[0] - chip[1] > 1.5 * (coolant[0] - coolant[1])


def test_flow_and_heat_belong_to_each_other() -> None:
    """Warm coolant is thin: the flow is that of a layout solved at the temperature found, not at the stated one."""
    build = machine(load=400.0)
    heat = heat_point(build)
    mean = float(np.mean([leaves for _, leaves in heat.streams.values()]))
    there = build.with_values(coolants=(build.coolant.with_values(temperature_c=mean),))
    assert heat.point.loop_flow == pytest.approx(operating_point(there).loop_flow, rel=2e-3)
    assert heat.point.loop_flow > operating_point(build).loop_flow


def test_load_cases_share_out_the_load() -> None:
    build = machine(
        load_cases=(LoadCase(name="full"), LoadCase(name="idle", load_percent=10, ambient_c=15)),
    )
    build = build.with_values(case_loads=(CaseLoad(case="idle", part="block", load_percent=25),))
    full, idle = heat_points(build)
    assert (full.components[0].heat, idle.components[0].heat) == (200.0, 50.0)
    assert idle.room == 15
    assert idle.components[0].temperature < full.components[0].temperature


def test_the_chambers_air_warms_the_radiators_intake() -> None:
    """Chamber: heat over capacity rate of the air that passes through, as a stirred tank."""
    bare, warm = heat_point(machine()), heat_point(add(machine(), AirComponent(id="board", name="Board", load_w=60)))
    (chamber,) = warm.spaces
    assert chamber.temperature > bare.spaces[0].temperature + 0.5
    assert warm.exchangers[0].other_enters == pytest.approx(chamber.temperature)
    assert warm.components[0].temperature > bare.components[0].temperature
    board = next(each for each in warm.components if each.part == "board")
    assert board.temperature == pytest.approx(chamber.temperature)
    intake = [fan.flow for fan in warm.fans]
    air = warm.coupled.thermal.air.network.states["fan_0"]
    to_chamber = 60 + sum(fan.power for fan in warm.fans) + warm.point.pumps[0].heat_to_air
    expected = warm.room + to_chamber / (sum(intake) * air.density * air.heat_capacity)
    assert chamber.temperature == pytest.approx(expected, rel=2e-3)


def test_a_standing_fan_lets_air_escape_and_this_is_shown() -> None:
    whole, one_out = heat_point(machine()), heat_point(machine(), stopped={"fan_1"})
    assert whole.spaces[0].escaping == 0.0
    assert one_out.spaces[0].escaping > 0.05
    assert {"air_back", "escaping_air"} <= {finding.code for finding in one_out.findings}
    assert one_out.components[0].temperature > whole.components[0].temperature


def test_a_fan_into_a_sealed_chamber_moves_nothing_and_says_so() -> None:
    sealed = edits.remove_part(machine(fans=1), LAYOUT, "radiator").build
    heat = heat_point(sealed)
    assert heat.fans[0].flow == pytest.approx(0.0, abs=1e-12)
    assert "dead_fan" in {finding.code for finding in heat.findings}


def test_a_radiator_without_air_leaves_the_heat_no_way_out() -> None:
    heat = heat_point(machine(fans=0))
    assert not heat.is_steady
    assert heat.coolant_rise is None
    (chip,) = heat.components
    assert chip.boils
    assert not chip.holds
    assert {"boils", "no_air"} <= {finding.code for finding in heat.findings}


def test_a_loaded_block_without_flow_has_no_temperature() -> None:
    heat = heat_point(machine(), stopped={"pump"})
    (chip,) = heat.components
    assert chip.boils or chip.temperature is None
    assert not chip.holds


def test_a_block_without_flow_is_told_to_have_none() -> None:
    (run,) = [run for run in machine().layout().runs if run.end == "block.inlet"]
    shut = placed(edits.remove_run(machine(), LAYOUT, run.id).build, Valve(id="valve", name="V"), 650, 100)
    shut = joined(shut, ("pump.outlet", "valve.a"), ("valve.b", "block.inlet"))
    shut = edits.change_placement(shut, LAYOUT, "valve", opening_percent=0.0).build
    (told,) = [finding.text for finding in heat_point(shut).findings if finding.code == "boils"]
    assert told.startswith("Block: no coolant flows through it, what stands in it boils")


def test_what_no_ring_passes_yet_is_a_quiet_mark_and_no_alarm() -> None:
    """A drawing in progress: neither block nor pump has power before the tubes lead round."""
    (run,) = [run for run in machine().layout().runs if run.end == "block.inlet"]
    heat = heat_point(edits.remove_run(machine(), LAYOUT, run.id).build)
    assert heat.warmest is None
    assert heat.budget.into_coolant == 0
    assert not {"boils", "standing_boils", "no_way_out", "unjoined"} & {finding.code for finding in heat.findings}
    spare = heat_point(placed(machine(), Pump(id="spare", name="Spare pump"), 900, 650))
    assert [finding.part for finding in spare.findings if finding.code == "unjoined" and finding.quiet] == ["spare"]
    assert "standing_boils" not in {finding.code for finding in spare.findings}


def test_a_limit_below_the_room_is_named() -> None:
    build = edits.change_part(
        machine(), "block", loads=(Load(name="chip", heat_w=10, limit_c=15.0, resistance_k_w=0.05),)
    ).build
    assert "limit_below_room" in {finding.code for finding in heat_point(build).findings}


def test_frost_is_named_in_the_coldest_case() -> None:
    build = machine(load_cases=(LoadCase(name="full"), LoadCase(name="winter night", ambient_c=-10)))
    full, night = heat_points(build)
    assert "frost" not in {finding.code for finding in full.findings}
    assert "frost" in {finding.code for finding in night.findings}


def test_exhaust_drawn_in_again_warms_the_whole_machine() -> None:
    build = machine(fans=1)
    returns = (AirReturn(outlet="radiator", inlet="fan_0", share_percent=30),)
    again = edits.change_layout(build, LAYOUT, air_returns=returns).build
    plain, warmer = heat_point(build), heat_point(again)
    assert warmer.components[0].temperature > plain.components[0].temperature + 1
    assert warmer.imbalance < 1e-6


def test_too_much_exhaust_drawn_in_again_is_refused() -> None:
    returns = [AirReturn(outlet=outlet, inlet="fan_0", share_percent=50) for outlet in ("radiator", "fan_1")]
    with pytest.raises(LoopsimError, match="draws in 100 % of blown-out air"):
        edits.change_layout(machine(), LAYOUT, air_returns=returns)


def test_an_unknown_case_is_offered_the_nearest() -> None:
    with pytest.raises(LoopsimError, match="no load case 'full dty'; did you mean 'full duty'"):
        heat_point(machine(), case_name="full dty")


def test_a_fan_that_is_too_slow_stands() -> None:
    build = edits.change_placement(machine(fans=1), LAYOUT, "fan_0", speed_percent=10).build
    heat = heat_point(build)
    assert heat.fans[0].state == "does not start"
    assert heat.fans[0].power == 0.0


def test_a_hole_beside_the_radiator_takes_air_from_it() -> None:
    build = add(machine(), Grille(id="hole", name="Hole", free_area_mm2=3000))
    tight, leaky = heat_point(machine()), heat_point(build)
    assert leaky.spaces[0].pressure < tight.spaces[0].pressure
    assert leaky.exchangers[0].other_flow < tight.exchangers[0].other_flow


def test_a_film_of_thin_air_follows_its_mass() -> None:
    """Reynolds number ``rho v d / mu``: where air is a quarter thinner, its film is that of a quarter less air."""
    high = machine()
    high = high.with_values(ambient=high.ambient.with_values(altitude_m=2400))
    found = heat_point(high).coupled
    a, b = found.thermal.heat.exchange_a[0], found.thermal.heat.exchange_b[0]
    law = high.part("radiator").exchanger
    by_mass, by_volume = (
        float(law.conductance(found.transport.flow[a], found.rate[a], flow, found.rate[b]))
        for flow in (found.rate[b] / (1.2 * 1006), found.transport.flow[b])
    )
    assert found.transport.conductance[0] == pytest.approx(by_mass, rel=1e-4)
    assert by_mass < 0.98 * by_volume


def test_thin_air_cools_less() -> None:
    high = machine()
    high = high.with_values(ambient=high.ambient.with_values(altitude_m=2400))
    assert heat_point(high).components[0].temperature > heat_point(machine()).components[0].temperature


@settings(max_examples=40)
@given(
    load=st.floats(0, 600), board=st.floats(0, 100), speed=st.floats(40, 100), fans=st.integers(1, 4),
    share=st.floats(0, 60),
)  # fmt: skip
def test_energy_closes_whatever_is_drawn(load: float, board: float, speed: float, fans: int, share: float) -> None:
    build = add(machine(load=load, fans=fans), AirComponent(id="board", name="Board", load_w=board))
    build = edits.change_placement(build, LAYOUT, "fan_0", speed_percent=speed).build
    returns = (AirReturn(outlet="radiator", inlet="fan_0", share_percent=share),)
    heat = heat_point(edits.change_layout(build, LAYOUT, air_returns=returns).build)
    assert heat.imbalance < 1e-6
    assert heat.is_steady


def test_a_start_near_by_changes_nothing_but_the_time() -> None:
    build = machine()
    first = heat_point(build)
    again = heat_point(build, near=first)
    assert again.coupled.rounds <= first.coupled.rounds
    assert again.components[0].temperature == pytest.approx(first.components[0].temperature, abs=2e-6)


def test_warmth_that_turns_the_flow_round_at_every_turn_counts_as_standing() -> None:
    """Heat above its sink and no pump: whichever way the coolant goes, its warm leg pushes it back."""
    build = edits.change_placement(machine(), LAYOUT, "block", height_mm=300.0).build
    build = edits.change_placement(build, LAYOUT, "radiator", height_mm=0.0).build
    heat = heat_point(build, stopped={"pump"})
    (chip,) = heat.components
    assert not chip.holds
    if heat.coupled.undecided:
        assert "undecided_warmth" in {finding.code for finding in heat.findings}
        assert heat.point.loop_flow == pytest.approx(0.0, abs=1e-12)


def test_what_stands_before_a_shut_valve_boils_by_itself_and_is_no_temperature_of_the_loop() -> None:
    """A second pump runs against nothing: its own water boils, the loop's coolant is as cool as before."""
    build = placed(machine(), Pump(id="lost", name="Lost pump"), 900, 650)
    build = placed(build, Reservoir(id="other", name="Other vessel"), 700, 650)
    build = placed(build, Valve(id="valve", name="Valve"), 1000, 650, opening_percent=0.0)
    build = joined(build, ("other.outlet", "lost.inlet"), ("lost.outlet", "valve.a"), ("valve.b", "other.inlet"))
    heat, alone = heat_point(build), heat_point(machine())
    assert heat.coolant_rise == pytest.approx(alone.coolant_rise, abs=1.0)
    assert heat.is_steady
    (told,) = [finding for finding in heat.findings if finding.code == "standing_boils"]
    assert told.part == "lost"


def test_radiators_stacked_behind_each_other_share_one_stream_of_air() -> None:
    """The second takes in what the first blows out: its air is warmer by what the first has shed."""
    build = edits.add_part(
        machine(), LAYOUT, Radiator(id="second", name="Second"),
        Placement(part="second", x_mm=800, y_mm=500, air_from="between", air_to="room"),
    ).build  # fmt: skip
    build = edits.change_placement(build, LAYOUT, "radiator", air_to="between").build
    build = edits.change_run(build, LAYOUT, "run_4", start="second.b").build
    run = TubeRun(id="link", start="radiator.b", end="second.a", tube="t")
    heat = heat_point(edits.add_run(build, LAYOUT, run).build)
    first, second = (next(each for each in heat.exchangers if each.part == part) for part in ("radiator", "second"))
    air = heat.coupled.thermal.air.network.states
    mass = [each.other_flow * air[part].density for each, part in ((first, "radiator"), (second, "second"))]
    assert mass[0] == pytest.approx(mass[1], rel=1e-9)
    assert second.other_enters == pytest.approx(first.other_leaves)
    assert first.other_leaves - first.other_enters == pytest.approx(
        first.heat / (mass[0] * air["radiator"].heat_capacity), rel=2e-3
    )
    assert heat.imbalance < 1e-6

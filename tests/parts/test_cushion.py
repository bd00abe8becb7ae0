"""What holds the pressure of a loop: an open surface, or a gas cushion."""

import CoolProp.CoolProp as CoolProp
import pytest

from loopsim.build import Ambient, Build, BuildCoolant, Layout, Placement
from loopsim.network import assemble
from loopsim.parts import Block, ExpansionVessel, Part, Pump, Radiator, Reservoir, Tube, TubeRun
from loopsim.solve import solve_flow
from loopsim.studies import heat_point, operating_point

VESSEL = ExpansionVessel(id="vessel", name="Vessel", port_count="two", gas_ml=200.0, precharge_bar=0.2, volume_ml=40.0)
COLD = (0.2e5 + 101325) * 200 / 160 - 101325  # by Boyle's law [Pa]
SECOND = VESSEL.with_values(id="second", precharge_bar=0.9)


ROOM_C = Ambient().temperature_c


def _ring(*parts: Part) -> Build:
    """Parts one after the other in a ring, out of each one's second port into the next one's first."""
    ends = [tuple(part.ports)[:2] for part in parts]
    runs = tuple(
        TubeRun(
            id=f"r{number}",
            start=f"{part.id}.{ends[number][1]}",
            end=f"{parts[(number + 1) % len(parts)].id}.{ends[(number + 1) % len(parts)][0]}",
            tube="t",
        )
        for number, part in enumerate(parts)
    )
    placed = tuple(
        Placement(part=part.id, x_mm=200.0 * number, y_mm=150.0 * (number % 2)) for number, part in enumerate(parts)
    )
    layout = Layout(name="ring", placed=placed, runs=runs)
    cold = BuildCoolant(temperature_c=ROOM_C)
    return Build(name="b", coolants=(cold,), tubes=(Tube(id="t", name="T"),), parts=parts, layouts=(layout,))


def _pressures(*parts: Part) -> dict[str, float | None]:
    build = _ring(*parts)
    return {name: each.pressure for name, each in assemble(build, build.layout()).network.junctions.items()}


PUMP, BLOCK = Pump(id="pump", name="Pump"), Block(id="block", name="Block")


def test_a_sealed_loop_stands_at_its_cushions_pressure() -> None:
    """(0.2 bar + 1 atm) over 160/200 less 1 atm: 50.3 kPa by Boyle's law."""
    build = _ring(VESSEL, PUMP, BLOCK)
    result = solve_flow(assemble(build, build.layout()).network)
    assert result.pressure["vessel"] == pytest.approx(50.3e3, abs=50.0)
    assert result.pressure["pump.outlet"] > result.pressure["vessel"]
    assert result.variants.datum == ()


def test_an_open_surface_goes_before_a_cushion() -> None:
    pressures = _pressures(VESSEL, PUMP, Reservoir(id="tank", name="Tank"))
    assert pressures["tank"] == 0.0
    assert pressures["vessel"] is None


def test_of_two_cushions_in_one_loop_the_first_holds() -> None:
    """Two held at once would drive a flow from one to the other that nothing feeds."""
    pressures = _pressures(VESSEL, PUMP, SECOND)
    assert pressures["vessel"] == pytest.approx(COLD)
    assert pressures["second"] is None


def test_cushions_of_separate_loops_hold_each_its_own() -> None:
    one, other = _ring(VESSEL, PUMP), _ring(SECOND, PUMP.with_values(id="pump_b"))
    other_layout = other.layout()
    runs = tuple(run.with_values(id=f"s{run.id}") for run in other_layout.runs)
    layout = one.layout().with_values(
        placed=(*one.layout().placed, *other_layout.placed), runs=(*one.layout().runs, *runs)
    )
    both = one.with_values(parts=(*one.parts, *other.parts), layouts=(layout,))
    junctions = assemble(both, both.layout()).network.junctions
    assert junctions["vessel"].pressure == pytest.approx(COLD)
    assert junctions["second"].pressure == pytest.approx((0.9e5 + 101325) * 200 / 160 - 101325)


def test_thin_air_outside_squeezes_a_cushion_less() -> None:
    """Charged to 0.2 bar on the site, at 3,000 m and 70.1 kPa: 90.1 kPa times 200/160 less 70.1 kPa is 42.5 kPa."""
    build = _ring(VESSEL, PUMP, BLOCK)
    high = build.with_values(ambient=Ambient(altitude_m=3000.0))
    assert assemble(high, high.layout()).network.junctions["vessel"].pressure == pytest.approx(42.5e3, abs=50.0)


def _warm(build: Build, temperature_c: float) -> Build:
    return build.with_values(coolants=(BuildCoolant(temperature_c=temperature_c),))


def _water(temperature_c: float, of: str) -> float:
    return CoolProp.PropsSI(of, "T", 273.15 + temperature_c, "P", 101325, "Water")


def test_a_cushion_is_squeezed_by_the_swell_of_the_whole_loop_and_warms_with_it() -> None:
    """By the densities of an open library: gas of 200 mL, 40 mL and the swell of all coolant in it, 22 to 60 °C."""
    build = _ring(VESSEL, PUMP, BLOCK)
    layout = build.layout()
    volume = sum(part.coolant_ml for part in build.parts)
    volume += sum(TubeRun.coolant_ml(build.tube("t"), build.run_path(layout, run)) for run in layout.runs)
    swell = volume * (_water(ROOM_C, "D") / _water(60, "D") - 1)
    expected = (0.2e5 + 101325) * (333.15 / (273.15 + ROOM_C)) * 200 / (160 - swell) - 101325
    assert operating_point(_warm(build, 60)).pressures["pump.inlet"] == pytest.approx(
        expected + operating_point(build).pressures["pump.inlet"] - COLD, rel=0.02
    )


SEALED = Reservoir(id="tank", name="Tank", air_above="sealed")


def test_a_sealed_reservoir_stands_at_ambient_pressure_when_cold() -> None:
    assert _pressures(SEALED, PUMP)["tank"] == pytest.approx(0.0, abs=1.0)


def test_a_sealed_reservoir_is_pressed_by_swell_heat_and_vapour() -> None:
    """150 by 80 mm inside, 6 mm of air under the lid: 72 mL; dry air by the gas law, vapour by an open library."""
    build = _warm(_ring(SEALED, PUMP, BLOCK), 60)
    layout = build.layout()
    volume = sum(part.coolant_ml for part in build.parts)
    volume += sum(TubeRun.coolant_ml(build.tube("t"), build.run_path(layout, run)) for run in layout.runs)
    swell = volume * (_water(ROOM_C, "D") / _water(60, "D") - 1)
    steam = [CoolProp.PropsSI("P", "T", 273.15 + each, "Q", 0, "Water") for each in (ROOM_C, 60)]
    expected = (101325 - steam[0]) * 333.15 / (273.15 + ROOM_C) * 72 / (72 - swell) + steam[1] - 101325
    held = assemble(build, layout).network.junctions["tank"].pressure
    assert held == pytest.approx(expected, rel=0.02)


def test_a_cushion_that_the_swell_uses_up_is_said_to_burst() -> None:
    full = SEALED.with_values(level_mm=49.5)
    found = operating_point(_warm(_ring(full, PUMP, BLOCK), 80)).findings
    (text,) = [each.text for each in found if each.code == "cushion"]
    assert "Tank" in text
    assert "bursts" in text


def test_the_cushion_follows_the_temperatures_found_and_not_only_the_stated_one() -> None:
    """The coolant settles warmer than stated: the whole loop stands at a higher pressure."""
    build = _ring(VESSEL, PUMP, BLOCK, Radiator(id="radiator", name="Radiator"))
    hot, stated = heat_point(build).point.pressures, operating_point(build).pressures
    gained = {port: hot[port] - stated[port] for port in stated}
    assert gained["vessel.a"] > 1e3
    assert gained["pump.inlet"] == pytest.approx(gained["vessel.a"], rel=0.1)

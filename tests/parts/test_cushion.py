"""What holds the pressure of a loop: an open surface, or a gas cushion."""

import pytest

from loopsim.build import Ambient, Build, Layout, Placement
from loopsim.network import assemble
from loopsim.parts import Block, ExpansionVessel, Part, Pump, Reservoir, Tube, TubeRun
from loopsim.solve import solve_flow

VESSEL = ExpansionVessel(id="vessel", name="Vessel", port_count="two", gas_ml=200.0, precharge_bar=0.2, volume_ml=40.0)
SECOND = VESSEL.with_values(id="second", precharge_bar=0.9)


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
    return Build(name="b", tubes=(Tube(id="t", name="T"),), parts=parts, layouts=(layout,))


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
    assert pressures["vessel"] == pytest.approx(VESSEL.held_pressure_pa)
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
    assert junctions["vessel"].pressure == pytest.approx(VESSEL.held_pressure_pa)
    assert junctions["second"].pressure == pytest.approx(SECOND.held_pressure_pa)


def test_thin_air_outside_squeezes_a_cushion_less() -> None:
    """Charged to 0.2 bar on the site, at 3,000 m and 70.1 kPa: 90.1 kPa times 200/160 less 70.1 kPa is 42.5 kPa."""
    build = _ring(VESSEL, PUMP, BLOCK)
    high = build.with_values(ambient=Ambient(altitude_m=3000.0))
    assert assemble(high, high.layout()).network.junctions["vessel"].pressure == pytest.approx(42.5e3, abs=50.0)

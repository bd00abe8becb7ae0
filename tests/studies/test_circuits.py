"""Several bodies of liquid in one layout, each with its own coolant."""

import pytest

from loopsim.build import Build, BuildCoolant, Enclosure, Placement, edits, from_text, to_text
from loopsim.errors import LoopsimError
from loopsim.parts import Block, CheckValve, Cross, LiquidExchanger, Pump, Reservoir, Tee, Tube, TubeRun
from loopsim.studies import failures, operating_point, pump_plots
from loopsim.units import GRAVITY

LAYOUT = "layout 1"
GLYCOL = BuildCoolant(id="brine", kind="propylene_glycol", glycol_mass_fraction=0.4, temperature_c=5)


def two_circuits(second_coolant: str | None = "brine") -> Build:
    """Water on one side of an exchanger, glycol on the other; two like pumps, two like vessels."""
    build = Build(
        name="bench",
        enclosure=Enclosure(length_mm=1500, width_mm=900),
        coolants=(BuildCoolant(temperature_c=20), GLYCOL),
        tubes=(Tube(id="t", name="T", bore_mm=10),),
    )
    parts = (
        (Reservoir(id="warm", name="Warm side"), 200, 100), (Pump(id="pump_1", name="Pump 1"), 500, 100),
        (LiquidExchanger(id="plates", name="Plates"), 700, 400),
        (Reservoir(id="cold", name="Cold side", coolant=second_coolant), 200, 700),
        (Pump(id="pump_2", name="Pump 2"), 500, 700),
    )  # fmt: skip
    for part, x, y in parts:
        build = edits.add_part(build, LAYOUT, part, Placement(part=part.id, x_mm=x, y_mm=y)).build
    for start, end in (
        ("warm.outlet", "pump_1.inlet"), ("pump_1.outlet", "plates.primary_inlet"),
        ("plates.primary_outlet", "warm.inlet"), ("cold.outlet", "pump_2.inlet"),
        ("pump_2.outlet", "plates.secondary_inlet"), ("plates.secondary_outlet", "cold.inlet"),
    ):  # fmt: skip
        run = TubeRun(id=edits.free_run_id(build.layout()), start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build


def test_the_vessel_says_what_fills_its_circuit() -> None:
    point = operating_point(two_circuits())
    assert [(circuit.name, circuit.coolant.id) for circuit in point.circuits] == [
        ("Warm side", "coolant"),
        ("Cold side", "brine"),
    ]
    assert point.state_of("pump_2") == GLYCOL.state
    assert point.circuits_of("plates") == point.circuits


def test_each_circuit_flows_as_it_would_alone() -> None:
    """Drawn alone with its coolant as the build's only one, the second circuit has the same numbers."""
    both = two_circuits()
    alone = both
    for part_id in ("warm", "pump_1"):
        alone = edits.remove_part(alone, LAYOUT, part_id).build
    alone = alone.with_values(coolants=(GLYCOL,))
    together, by_itself = operating_point(both), operating_point(alone)
    for run in by_itself.layout.runs:
        assert together.of(run.id).flow == pytest.approx(by_itself.of(run.id).flow, rel=1e-9)
        assert together.pressures[run.start] == pytest.approx(by_itself.pressures[run.start], rel=1e-9)
    pump = together.of("pump_2")
    assert pump.head == pytest.approx(pump.dp / (GLYCOL.state.density * GRAVITY), rel=1e-12)
    assert together.of("pump_2").flow < together.of("pump_1").flow


def test_shares_of_the_pressure_budget_add_up_in_each_circuit() -> None:
    point = operating_point(two_circuits())
    assert sum(part.share for part in point.parts) == pytest.approx(2.0)
    plates = [part for part in point.parts if part.id == "plates"]
    assert [part.way for part in plates] == ["primary", "secondary"]
    assert all(part.flow > 0 for part in plates)


def test_a_stopped_pump_is_judged_by_the_flow_of_its_own_circuit() -> None:
    """The other circuit flows on, but no pump of it drives the liquid of this one."""
    found = failures(two_circuits())
    for case, circuit in zip(found.cases, ("Warm side", "Cold side"), strict=True):
        assert case.share == pytest.approx(0.0, abs=1e-6)
        assert case.flow == pytest.approx(0.0, abs=1e-9)
        assert case.circuit == circuit
        name = f"Pump {case.stopped[-1]}"
        assert case.sentence == f"Nothing drives the flow in the circuit of {circuit}: {name} is the only pump there."


def test_in_another_circuit_too_the_flow_that_stays_is_where_the_liquid_of_both_pumps_meets() -> None:
    """Two pumps side by side behind check valves in the second circuit: half each, and nothing runs back."""
    build = edits.remove_run(two_circuits(), LAYOUT, "run_4").build
    build = edits.remove_run(build, LAYOUT, "run_5").build
    for part, x, y in (
        (Tee(id="split", name="Split"), 300, 700), (Tee(id="merge", name="Merge"), 650, 700),
        (Pump(id="pump_3", name="Pump 3"), 500, 800), (CheckValve(id="valve_2", name="Valve 2"), 570, 700),
        (CheckValve(id="valve_3", name="Valve 3"), 570, 800),
    ):  # fmt: skip
        build = edits.add_part(build, LAYOUT, part, Placement(part=part.id, x_mm=x, y_mm=y)).build
    for start, end in (
        ("cold.outlet", "split.c"), ("split.a", "pump_2.inlet"), ("split.b", "pump_3.inlet"),
        ("pump_2.outlet", "valve_2.inlet"), ("pump_3.outlet", "valve_3.inlet"), ("valve_2.outlet", "merge.a"),
        ("valve_3.outlet", "merge.b"), ("merge.c", "plates.secondary_inlet"),
    ):  # fmt: skip
        run = TubeRun(id=edits.free_run_id(build.layout()), start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    base, case = operating_point(build), failures(build).cases[1]
    assert case.stopped == "pump_2"
    assert case.flow == pytest.approx(abs(case.point.of("cold").flow), rel=1e-6)
    assert case.share == pytest.approx(case.flow / abs(base.of("cold").flow), rel=1e-6)
    assert case.sentence.startswith("Pump 3 carries on, nothing runs back through Pump 2")


def test_each_circuit_has_its_own_pump_plot_that_meets_its_operating_point() -> None:
    point = operating_point(two_circuits())
    plots = pump_plots(two_circuits())
    assert [plot.pumps for plot in plots] == [("pump_1",), ("pump_2",)]
    for plot in plots:
        pump = point.of(plot.pumps[0])
        assert plot.flow == pytest.approx(pump.flow, rel=1e-9)
        assert plot.head == pytest.approx(pump.head, rel=1e-6)


def test_two_vessels_of_one_circuit_that_name_two_coolants_are_told_of() -> None:
    build = two_circuits()
    build = edits.change_part(build, "warm", coolant="coolant").build
    run = TubeRun(id="short", start="plates.primary_outlet", end="cold.inlet", tube="t")
    for run_id in ("run_3", "run_6"):
        build = edits.remove_run(build, LAYOUT, run_id).build
    build = edits.add_run(build, LAYOUT, run).build
    assert "two_coolants" in {finding.code for finding in operating_point(build).findings}


def test_an_unknown_coolant_is_offered_the_nearest() -> None:
    with pytest.raises(LoopsimError, match="no coolant 'brin'; did you mean 'brine'"):
        two_circuits("brin")


def test_a_file_of_the_first_version_is_read_as_it_was_meant() -> None:
    old = """{"schema_version": 1, "name": "old",
      "coolant": {"kind": "propylene_glycol", "glycol_mass_fraction": 0.3, "temperature_c": 25},
      "parts": [
        {"id": "t", "name": "Split", "length_mm": 28, "width_mm": 28, "height_mm": 16, "kind": "junction",
         "bore_mm": 8, "legs": "three", "leg_loss": 0.4},
        {"id": "x", "name": "All", "length_mm": 28, "width_mm": 28, "height_mm": 16, "kind": "junction",
         "legs": "four"},
        {"id": "b", "name": "Hot", "kind": "block", "load_w": 123}],
      "layouts": [{"name": "only"}]}"""
    build = from_text(old)
    assert build.coolant.glycol_mass_fraction == 0.3
    tee, cross, block = build.parts
    assert isinstance(tee, Tee)
    assert isinstance(cross, Cross)
    assert isinstance(block, Block)
    assert (tee.bore_mm, tee.branch_bore_mm, tee.leg_loss, tee.losses) == (8, 8, 0.4, "constant per leg")
    assert list(cross.ports) == ["a", "b", "c", "d"]
    assert block.heat_w == 123
    assert from_text(to_text(build)) == build

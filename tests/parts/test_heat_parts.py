"""Blocks, radiators and liquid exchangers as a builder enters them: heat data become laws, nonsense is refused."""

from typing import Any

import pytest
from pydantic import ValidationError

from loopsim.build import Build, edits
from loopsim.curves import (
    ExchangerPoint,
    RadiatorCurve,
    RadiatorPoint,
    ResistanceCurve,
    ResistancePoint,
    radiator_curve_from_fan_rating,
)
from loopsim.errors import LoopsimError, PartDataError
from loopsim.fields import describe
from loopsim.media import water
from loopsim.parts import KINDS, Load, Part, Setting
from loopsim.report.inventory import curve_uses

WATER = water().at(20.0)
HEAT_DATA = KINDS["radiator"].model_fields["heat_data"].annotation.__args__
RHO_CP = WATER.density * WATER.heat_capacity


def made(kind: str, **values: Any) -> Any:
    return KINDS[kind](id="x", name="X", **values)


def table(**values: Any) -> dict[str, Any]:
    return {"provenance": {"kind": "table", "source": "invented"}, **values}


def shed(part: Any, flow_l_h: float, air_m3_h: float) -> float:
    """Watts per kelvin, on water of 20 °C and standard air (1.2 kg/m3, 1006 J/(kg K))."""
    flow, air = flow_l_h / 3.6e6, air_m3_h / 3600
    return float(part.exchanger.conductance(flow, RHO_CP * flow, air, 1.2 * 1006 * air))


def refusal(part: Part, **values: Any) -> str:
    """What the builder is told when an edit is refused."""
    with pytest.raises(LoopsimError) as caught:
        edits.change_part(Build(name="b", parts=(part,)), part.id, **values)
    return str(caught.value)


def test_the_loads_of_a_block_add_up() -> None:
    block = made("block", loads=[{"name": "die", "heat_w": 120}, {"name": "regulators", "heat_w": 25}])
    assert block.heat_w == 145.0
    assert made("block", loads=[]).heat_w == 0.0


def test_two_loads_of_one_name_are_refused() -> None:
    words = refusal(made("block"), loads=[{"name": "die", "heat_w": 120}, {"name": "die", "heat_w": 25}])
    assert "X" in words
    assert "two components are called 'die'" in words


def test_resistance_to_the_inlet_holds_half_of_the_coolants_own_warming() -> None:
    rows = [{"flow_l_h": 60, "resistance_k_w": 0.08}]
    to_inlet = made("block", resistance=table(points=rows))
    to_mean = made("block", resistance=table(points=rows, resistance_to="mean coolant"))
    flow = 60 / 3.6e6
    assert to_mean.cooling.resistance(flow) == pytest.approx(0.08)
    assert to_inlet.cooling.resistance(flow) == pytest.approx(0.08 - 0.5 / (RHO_CP * flow))


def test_a_resistance_below_the_coolants_own_warming_is_refused() -> None:
    """10 L/h of water carry 11.6 W/K: half a kelvin per 11.6 W is 0.043 K/W."""
    words = refusal(made("block"), resistance=table(points=[{"flow_l_h": 10, "resistance_k_w": 0.02}]))
    assert "row 1: 0.02 K/W to the inlet is not above the coolant's own mean warming, 0.0431 K/W at 10 L/h" in words


def test_a_resistance_that_rises_with_the_flow_is_refused() -> None:
    rows = [{"flow_l_h": 60, "resistance_k_w": 0.05}, {"flow_l_h": 120, "resistance_k_w": 0.06}]
    assert "must not rise with the flow, got 0.06 K/W after 0.05 K/W" in refusal(
        made("block"), resistance=table(points=rows)
    )


@pytest.mark.parametrize("kind", [None, *KINDS["block"].classes])
def test_every_usual_block_meets_its_table_and_is_finite_at_rest(kind: str | None) -> None:
    block = made("block", **(KINDS["block"].classes[kind] if kind else {}))
    curve = block.resistance
    assert block.cooling.resistance(curve.flow) == pytest.approx(curve.resistance, rel=0.03)
    assert curve.resistance[0] < block.cooling.resistance(0.0) < 10 * curve.resistance[0]
    assert block.cooling.relative_tolerance == curve.relative_tolerance


@pytest.mark.parametrize("kind", [None, *KINDS["radiator"].classes])
def test_every_usual_radiator_meets_its_points(kind: str | None) -> None:
    radiator = made("radiator", **(KINDS["radiator"].classes[kind] if kind else {}))
    for point in radiator.heat.points:
        assert shed(radiator, point.flow_l_h, point.air_m3_h) == pytest.approx(point.heat_w / 10, rel=0.03)
    assert radiator.exchanger.misfit < 0.03


@pytest.mark.parametrize("kind", KINDS["radiator"].classes)
def test_the_core_of_a_usual_radiator_sheds_about_what_its_points_say(kind: str) -> None:
    """Two guesses that know nothing of each other, each with a band of 40 %."""
    values = KINDS["radiator"].classes[kind]
    by_points, by_core = made("radiator", **values), made("radiator", **values, heat_data="core size")
    for point in by_points.heat.points:
        air = point.air_m3_h
        assert shed(by_core, 120, air) == pytest.approx(shed(by_points, 120, air), rel=0.4)


def test_heat_above_the_mean_coolant_is_less_above_the_entering_one() -> None:
    """20 W/K above the mean of 60 L/h (69.6 W/K): the entering coolant is 10 W/K warmer by half of Q/C."""
    row = {"flow_l_h": 60, "air_m3_h": 120, "heat_w": 200}
    radiator = made("radiator", heat=table(points=[row], difference_of="mean coolant"))
    expected = 1 / (1 / 20.0 + 0.5 / (RHO_CP * 60 / 3.6e6))
    assert radiator.heat.heat_points.conductance == pytest.approx([expected])
    assert shed(radiator, 60, 120) == pytest.approx(expected, rel=2e-3)


def test_more_heat_than_the_air_carries_is_refused_with_the_air_flow_needed() -> None:
    """40 W/K over 1.2 kg/m3 and 1006 J/(kg K) take 119 m3/h."""
    rows = [{"flow_l_h": 120, "air_m3_h": 80, "heat_w": 400, "difference_k": 10}]
    words = refusal(made("radiator"), heat=table(points=rows))
    assert "'X'" in words
    assert "row 1: 40 W/K is more than 80 m³/h of air can carry, 26.8 W/K; it needs more than 119 m³/h of air" in words


def test_a_rating_at_a_fan_speed_estimates_its_air() -> None:
    """0.3 n d^3: 25 turns per second of 120 mm move 0.01296 m3/s, 46.7 m3/h; both fans together twice that."""
    values = {"rating_w": 180.0, "rating_flow_l_h": 120.0, "rating_fan_count": 2}
    radiator = made("radiator", heat_data="rating at a fan speed", **values)
    (point,) = radiator.fan_rating.points
    assert point.air_m3_h == pytest.approx(2 * 46.656)
    assert shed(radiator, 120, point.air_m3_h) == pytest.approx(18.0, rel=2e-3)
    assert radiator.exchanger.relative_tolerance == 0.3
    assert radiator.heat_provenance.kind == "guess"


def test_a_rating_that_its_fans_cannot_carry_is_refused() -> None:
    with pytest.raises(PartDataError, match=r"46.7 m³/h of air can carry, 15.6 W/K; it needs more than 89.5 m³/h"):
        radiator_curve_from_fan_rating(300.0, 120.0, 1, 120.0, 1500.0)
    radiator = made("radiator", rating_w=300.0)
    words = refusal(radiator, heat_data="rating at a fan speed")
    assert "rating at a fan speed: row 1: 30 W/K is more than 46.7 m³/h of air can carry" in words


def test_a_core_without_room_for_fins_is_refused_where_it_counts() -> None:
    radiator = made("radiator", tube_count=30)  # does not count yet
    assert "30 tubes of 2 mm leave no room for fins in a width of 48 mm" in refusal(radiator, heat_data="core size")
    assert made("radiator", heat_data="core size").heat_provenance.kind == "geometry"


@pytest.mark.parametrize("passes", ["one", "two side by side", "two one behind the other"])
def test_a_rating_holds_for_the_radiator_as_it_is_piped(passes: str) -> None:
    row = {"flow_l_h": 30, "air_m3_h": 80, "heat_w": 150}
    radiator = made("radiator", passes=passes, heat=table(points=[row]))
    assert radiator.exchanger.passes == passes
    assert shed(radiator, 30, 80) == pytest.approx(15.0, rel=2e-3)


def test_fins_cost_standard_air_what_their_points_say() -> None:
    radiator = made("radiator")
    (path,) = radiator.air_paths_as_set(Setting())
    curve = radiator.air_drop
    dp, _ = path.element.dp(curve.flow, curve.provenance.state)
    assert list(dp) == pytest.approx(curve.dp, rel=0.1)
    assert (radiator.air_from, radiator.air_to) == ("chamber", "room")


def test_a_liquid_exchanger_meets_its_points_in_counterflow() -> None:
    part = made("liquid_exchanger")
    assert part.exchanger.arrangement == "counterflow"
    for point in part.heat.points:
        flow = point.primary_l_h / 3.6e6
        passed = part.exchanger.conductance(flow, RHO_CP * flow, flow, RHO_CP * flow)
        assert passed == pytest.approx(point.heat_w / 10, rel=0.03)


def test_more_heat_than_a_liquid_side_carries_is_refused() -> None:
    rows = [{"primary_l_h": 60, "secondary_l_h": 300, "heat_w": 800}]
    words = refusal(made("liquid_exchanger"), heat=table(points=rows))
    assert "80 W/K is more than 60 L/h of primary can carry" in words


@pytest.mark.parametrize("kind", ["block", "radiator", "liquid_exchanger"])
def test_heat_data_do_not_count_as_data_of_the_flow(kind: str) -> None:
    """A guessed heat must not make a measured pressure drop look guessed."""
    measured = {"provenance": {"kind": "measured"}, "points": [{"flow_l_h": 60, "dp_kpa": 1}]}
    drops = {"liquid_exchanger": ("primary_drop", "secondary_drop")}.get(kind, ("drop",))
    part = made(kind, **dict.fromkeys(drops, measured))
    assert {provenance.kind for provenance in part.provenances} == {"measured"}


def test_a_table_without_rows_is_refused() -> None:
    for kind, field in (("block", "resistance"), ("radiator", "heat"), ("liquid_exchanger", "heat")):
        with pytest.raises(ValidationError, match="needs at least 1 point, got 0"):
            made(kind, **{field: table(points=[])})


def test_heat_data_that_are_not_chosen_are_idle() -> None:
    ports = "one end"  # their spacing counts then
    idle = {choice: made("radiator", heat_data=choice, ports_at=ports).idle_fields for choice in HEAT_DATA}
    assert "heat" not in idle["points"]
    assert {"heat", "core_depth_mm"} <= idle["rating at a fan speed"]
    assert {"heat", "rating_fan_rpm"} <= idle["core size"]
    assert not frozenset.intersection(*idle.values())
    assert set.union(*map(set, idle.values())) <= set(KINDS["radiator"].model_fields)


def test_the_report_lists_only_heat_data_that_count() -> None:
    for choice in HEAT_DATA:
        build = Build(
            name="b",
            parts=(made("radiator", heat_data=choice),),
            layouts=({"name": "l", "placed": [{"part": "x", "x_mm": 0, "y_mm": 0}]},),
        )
        listed = {use.field.name for use in curve_uses(build, build.layout())}
        assert ("heat" in listed) == (choice == "points")


@pytest.mark.parametrize(
    "record", [Load, ResistancePoint, ResistanceCurve, RadiatorPoint, RadiatorCurve, ExchangerPoint]
)
def test_records_of_heat_explain_themselves(record: type) -> None:
    fields = describe(record)
    assert fields
    for field in fields:
        assert field.label
        assert field.help
        assert field.shape != "number" or field.unit or field.name in ("relative_tolerance", "exponent")

"""Fittings: what their numbers mean in pressure."""

import math

import fluids
import pytest
from pydantic import ValidationError

from loopsim.elements import Pump as PumpElement
from loopsim.media import State, water
from loopsim.parts import (
    KINDS,
    CheckValve,
    Elbow,
    ExpansionVessel,
    Filter,
    FlowMeter,
    KvCurve,
    LiquidExchanger,
    Manifold,
    Part,
    Pump,
    QuickDisconnect,
    Reducer,
    Setting,
    Valve,
)
from loopsim.units import STANDARD_ATMOSPHERE, to_si

WATER = water().at(20.0)
FLOW = to_si(200.0, "l_h")


def drop(part: Part, flow: float = FLOW, state: State = WATER, path: int = 0) -> float:
    return float(part.flow_paths[path].element.dp(flow, state)[0])


def velocity_heads(part: Part, bore_mm: float, flow: float = FLOW) -> float:
    v = flow / (math.pi / 4 * to_si(bore_mm, "mm") ** 2)
    return drop(part, flow) / (WATER.density * v**2 / 2)


@pytest.mark.parametrize(("percent", "factor"), [(0.0, 1.0), (50.0, 4.0), (80.0, 25.0)])
def test_a_clogged_filter_costs_the_square_of_the_velocity_in_its_open_rest(percent: float, factor: float) -> None:
    clean, clogged = Filter(id="f", name="F"), Filter(id="f", name="F", clogging_percent=percent)
    assert drop(clogged) == pytest.approx(factor * drop(clean), rel=1e-9)


def test_a_sharp_elbow_costs_about_the_handbook_value() -> None:
    """Mitre bends of 90 and 45 degrees: K of about 1.1 to 1.3 and 0.3 to 0.4 in handbooks; common practice."""
    flow = to_si(2000.0, "l_h")
    quarter, eighth = (Elbow(id="e", name="E", angle=angle) for angle in ("90 degrees", "45 degrees"))
    assert 1.1 < velocity_heads(quarter, 10.0, flow) < 1.4
    assert 0.28 < velocity_heads(eighth, 10.0, flow) < 0.48


def test_a_stated_elbow_loses_what_is_stated_at_any_reynolds_number() -> None:
    """The two-K form by `fluids`, without its size factor for steel pipe."""
    stated = Elbow(id="e", name="E", loss_from="stated", loss=0.9, laminar_loss=700.0)
    bare = Elbow(id="e", name="E", loss_from="stated", loss=0.0, laminar_loss=0.0)
    for reynolds in (50.0, 5000.0):
        flow = reynolds * WATER.viscosity / (WATER.density * 0.01) * math.pi / 4 * 0.01**2
        extra = (drop(stated, flow) - drop(bare, flow)) / (WATER.density * (flow / (math.pi / 4 * 0.01**2)) ** 2 / 2)
        assert extra == pytest.approx(fluids.fittings.Hooper2K(Di=1e9, Re=reynolds, K1=700.0, Kinfty=0.9), rel=2e-3)


def test_an_elbow_of_45_degrees_leaves_under_45_degrees_on_its_outline() -> None:
    elbow = Elbow(id="e", name="E", angle="45 degrees", length_mm=40, width_mm=30)
    port = elbow.ports["b"]
    assert port.facing_deg == 45.0
    assert port.spot.x_mm == pytest.approx(port.spot.y_mm)
    assert elbow.leg_length_mm == pytest.approx(20 + 15)


def test_a_sudden_reducer_loses_by_borda_and_by_idelchik() -> None:
    """8 in 13 mm: (1 - 0.379)^2 = 0.386 widening, 0.5 (1 - 0.379)^0.75 = 0.350 narrowing, on the narrow bore."""
    narrowing, widening = Reducer(id="r", name="R", wide_bore_mm=13, narrow_bore_mm=8).coefficients
    assert widening == pytest.approx(0.386, abs=1e-3)
    assert narrowing == pytest.approx(0.350, abs=1e-3)


def test_a_slim_cone_wins_back_most_of_the_loss_of_widening() -> None:
    """Common practice: a diffuser of 10 degrees or so loses a fraction of a sudden widening."""
    sudden = Reducer(id="r", name="R", length_mm=60)
    slim = Reducer(id="r", name="R", length_mm=60, shape="gradual", cone_deg=10.0)
    assert slim.coefficients[1] < 0.35 * sudden.coefficients[1]
    assert abs(drop(slim, -FLOW)) < abs(drop(sudden, -FLOW))


def test_a_reducer_is_entered_at_its_wide_end_and_loses_less_that_way() -> None:
    reducer = Reducer(id="r", name="R")
    (path,) = reducer.flow_paths
    assert (path.start, path.end) == ("wide", "narrow")
    assert drop(reducer, FLOW) < abs(drop(reducer, -FLOW))


def test_a_coupling_follows_the_square_law_of_its_kv() -> None:
    """Kv 0.8: 0.2 m3/h cost (0.2/0.8)^2 bar = 6.25 kPa of water at 15 °C, by definition."""
    assert drop(QuickDisconnect(id="q", name="Q"), FLOW, water().at(15.0)) == pytest.approx(6250.0, rel=2e-3)


def test_the_two_sides_of_an_exchanger_have_their_own_drops_and_no_common_port() -> None:
    exchanger = LiquidExchanger(id="x", name="X")
    steeper = exchanger.with_values(secondary_drop=Filter(id="f", name="F", clogging_percent=90.0).drop_as_clogged)
    assert [path.name for path in exchanger.flow_paths] == ["primary", "secondary"]
    assert len({end for path in exchanger.flow_paths for end in (path.start, path.end)}) == 4
    assert drop(steeper, path=0) == drop(exchanger, path=0)
    assert drop(steeper, path=1) > 2 * drop(exchanger, path=1)


def test_a_valve_goes_by_the_points_of_its_sheet_where_there_are_any() -> None:
    rows = [{"opening_percent": 50, "kv_m3_h": 0.8}, {"opening_percent": 100, "kv_m3_h": 3.0}]
    valve = Valve(id="v", name="V", kv_by_opening={"points": rows, "provenance": {"kind": "table"}})
    assert [valve.kv_at(opening) for opening in (0.25, 0.5, 0.75, 1.0)] == pytest.approx([0.4, 0.8, 1.9, 3.0])
    assert [provenance.kind for provenance in valve.provenances] == ["table"]


@pytest.mark.parametrize("opening", [1.0, 0.3])
def test_a_throttled_valve_follows_kv_by_its_definition(opening: float) -> None:
    """Linear: Kv 4 at full opening, 1.2 at 30 %; 0.2 m3/h of water at 15 °C cost (0.2/Kv)^2 bar."""
    (path,) = Valve(id="v", name="V", kv_m3_h=4.0).paths_as_set(Setting(opening=opening))
    assert path.element.dp(FLOW, water().at(15.0))[0] == pytest.approx(1e5 * (0.2 / (4 * opening)) ** 2, rel=1e-3)


def test_a_shut_valve_is_no_way_at_all() -> None:
    assert Valve(id="v", name="V").paths_as_set(Setting(opening=0.0)) == ()


def test_a_check_valve_lets_its_leak_back() -> None:
    """A leak of 1 % of Kv 2 is 20 L/h at 1 bar, by definition."""
    valve = CheckValve(id="c", name="C", kv_m3_h=2.0, leak_share=0.01)
    assert drop(valve, -to_si(20.0, "l_h"), water().at(15.0)) == pytest.approx(-1e5, rel=1e-3)


@pytest.mark.parametrize("kind", ["fill_port", "drain_port", "bleed_port"])
def test_a_capped_tee_costs_its_loss_on_both_legs_and_opens_within_its_outline(kind: str) -> None:
    tee = KINDS[kind](id="t", name="T", leg_loss=0.2)
    assert [(port.out_loss, port.in_loss) for port in tee.ports.values()] == [(0.2, 0.2), (0.2, 0.2)]
    assert 0 <= tee.opening.height_mm <= tee.height_mm
    above = tee.opening.height_mm - tee.port_height_mm
    assert above < 0 if kind == "drain_port" else above > 0


def test_branches_of_a_manifold_stand_at_their_spacing() -> None:
    manifold = Manifold(id="m", name="M", branches="5", spacing_mm=20.0)
    places = [manifold.ports[f"branch_{number}"].spot.x_mm for number in range(1, 6)]
    assert places == pytest.approx([-40, -20, 0, 20, 40])
    assert manifold.ports["main"].bore_mm == manifold.header_bore_mm


def test_a_cushion_squeezed_to_half_its_volume_holds_twice_its_absolute_pressure() -> None:
    """Boyle's law."""
    vessel = ExpansionVessel(id="v", name="V", gas_ml=200.0, precharge_bar=0.5, volume_ml=100.0)
    held = vessel.cushion.pressure(1e-3, water(), 20.0, 20.0)
    assert held == pytest.approx(2 * (0.5e5 + STANDARD_ATMOSPHERE) - STANDARD_ATMOSPHERE)


@pytest.mark.parametrize("of", Pump.classes)
def test_a_pump_class_is_a_guess_with_a_band_and_plausible(of: str) -> None:
    """Hydraulic power at the best point over electrical power: 15 to 45 % for small pumps, common practice."""
    pump = Pump(id="p", name=of, **Pump.classes[of])
    assert {provenance.kind for provenance in pump.provenances} == {"guess"}
    assert pump.curve.relative_tolerance >= 0.1
    law = PumpElement.from_points(pump.curve.flow, pump.curve.head).law
    flow, head = law.best_point()
    assert not law.levelled
    assert 0.15 < WATER.density * 9.81 * flow * head / pump.rated_power_w < 0.45


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Reducer(id="r", name="R", wide_bore_mm=8, narrow_bore_mm=10), r"below the wide bore \(8 mm\), got 10"),
        (
            lambda: Reducer(id="r", name="R", shape="gradual", cone_deg=5.0, length_mm=40),
            "a cone of 5° is 57 mm long and does not fit into 40 mm",
        ),
        (lambda: FlowMeter(id="f", name="F", least_flow_l_h=700), r"above the least flow \(700 L/h\), got 600 L/h"),
        (
            lambda: Manifold(id="m", name="M", branches="8"),
            "8 branches fit into 100 mm with at most 14.29 mm from one to the next, got 24 mm",
        ),
        (lambda: ExpansionVessel(id="v", name="V", volume_ml=250), r"below the gas volume \(250 mL\), got 250 mL"),
        (
            lambda: KvCurve(points=[{"opening_percent": 50, "kv_m3_h": 2}, {"opening_percent": 80, "kv_m3_h": 1}]),
            "Kv not fall from point to point, got 1 m3/h at 80 % after 2 m3/h at 50 %",
        ),
        (lambda: Filter(id="f", name="F", clogging_percent=100), "less than or equal to 95"),
    ],
)
def test_data_that_contradict_each_other_are_refused(make, words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        make()

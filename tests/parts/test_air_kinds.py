"""Fans, air filters, grilles, supplies and air-cooled parts."""

import math

import numpy as np
import pytest
from pydantic import ValidationError

from loopsim.build import Build
from loopsim.elements import Element, Opening, Pump
from loopsim.errors import PartDataError
from loopsim.media import air
from loopsim.parts import KINDS, AirComponent, AirFilter, DryPart, Fan, Grille, Part, Setting, Supply

ROOM = air(20.0)
STANDARD = air(20.0, 101_325.0 * 1.2 / ROOM.density)  # 1.2 kg/m3
MOUNTAIN = air(10.0, 75_000.0)
H = 1 / 3600  # m3/h
STRAIGHT = {"points": [{"air_m3_h": 0, "pressure_pa": 60}, {"air_m3_h": 60, "pressure_pa": 0}]}
PASS_AIR = [kind for kind in KINDS.values() if kind(id="x", name="X").air_paths_as_set(Setting())]
DRY = [kind for kind in KINDS.values() if issubclass(kind, DryPart)]


def make(kind: type[Part], **values: object) -> Part:
    return kind.model_validate({"id": "x", "name": "X", **values})


def element(part: Part, **setting: float) -> Element:
    (path,) = part.air_paths_as_set(Setting(**setting))
    return path.element


def pressure(fan: Part, flow_m3_h: float, state=STANDARD, **setting: float) -> float:
    """Static pressure that a fan builds up [Pa]."""
    return -float(element(fan, **setting).dp(flow_m3_h * H, state)[0])


@pytest.mark.parametrize("kind", DRY)
def test_a_dry_part_has_nothing_to_do_with_coolant(kind: type[Part]) -> None:
    part = make(kind)
    assert not part.ports
    assert not part.flow_paths
    assert not part.merges_ports
    assert part.coolant_ml == part.heat_w == 0
    assert "rating_kpa" not in [field.name for field in part.fields()]


@pytest.mark.parametrize("kind", PASS_AIR)
@pytest.mark.parametrize("setting", [Setting(), Setting(speed=0.5), Setting(stopped=True)])
def test_what_air_pays_rises_with_its_flow_both_ways(kind: type[Part], setting: Setting) -> None:
    """Named ways, joined to different spaces, each of whose drops rises strictly."""
    part = make(kind)
    names = [path.name for path in part.air_paths_as_set(setting)]
    assert len(set(names)) == len(names)
    assert part.air_from != part.air_to
    flow = np.linspace(-0.05, 0.05, 401)
    for path in part.air_paths_as_set(setting):
        dp, slope = path.element.dp(flow, MOUNTAIN)
        assert (np.diff(dp) > 0).all()
        assert (slope > 0).all()


def test_a_fan_follows_the_affinity_laws() -> None:
    """Flow with the speed, pressure with its square, power with its cube: every fan handbook."""
    fan = make(Fan, curve=STRAIGHT, power_w=2.0)
    assert pressure(fan, 30) == pytest.approx(30, rel=1e-3)
    assert pressure(fan, 15, speed=0.5) == pytest.approx(30 / 4, rel=1e-3)
    assert fan.electrical_w_at(0.5) == pytest.approx(0.25)
    assert fan.air_heat_w == fan.electrical_w_at(1.0)


def test_a_fan_builds_up_less_pressure_in_thin_air() -> None:
    fan = make(Fan)
    assert pressure(fan, 30, MOUNTAIN) / pressure(fan, 30) == pytest.approx(MOUNTAIN.density / 1.2)


def test_a_curve_taken_in_other_air_says_so() -> None:
    thin = {**STRAIGHT, "provenance": {"kind": "measured", "density_kg_m3": 0.9}}
    assert pressure(make(Fan, curve=thin), 30) == pytest.approx(30 * 1.2 / 0.9, rel=1e-3)


def test_a_fan_without_power_or_too_slow_to_start_is_a_hole() -> None:
    fan = make(Fan, start_percent=30, size_mm=100, free_percent=40, standing_loss=2.0)
    assert isinstance(element(fan, speed=0.3), Pump)
    for standing in (element(fan, speed=0.29), element(fan, stopped=True)):
        assert isinstance(standing, Opening)
    area = 0.4 * math.pi / 4 * 0.1**2
    for sign in (1, -1):
        expected = sign * 2.0 * 1.2 / 2 * (0.01 / area) ** 2
        assert fan.stopped_element.dp(sign * 0.01, STANDARD)[0] == pytest.approx(expected, rel=1e-3)


def test_a_fan_can_stand_however_slow_it_may_start() -> None:
    assert not make(Fan, start_percent=0).turns(Setting(speed=0.0))


def test_sound_of_a_fan_is_not_made_up() -> None:
    assert make(Fan, sound_dba=None).sound_dba_at(1.0) is None
    assert make(Fan, sound_dba=30).sound_dba_at(0.0) is None
    assert make(Fan, sound_dba=30).sound_dba_at(1.0) == 30


@pytest.mark.parametrize("size", Fan.classes)
def test_fan_classes_are_of_the_size_that_builders_know(size: str) -> None:
    """Common practice, no source: such fans turn 3 to 40 % of their power into air power, and stay below 40 dB(A)."""
    fan = make(Fan, **Fan.classes[size])
    assert f"{fan.size_mm:g} mm" == size
    assert (fan.width_mm, fan.height_mm) == (fan.size_mm, fan.size_mm)
    air_power = max(point.air_m3_h * H * point.pressure_pa for point in fan.curve.points)
    assert 0.03 < air_power / fan.power_w < 0.4
    assert 20 < fan.sound_dba < 40


def test_a_default_fan_is_of_a_class() -> None:
    for name, value in Fan.classes["80 mm"].items():
        assert getattr(make(Fan), name) == value


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([(0, 30)], "a fan curve needs at least 2 points, got 1"),
        ([(0, 30), (20, 30)], r"the pressure does not fall \(from 30 Pa to 30 Pa\)"),
        ([(20, 30), (20, 10)], "flows must rise from point to point, got 20 m³/h after 20 m³/h"),
    ],
)
def test_points_that_are_no_fan_curve_are_refused(rows: list[tuple[float, float]], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        make(Fan, curve={"points": [{"air_m3_h": flow, "pressure_pa": dp} for flow, dp in rows]})


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], "needs at least 1 point, got 0"),
        ([(20, 5), (10, 8)], "flows must rise from point to point, got 10 m³/h"),
        ([(20, 5), (40, 5)], "drops must rise from point to point, got 5 Pa after 5 Pa"),
    ],
)
def test_points_that_are_no_filter_curve_are_refused(rows: list[tuple[float, float]], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        make(AirFilter, drop={"points": [{"air_m3_h": flow, "dp_pa": dp} for flow, dp in rows]})


def test_a_half_clogged_filter_costs_four_times_as_much() -> None:
    clean, clogged = (element(make(AirFilter, clogging_percent=share)) for share in (0, 50))
    flow = np.array([-40, 25, 90]) * H
    assert clogged.dp(flow, ROOM)[0] == pytest.approx(4 * clean.dp(flow, ROOM)[0])


def test_a_filter_passes_its_points() -> None:
    drop = AirFilter.model_fields["drop"].default
    ours = element(make(AirFilter)).dp(drop.flow, drop.provenance.state)[0]
    assert ours == pytest.approx(drop.dp, rel=0.05)


def test_a_sharp_hole_passes_what_free_jets_do() -> None:
    """Kirchhoff's contraction of a plane free jet, pi / (pi + 2) = 0.611, closed form; the default keeps two digits."""
    hole = make(Grille, free_area_mm2=1000)
    assert hole.discharge_coefficient == pytest.approx(math.pi / (math.pi + 2), abs=0.005)
    dp = 20.0
    flow = hole.discharge_coefficient * 1e-3 * math.sqrt(2 * dp / ROOM.density)
    assert element(hole).dp(flow, ROOM)[0] == pytest.approx(dp, rel=1e-4)


@pytest.mark.parametrize(("open_percent", "loss"), [(20, 51.5), (30, 18.2), (40, 8.25), (50, 4.0), (60, 2.0)])
def test_a_thin_perforated_sheet_is_that_of_idelchik(open_percent: float, loss: float) -> None:
    """Idelchik, Handbook of Hydraulic Resistance, table of sharp-edged perforated plates; from memory."""
    sheet = make(Grille, shape="thin perforated sheet", open_percent=open_percent)
    assert sheet.face_loss == pytest.approx(loss, rel=0.03)


@pytest.mark.parametrize("open_percent", [30, 50, 70])
def test_a_sheet_loses_its_jet_too_and_published_laws_differ_by_less_than_the_band(open_percent: float) -> None:
    """Thin sheets by Idelchik, bars by Blevins: up to a quarter apart, as their edges are."""
    shapes = ("thin perforated sheet", "square bars")
    sheet, bars = (make(Grille, shape=shape, open_percent=open_percent) for shape in shapes)
    assert sheet.loss_coefficient == pytest.approx((open_percent / 100) ** 2 * (sheet.face_loss + 1))
    assert bars.loss_coefficient == pytest.approx(sheet.loss_coefficient, rel=sheet.relative_tolerance)


def test_a_wide_perforated_wall_with_few_holes_is_as_costly_as_its_holes() -> None:
    few = make(Grille, shape="thin perforated sheet", open_percent=5)
    assert few.loss_coefficient == pytest.approx(make(Grille).loss_coefficient, rel=0.1)


def test_a_known_loss_is_taken_as_it_is() -> None:
    assert make(Grille, shape="known loss", known_loss=5.5).loss_coefficient == 5.5


def test_a_grille_outside_of_its_law_is_refused_with_the_range() -> None:
    with pytest.raises(ValidationError, match="must be 30 to 70 % for rounded bars, got 80 %"):
        make(Grille, shape="rounded bars", open_percent=80)


def test_a_supply_turns_what_it_loses_into_heat() -> None:
    """Common practice: 800 W at 90 % gives 80 to 89 W of heat, half of that at half load."""
    supply = make(Supply, rating_w=800, efficiency_percent=90)
    assert 80 <= supply.loss_w(800) <= 89
    assert supply.loss_w(400) == pytest.approx(supply.loss_w(800) / 2)
    assert supply.loss_w(0) == 0


def test_efficiency_by_load_goes_straight_from_point_to_point_and_level_beyond() -> None:
    rows = [(20, 80), (60, 90), (100, 86)]
    curve = {"points": [{"load_percent": load, "efficiency_percent": value} for load, value in rows]}
    supply = make(Supply, rating_w=200, efficiency_by_load=curve)
    expected = {0: 0.8, 40: 0.8, 80: 0.85, 120: 0.9, 160: 0.88, 300: 0.86}
    assert {load: supply.efficiency_at(load) for load in expected} == pytest.approx(expected)
    assert supply.loss_w(120) == pytest.approx(120 / 0.9 - 120)


@pytest.mark.parametrize("percent", [0, -5, 101])
def test_an_efficiency_is_above_0_and_at_most_1(percent: float) -> None:
    with pytest.raises(ValidationError):
        make(Supply, efficiency_percent=percent)
    with pytest.raises(ValidationError):
        make(Supply, efficiency_by_load={"points": [{"load_percent": 50, "efficiency_percent": percent}]})


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([], "at least 1 point"),
        ([{"load_percent": 50, "efficiency_percent": 90}] * 2, "got 50 % after 50 %"),
    ],
)
def test_points_that_are_no_efficiency_curve_are_refused(points: list[dict[str, float]], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        make(Supply, efficiency_by_load={"points": points})


@pytest.mark.parametrize("load", [-1.0, math.nan, math.inf])
def test_a_load_that_is_none_is_refused_by_name(load: float) -> None:
    with pytest.raises(PartDataError, match="Left brick: the load must be at least 0 W") as refused:
        make(Supply, name="Left brick").loss_w(load)
    assert refused.value.part == "x"


def test_a_supply_feeds_each_part_once() -> None:
    supply = make(Supply, feeds=[{"part": "pump"}, {"part": "fan"}])
    assert Build.model_validate_json(Build(name="b", parts=(supply,)).model_dump_json()).part("x") == supply
    with pytest.raises(ValidationError, match="part 'pump' stands here twice"):
        make(Supply, feeds=[{"part": "pump"}, {"part": "pump"}])


def test_air_stands_warmer_in_a_dead_corner() -> None:
    drive = make(AirComponent, load_w=12, stagnation_factor=2.0)
    assert drive.air_heat_w == 12
    assert drive.air_around_c(chamber_c=30.0, entering_c=22.0) == pytest.approx(38.0)
    assert make(AirComponent).air_around_c(30.0, 22.0) == pytest.approx(30.0)

"""Pumps at the operating point: power, heat, thick coolant, curves that are flat or rise, standing impellers."""

import pytest

from loopsim.build import Build, Placement, edits
from loopsim.curves import DropCurve, DropPoint, HeadCurve, HeadPoint, PowerCurve, PowerPoint, Provenance
from loopsim.parts import Block, Manifold, Part, Pump, Reservoir, Tube, TubeRun
from loopsim.studies import OperatingPoint, failures, operating_point
from loopsim.units import GRAVITY, from_si

LAYOUT = "layout 1"
DIPPED = ((0, 4.0), (100, 3.5), (200, 3.8), (300, 2.0), (400, 0.5))
# By hand: the raw line from (200, 3.8) to (300, 2.0) is down to the 3.5 m of the dip at 200 + 100 * 0.3 / 1.8.
DIP_FROM, DIP_TO = 100.0, 200.0 + 100.0 * 0.3 / 1.8


def pump(name: str = "pump", rows: tuple[tuple[float, float], ...] = DIPPED, **values: object) -> Pump:
    curve = HeadCurve(points=tuple(HeadPoint(flow_l_h=flow, head_m=head) for flow, head in rows))
    return Pump(id=name, name=name.title(), curve=curve, **values)


def block(flow_l_h: float, dp_kpa: float) -> Block:
    drop = DropCurve(points=(DropPoint(flow_l_h=flow_l_h, dp_kpa=dp_kpa),))
    return Block(id="block", name="Block", drop=drop)


def bench(parts: list[Part], joints: list[tuple[str, str]]) -> Build:
    """Parts in a row of 100 mm steps, joined by wide tube that costs next to nothing."""
    build = Build(name="bench", tubes=(Tube(id="t", name="20/24", bore_mm=20, outer_mm=24),))
    for number, part in enumerate(parts):
        placement = Placement(part=part.id, x_mm=100.0 * (number + 1), y_mm=100.0, height_mm=0.0)
        build = edits.add_part(build, LAYOUT, part, placement).build
    for start, end in joints:
        run = TubeRun(id=edits.free_run_id(build.layout()), start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build


def single(the_pump: Pump, the_block: Block) -> Build:
    joints = [
        ("reservoir.outlet", "pump.inlet"),
        ("pump.outlet", "block.inlet"),
        ("block.outlet", "reservoir.inlet"),
    ]
    return bench([Reservoir(id="reservoir", name="Reservoir"), the_pump, the_block], joints)


def side_by_side(the_block: Block) -> Build:
    """Two pumps with the dipped curve between two manifolds."""
    manifolds = [Manifold(id=name, name=name) for name in ("inlet", "outlet")]
    joints = [("outlet.main", "block.inlet"), ("block.outlet", "inlet.main")]
    for number in (1, 2):
        joints += [
            (f"inlet.branch_{number}", f"pump_{number}.inlet"),
            (f"pump_{number}.outlet", f"outlet.branch_{number}"),
        ]
    return bench([*manifolds, pump("pump_1"), pump("pump_2"), the_block], joints)


def codes(point: OperatingPoint) -> set[str]:
    return {finding.code for finding in point.findings}


def with_speed(build: Build, percent: float) -> Build:
    return edits.change_placement(build, LAYOUT, "pump", speed_percent=percent).build


def test_power_is_split_between_coolant_and_air() -> None:
    """Energy: all that is drawn ends as heat; the efficiency is ``rho g H Q`` over it."""
    made = single(pump(rated_power_w=20.0, heat_to_coolant_percent=60.0), block(300, 20.0))
    running = operating_point(made).pumps[0]
    assert running.power == 20.0
    assert running.power_provenance == "guess"
    assert (running.heat_to_coolant, running.heat_to_air) == pytest.approx((12.0, 8.0))
    state = made.coolant.state
    assert running.efficiency == pytest.approx(state.density * GRAVITY * running.head * running.flow / 20.0)


def test_a_stopped_pump_draws_nothing_and_heats_nothing() -> None:
    stopped = operating_point(single(pump(), block(300, 20.0)), stopped={"pump"}).pumps[0]
    assert (stopped.power, stopped.efficiency, stopped.heat_to_coolant, stopped.heat_to_air) == (0, 0, 0, 0)


def test_points_of_the_power_are_read_at_the_flow_and_go_with_the_cube_of_the_speed() -> None:
    """By hand: 10 W at rest and 18 W at 400 L/h are 14 W at 200 L/h; at half speed and flow an eighth."""
    rows = tuple(PowerPoint(flow_l_h=flow, power_w=power) for flow, power in ((0, 10.0), (400, 18.0)))
    curve = PowerCurve(points=rows, provenance=Provenance(kind="measured"))
    made = pump(power=curve)
    density = curve.provenance.state.density
    flow = 200.0 / 3.6e6
    assert made.electrical_power(flow, 1.0, density) == pytest.approx(14.0)
    assert made.electrical_power(flow / 2, 0.5, density) == pytest.approx(14.0 / 8)
    assert made.electrical_power(3 * flow, 1.0, density) == pytest.approx(18.0)
    assert made.electrical_power(flow, 1.0, 1.1 * density) == pytest.approx(1.1 * 14.0)
    assert (made.power_provenance(flow, 1.0), made.power_provenance(3 * flow, 1.0)) == ("measured", "guess")


def test_the_power_is_no_datum_of_the_flow() -> None:
    """A measured head curve with a guessed power still gives a measured flow."""
    guessed = PowerCurve(points=(PowerPoint(flow_l_h=0, power_w=10.0),), provenance=Provenance(kind="guess"))
    curve = pump().curve.with_values(provenance=Provenance(kind="measured"))
    (origin,) = pump(power=guessed).with_values(curve=curve).provenances
    assert origin.kind == "measured"


def test_more_power_into_the_liquid_than_is_drawn_is_found() -> None:
    point = operating_point(single(pump(rated_power_w=0.5), block(300, 20.0)))
    assert "power_data" in codes(point)
    assert point.pumps[0].heat_to_coolant == pytest.approx(0.5)
    assert "power_data" not in codes(operating_point(single(pump(rated_power_w=20.0), block(300, 20.0))))


@pytest.mark.parametrize(
    ("kind", "share", "temperature_c", "marked"),
    [("water", 0.0, 20, False), ("water", 0.0, 60, False), ("propylene_glycol", 0.5, 0, True)],
)
def test_coolant_far_thicker_than_the_data_is_marked(kind: str, share: float, temperature_c: float, marked) -> None:
    made = single(pump(), block(300, 20.0))
    coolant = made.coolant.with_values(kind=kind, glycol_mass_fraction=share, temperature_c=temperature_c)
    point = operating_point(made.with_values(coolants=(coolant,)))
    assert ("thick_liquid" in codes(point)) is marked
    if marked:
        (text,) = [each.text for each in point.findings if each.code == "thick_liquid"]
        water = pump().curve.provenance.state
        ratio = (coolant.state.viscosity / coolant.state.density) / (water.viscosity / water.density)
        assert f"{ratio:.1f} times as thick" in text


def test_a_curve_taken_on_the_thick_coolant_itself_is_not_marked() -> None:
    made = single(pump(), block(300, 20.0))
    coolant = made.coolant.with_values(kind="propylene_glycol", glycol_mass_fraction=0.5, temperature_c=0)
    origin = Provenance(kind="measured", medium="propylene_glycol", glycol_mass_fraction=0.5, temperature_c=0)
    own = made.part("pump").curve.with_values(provenance=origin)
    made = edits.change_part(made.with_values(coolants=(coolant,)), "pump", curve=own).build
    assert "thick_liquid" not in codes(operating_point(made))


@pytest.mark.parametrize("percent", [100.0, 50.0])
def test_a_point_in_a_dip_is_unsteady_between_the_flows_of_the_raw_curve(percent: float) -> None:
    """At half speed all flows are half, by the affinity laws."""
    speed = percent / 100
    made = with_speed(single(pump(), block(150 * speed, 33.0 * speed**2)), percent)
    point = operating_point(made)
    assert DIP_FROM * speed < from_si(point.pumps[0].flow, "l_h") < DIP_TO * speed
    limits = [from_si(flow, "l_h") for flow in point.pumps[0].unsteady.flow]
    assert limits == pytest.approx([DIP_FROM * speed, DIP_TO * speed])
    assert point.pumps[0].unsteady.share is None
    assert "levelled_curve" not in codes(point)
    (text,) = [each.text for each in point.findings if each.code == "unsteady"]
    assert f"between {DIP_FROM * speed:.0f} L/h and {DIP_TO * speed:.0f} L/h" in text


def test_a_point_beside_the_dip_is_steady_but_the_curve_is_marked() -> None:
    point = operating_point(single(pump(), block(300, 15.0)))
    assert from_si(point.pumps[0].flow, "l_h") > DIP_TO
    assert point.pumps[0].unsteady is None
    assert "levelled_curve" in codes(point)
    assert "unsteady" not in codes(point)


def test_pumps_side_by_side_in_a_dip_may_share_unevenly() -> None:
    """By hand: of a sum S either carries at least what the other, at most 216.7 L/h, leaves, or 100 L/h if more."""
    point = operating_point(side_by_side(block(300, 33.0)))
    whole = sum(from_si(each.flow, "l_h") for each in point.pumps)
    least = max(DIP_FROM, whole - DIP_TO) / whole
    assert 2 * DIP_FROM < whole < 2 * DIP_TO
    for each in point.pumps:
        assert each.unsteady.share == pytest.approx((least, 1 - least))
    texts = [each.text for each in point.findings if each.code == "unsteady"]
    assert len(texts) == 2
    assert all(f"may carry {100 * least:.0f} to {100 * (1 - least):.0f} %" in text for text in texts)


def test_the_curve_of_the_points_stays_as_given_beside_the_levelled_one() -> None:
    law = pump().make_flow_paths()[0].element.law
    assert [from_si(flow, "l_h") for flow in law.raw_flow] == pytest.approx([flow for flow, _ in DIPPED])
    assert law.raw_head.tolist() == [head for _, head in DIPPED]


def test_what_a_standing_impeller_lets_back_is_named_a_guess_with_its_band() -> None:
    """The less it resists, the more runs back and the less stays in the loop: the band holds the stated share."""
    falling = ((0, 4.1), (200, 3.6), (400, 1.9), (480, 0.7))
    made = side_by_side(block(300, 33.0))
    for name in ("pump_1", "pump_2"):
        made = edits.change_part(made, name, curve=pump(rows=falling).curve).build
    case = failures(made).cases[0]
    least, most = case.share_between
    assert least < case.share < most
    assert case.point.of(case.stopped).flow == pytest.approx(-case.back_flow)
    assert f"is a guess: {100 * least:.0f} to {100 * most:.0f} % may stay" in case.sentence
    (text,) = [each.text for each in case.point.findings if each.code == "stopped_estimate"]
    assert "±50 %" in text


def test_a_measured_standing_impeller_has_no_band() -> None:
    drop = DropCurve(points=(DropPoint(flow_l_h=200, dp_kpa=15.0),), provenance=Provenance(kind="measured"))
    made = side_by_side(block(300, 33.0))
    for name in ("pump_1", "pump_2"):
        made = edits.change_part(made, name, stopped_forward=drop, stopped_backward=drop).build
    case = failures(made).cases[0]
    assert case.back_flow > 0
    assert case.point.of(case.stopped).provenance == "measured"
    assert case.share_between is None
    assert "guess" not in case.sentence

"""Tube runs: material, turns, elbow fittings, flattened bends, runs of no length."""

import math
from collections.abc import Sequence
from typing import get_args

import pytest
from fluids import friction
from pydantic import ValidationError

from loopsim.elements import Tube as TubeElement
from loopsim.elements import elbow_loss, flattened_area, mitre_loss, narrowing_loss, widening_loss
from loopsim.geometry import Spot
from loopsim.parts import Corner, Port, Tube, TubeRun
from loopsim.parts.tube_run import Material

BORE_MM = 10.0


def stock(**values: object) -> Tube:
    return Tube(id="t", name="T", bore_mm=BORE_MM, outer_mm=13.0, **values)


def element(tube: Tube, turns: Sequence[str] = (), **values: object) -> TubeElement:
    """A run along quarter turns of 200 mm between ports of its own bore."""
    step, spots = 200.0, [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (2.0, 1.0), (2.0, 2.0)]
    corners = [Corner(x_mm=step * x, y_mm=step * y, turn=turn) for (x, y), turn in zip(spots[1:], turns, strict=False)]
    run = TubeRun(id="r", start="a.p", end="b.p", tube="t", corners=tuple(corners), **values)
    x, y = spots[len(turns) + 1]
    port = Port("p", Spot(0, 0, 0), 0.0, BORE_MM)
    return run.element(tube, run.path(Spot(0, 0, 20), Spot(step * x, step * y, 20)), port, port)


@pytest.mark.parametrize("material", get_args(Material))
def test_every_material_has_a_roughness_of_new_tube(material: str) -> None:
    """0.5 to 10 um, the range of all smooth tube; common practice, no source."""
    assert 0.5e-6 <= stock(material=material).roughness <= 10e-6


@pytest.mark.parametrize(("material", "named"), [("drawn copper or brass", "Brass"), ("glass", "Glass")])
def test_drawn_tube_and_glass_are_as_rough_as_moody_says(material: str, named: str) -> None:
    """Moody (1944), five millionths of a foot, as the `fluids` library has it; ours is rounded to two digits."""
    assert stock(material=material).roughness == pytest.approx(friction.material_roughness(named), rel=0.02)


def test_a_roughness_that_is_given_counts_before_the_material() -> None:
    assert stock(material="rubber", roughness_um=3.0).roughness == pytest.approx(3e-6)
    assert stock(material="rubber", roughness_um=0.0).roughness == 0.0
    assert element(stock(material="rubber")).roughness == pytest.approx(1e-5)


def test_an_unknown_material_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValidationError, match="'plastic', 'rubber', 'drawn copper or brass'"):
        stock(material="lead")


def test_each_corner_costs_what_its_turn_costs() -> None:
    bore = BORE_MM / 1e3
    elbow, mitre = elbow_loss(bore, 90.0), mitre_loss(bore, 90.0)
    made = element(stock(), ["elbow", "mitre", "elbow"])
    assert made.loss_coefficient == pytest.approx(2 * elbow.k + mitre.k)
    assert made.laminar_coefficient == pytest.approx(2 * elbow.k1 + mitre.k1)


def test_a_narrow_elbow_fitting_costs_its_own_bore_and_both_changes() -> None:
    """On the velocity in the tube, by hand: (10/7)^4 times all, K1 by (10/7)^3."""
    ratio, narrow = 10 / 7, elbow_loss(0.007, 90.0)
    share = (7 / 10) ** 2
    made = element(stock(elbow_bore_mm=7.0), ["elbow"])
    assert made.loss_coefficient == pytest.approx(ratio**4 * (narrow.k + widening_loss(share) + narrowing_loss(share)))
    assert made.laminar_coefficient == pytest.approx(ratio**3 * narrow.k1)


def test_flattened_bends_cost_more_and_elbows_the_same() -> None:
    """Turning goes with one over the area squared and the wall with its cube, so K grows by a factor in between."""
    round_, flat = (element(stock(), ["bend"], flattening_percent=share) for share in (0.0, 30.0))
    wall = 0.031 * math.pi / 2 * 4  # f at Re 1e4 times the arc over the bore; f to two digits
    area = flattened_area(0.3)
    grown = (flat.loss_coefficient + wall) / (round_.loss_coefficient + wall)
    assert 1 / area**2 < grown < 1 / area**3
    assert element(stock(), ["elbow"], flattening_percent=30.0) == element(stock(), ["elbow"])


def test_flattening_beyond_what_still_is_a_tube_is_refused() -> None:
    with pytest.raises(ValidationError, match="less than or equal to 60"):
        element(stock(), ["bend"], flattening_percent=80.0)


@pytest.mark.parametrize("length_mm", [0.0, 0.05])
def test_a_run_between_ports_that_touch_costs_as_good_as_nothing(length_mm: float) -> None:
    run = TubeRun(id="r", start="a.p", end="b.p", tube="t")
    port = Port("p", Spot(0, 0, 0), 0.0, BORE_MM)
    made = run.element(stock(), run.path(Spot(0, 0, 20), Spot(length_mm, 0, 20)), port, port)
    assert made.length == pytest.approx(1e-4)
    assert made.loss_coefficient == 0.0


def test_a_kink_costs_a_narrowing_and_a_widening_on_the_area_it_leaves() -> None:
    """Borda and Carnot, and Idelchik's sharp edge, by hand for a fifth of the area: (0.5 0.8^0.75 + 0.8^2) / 0.2^2."""
    kinked, whole = element(stock(), kinked_percent=80.0), element(stock())
    assert kinked.loss_coefficient - whole.loss_coefficient == pytest.approx((0.5 * 0.8**0.75 + 0.64) / 0.04)
    assert kinked.reverse_loss_coefficient - whole.reverse_loss_coefficient == pytest.approx(26.57, abs=0.01)

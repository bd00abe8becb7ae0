"""Turns of a tube: bends round and flattened, elbow fittings, mitres."""

import math

import numpy as np
import pytest
from fluids import fittings
from scipy.integrate import quad

from loopsim.elements import Tube, bend_loss, elbow_loss, flattened_area, mitre_loss
from loopsim.media import State

BORE, ROUGHNESS = 0.01, 1.5e-6


@pytest.mark.parametrize(
    ("angle", "row"),
    [(90.0, "Elbow, 90°, Standard (R/D = 1), Screwed"), (45.0, "Elbow, 45°, Standard (R/D = 1), All types")],
)
@pytest.mark.parametrize("reynolds", [50.0, 1500.0, 2e4])
@pytest.mark.parametrize("bore", [0.006, 0.01, 0.025])
def test_an_elbow_fitting_costs_what_the_two_k_method_says(angle: float, row: str, reynolds: float, bore: float):
    """Hooper (1981), as the `fluids` library has it; its bore is in inches."""
    loss = elbow_loss(bore, angle)
    assert loss.k + loss.k1 / reynolds == pytest.approx(fittings.Hooper2K(bore / 0.0254, reynolds, name=row))


@pytest.mark.parametrize(
    ("angle", "row"),
    [
        (90.0, "Elbow, 90°, Mitered (R/D = 1.5), 1 weld (90° angle)"),
        (45.0, "Elbow, 45°, Mitered (R/D=1.5), 1 weld (45° angle)"),
    ],
)
def test_a_mitre_in_slow_flow_costs_what_the_two_k_method_says(angle: float, row: str) -> None:
    """Where K1 is nearly all: at Re 1 the library's K, another one than ours, is below 1 %."""
    loss = mitre_loss(BORE, angle)
    assert loss.k1 + loss.k == pytest.approx(fittings.Hooper2K(BORE / 0.0254, 1.0, name=row), rel=0.01)


def test_a_tighter_turn_costs_more() -> None:
    """Common practice, no source: a sweeping bend costs less than a tight one, that less than a mitre."""
    wide, tight = bend_loss(BORE, 90.0, 0.05, ROUGHNESS), bend_loss(BORE, 90.0, 0.01, ROUGHNESS)
    assert wide.k < tight.k < mitre_loss(BORE, 90.0).k
    assert wide.k1 < tight.k1 < mitre_loss(BORE, 90.0).k1


def test_a_bend_too_tight_to_be_one_is_a_mitre() -> None:
    assert bend_loss(BORE, 70.0, 0.4 * BORE, ROUGHNESS) == mitre_loss(BORE, 70.0)


def test_a_bend_of_long_radius_costs_no_more_in_slow_flow_than_its_wall() -> None:
    """Eight bores: 64 pi/2 8 = 804 velocity heads over Re of wall alone, already in the centre line."""
    assert bend_loss(BORE, 90.0, 8 * BORE, ROUGHNESS).k1 == 0.0


def test_a_loss_on_a_narrower_bore_weighs_more_on_the_wider_one() -> None:
    """Bore twice as wide: velocity a quarter, velocity head a sixteenth, Reynolds number a half."""
    turned = elbow_loss(BORE, 90.0).on_other_bore(2.0)
    own, flow, state = elbow_loss(BORE, 90.0), 1e-4, State(998.0, 1e-3)
    stated = Tube(BORE, 1.0, 0.0, own.k, None, own.k1).dp(flow, state)[0] - Tube(BORE, 1.0).dp(flow, state)[0]
    on_wide = Tube(2 * BORE, 1.0, 0.0, turned.k, None, turned.k1).dp(flow, state)[0]
    assert on_wide - Tube(2 * BORE, 1.0).dp(flow, state)[0] == pytest.approx(stated, rel=1e-6)


def _perimeter(long: float, short: float) -> float:
    """Of an ellipse with these half axes, by the elliptic integral."""
    return 4 * quad(lambda t: math.hypot(long * math.sin(t), short * math.cos(t)), 0.0, math.pi / 2)[0]


@pytest.mark.parametrize("flattening", [0.0, 0.1, 0.3, 0.6])
def test_a_flattened_tube_keeps_its_perimeter(flattening: float) -> None:
    """The area is ``pi a b``; with the short axis given, the long one must give back the round tube's perimeter."""
    short = 1 - flattening
    long = flattened_area(flattening) / short
    assert _perimeter(long, short) == pytest.approx(2 * math.pi, rel=2e-3)


def _laminar_ellipse(flow: float, long: float, short: float, length: float, viscosity: float) -> float:
    """Drop of fully developed laminar flow by the velocity field, integrated: ``u = dp/L a^2 b^2 / (2 mu (a^2+b^2))``.

    The mean over the ellipse of ``1 - x^2/a^2 - y^2/b^2`` is a half.
    """
    peak_per_gradient = long**2 * short**2 / (2 * viscosity * (long**2 + short**2))
    return flow / (math.pi * long * short * peak_per_gradient / 2) * length


@pytest.mark.parametrize("flattening", [0.1, 0.3, 0.5])
def test_a_flattened_bend_in_slow_flow_rubs_like_an_ellipse(flattening: float) -> None:
    """So long that turning costs nothing beyond the wall: drop of the ellipse less that of the round tube."""
    radius, viscosity, flow = 10 * BORE, 1e-3, 1e-7
    length, short = math.pi / 2 * radius, (1 - flattening) * BORE / 2
    long = flattened_area(flattening) * BORE / 2 / (1 - flattening)
    wanted = _laminar_ellipse(flow, long, short, length, viscosity) - 128 * viscosity * length * flow / (
        math.pi * BORE**4
    )
    v = flow / (math.pi / 4 * BORE**2)
    k1 = bend_loss(BORE, 90.0, radius, ROUGHNESS, flattening).k1
    assert k1 * viscosity * v / (2 * BORE) == pytest.approx(wanted, rel=1e-9)


def test_flattening_costs_more_the_further_it_goes() -> None:
    losses = [bend_loss(BORE, 90.0, 0.04, ROUGHNESS, share) for share in np.linspace(0.0, 0.6, 13)]
    assert (np.diff([loss.k for loss in losses]) > 0).all()
    assert (np.diff([loss.k1 for loss in losses]) > 0).all()


def test_a_flattened_bend_in_fast_flow_has_the_wall_of_its_hydraulic_diameter() -> None:
    """By hand: area and hydraulic diameter shrink alike by a, so the wall costs 1/a^3 and the turning 1/a^2."""
    area, radius, f = flattened_area(0.2), 0.04, fittings.friction_factor(1e4, ROUGHNESS / BORE)
    wall = f * math.pi / 2 * radius / BORE
    turning = fittings.bend_rounded(Di=BORE, angle=90.0, fd=f, rc=radius, method="Rennels") - wall
    wanted = turning / area**2 + wall / area**3 - wall
    assert bend_loss(BORE, 90.0, radius, ROUGHNESS, 0.2).k == pytest.approx(wanted, rel=1e-3)

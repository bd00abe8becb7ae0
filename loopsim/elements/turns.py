"""What it costs a tube to turn: drawn bends, round or flattened, elbow fittings, mitred corners."""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from loopsim.elements.friction import friction_factor

__all__ = ["FittingLoss", "bend_loss", "elbow_loss", "flattened_area", "mitre_loss"]

_REYNOLDS = 1e4  # bend losses are tabulated for turbulent flow; the friction factor in them is taken here
_INCH = 0.0254

# Hooper (1981): K1 and K of screwed elbows, radius over bore 1, by the angle, those of 180 degrees from memory; between
# the angles on straight lines.
_ANGLES = (0.0, 45.0, 90.0, 180.0)
_ELBOW_K1 = (0.0, 500.0, 800.0, 1000.0)
_ELBOW_K = (0.0, 0.2, 0.4, 0.6)
_MITRE_K1 = (0.0, 500.0, 1000.0, 1000.0)  # of one weld; beyond 90 degrees a guess


class FittingLoss(NamedTuple):
    """Loss of fittings, ``K + K1/Re`` velocity heads of a bore: K in turbulent flow, K1 in slow and thick liquid."""

    k: float = 0.0
    k1: float = 0.0

    def with_more(self, other: "FittingLoss") -> "FittingLoss":
        """Both one after the other, on the same bore."""
        return FittingLoss(self.k + other.k, self.k1 + other.k1)

    def on_other_bore(self, ratio: float) -> "FittingLoss":
        """The same loss in velocity heads of a bore `ratio` times the one it is stated on."""
        return FittingLoss(self.k * ratio**4, self.k1 * ratio**3)


@lru_cache(maxsize=4096)  # most corners of a drawing are quarter turns of one radius
def bend_loss(bore: float, angle_deg: float, radius: float, roughness: float, flattening: float = 0.0) -> FittingLoss:
    """Loss of a bend of the tube, beyond the wall friction of its centre line as a straight round tube.

    A bend sharper than half a bore is taken as a mitre.

    Parameters
    ----------
    bore : float
        Inner diameter of the round tube, whose velocity the loss is on [m].
    angle_deg : float
        By how much it turns, 0 to 180 [degrees].
    radius : float
        Of the centre line [m].
    roughness : float
        Of the wall [m].
    flattening : float
        Share of the bore that the short axis has lost at the bend, 0 to below 1.

    References
    ----------
    K: Rennels and Hudson, Pipe Flow (2012), rounded bends, as in the `fluids` library. K1: that of Hooper's elbows
    (Chemical Engineering 88 (1981) 96-100), less the laminar friction that the centre line already counts; an
    estimate for radii beyond 1.5 bores. Flattened: the bend is an ellipse of the round tube's perimeter all along;
    laminar friction of an ellipse exactly (White, Viscous Fluid Flow, from memory), turbulent friction on the
    hydraulic diameter, K and K1 on the velocity in the ellipse; its transitions are gradual and cost nothing. A guess
    as a whole, too high where laminar and turbulent share meet. Checked in tests/elements/test_turns.py.
    """
    if radius < bore / 2:
        return mitre_loss(bore, angle_deg)
    from fluids.fittings import bend_rounded  # on first use, it loads slowly

    f = float(friction_factor(_REYNOLDS, roughness / bore))
    bores = math.radians(angle_deg) * radius / bore  # length of the arc
    turning = float(bend_rounded(Di=bore, angle=angle_deg, fd=f, rc=radius, method="Rennels")) - f * bores
    laminar = max(0.0, _of_angle(angle_deg, _ELBOW_K1) - 64 * bores)
    area, narrow = flattened_area(flattening), _ellipse_friction(flattening)
    return FittingLoss(
        k=turning / area**2 + f * bores * (1 / area**3 - 1),
        k1=laminar / area**2 + 64 * bores * (narrow - 1),
    )


def elbow_loss(bore: float, angle_deg: float) -> FittingLoss:
    """Loss of an elbow fitting of standard radius (one bore), on the velocity in its own bore [m].

    References
    ----------
    Hooper, Chemical Engineering 88 (1981) 96-100, two-K method, screwed elbow with its size factor
    ``1 + 1 inch / bore``, which is tested for large bores only: below 10 mm a guess. Checked in
    tests/elements/test_turns.py.
    """
    return FittingLoss(_of_angle(angle_deg, _ELBOW_K) * (1 + _INCH / bore), _of_angle(angle_deg, _ELBOW_K1))


def mitre_loss(bore: float, angle_deg: float) -> FittingLoss:
    """Loss of a sharp corner, two tubes cut and glued at half the angle, on the velocity in the bore [m].

    References
    ----------
    K: Rennels and Hudson, Pipe Flow (2012), mitre bends, as in the `fluids` library. K1: Hooper (1981), mitred elbow
    of one weld. Checked in tests/elements/test_turns.py and tests/proof/test_fluids.py.
    """
    from fluids.fittings import bend_miter  # on first use, it loads slowly

    return FittingLoss(float(bend_miter(angle=angle_deg, Di=bore, method="Rennels")), _of_angle(angle_deg, _MITRE_K1))


def flattened_area(flattening: float) -> float:
    """Area of a flattened round tube over that of the round one; the same ratio holds for the hydraulic diameter.

    Parameters
    ----------
    flattening : float
        Share of the bore that the short axis has lost, 0 to below 1.

    References
    ----------
    The perimeter stays; that of the ellipse by Ramanujan's first formula, solved for the long axis.
    """
    long, short = _half_axes(flattening)
    return long * short


def _ellipse_friction(flattening: float) -> float:
    """Laminar friction of the ellipse over that of the round tube, at one flow."""
    long, short = _half_axes(flattening)
    return (long**2 + short**2) / (2 * long**3 * short**3)


def _half_axes(flattening: float) -> tuple[float, float]:
    """Half the long and the short axis, over the radius of the round tube."""
    short = 1 - flattening
    linear, constant = 8 * short - 12, 6 * short**2 - 12 * short + 4
    return (math.sqrt(linear**2 - 24 * constant) - linear) / 12, short


def _of_angle(angle_deg: float, values: tuple[float, ...]) -> float:
    return float(np.interp(angle_deg, _ANGLES, values))

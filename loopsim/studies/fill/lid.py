"""Flat clear plastic under pressure: deflection and stress by plate theory. Advice with margins, no certificate."""

from dataclasses import dataclass
from functools import lru_cache
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.errors import PartDataError

__all__ = [
    "ACRYLIC",
    "POLYCARBONATE",
    "ClearPlastic",
    "LidLoad",
    "lid_load",
    "plate_coefficients",
    "round_plate",
    "strip_load",
]

FloatArray = NDArray[np.float64]
Edges = Literal["free to turn", "clamped"]

_TERMS = 60  # of the double series: the moments are then within 0.1 % up to a side ratio of 4
_POWERS = 6  # of the polynomials along each side of a clamped plate
LARGEST_RATIO = 4.0  # longer plates bend like a strip of this ratio


@dataclass(frozen=True, slots=True)
class ClearPlastic:
    """A clear plastic in sheets, at room temperature.

    Attributes
    ----------
    name : str
    modulus : float
        Young's modulus, the lowest published, which bends most [Pa].
    poisson : float
    strength : float
        In short tension [Pa].
    long_time : float
        Stress that may stand for years [Pa].
    """

    name: str
    modulus: float
    poisson: float
    strength: float
    long_time: float


# Acrylic: DesignerData, maker's advice of 1500 psi for lasting loads. Polycarbonate from memory: usual sheet values.
ACRYLIC = ClearPlastic("acrylic", 2.855e9, 0.37, 71e6, 10.342e6)
POLYCARBONATE = ClearPlastic("polycarbonate", 2.3e9, 0.38, 60e6, 13.8e6)


@dataclass(frozen=True, slots=True)
class LidLoad:
    """A lid under pressure.

    Attributes
    ----------
    deflection : float
        At the middle [m].
    stress : float
        The largest, bending [Pa].
    short_margin, lasting_margin : float
        Strength, and stress that may last, over it; below 1 it fails.
    is_stiff : bool
        True while it bends by less than half of its thickness, where this theory holds; beyond, it is on the safe side.
    verdict : str
        ``"fine"``: a margin of 2 to what may last; ``"for the test only"``: 4 to its strength; ``"too thin"``.
    """

    deflection: float
    stress: float
    short_margin: float
    lasting_margin: float
    is_stiff: bool
    verdict: Literal["fine", "for the test only", "too thin"]


def lid_load(
    span: float,
    width: float,
    thickness: float,
    pressure: float,
    plastic: ClearPlastic = ACRYLIC,
    edges: Edges = "free to turn",
) -> LidLoad:
    """Deflection and stress of a rectangular lid held all round.

    Screwed or laid on a soft gasket its edges are free to turn; glued on stiff walls they are between that and
    clamped. The spans are those from bolt row to bolt row.

    Parameters
    ----------
    span, width : float
        Its two sides, above 0 [m].
    thickness : float
        Above 0 [m].
    pressure : float
        Gauge [Pa].
    plastic : ClearPlastic
    edges : str
        ``"free to turn"`` or ``"clamped"``.

    Raises
    ------
    PartDataError
        If a size is not above 0.

    References
    ----------
    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells. Checked in tests/reference/test_plates.py.
    """
    for name, value in (("span", span), ("width", width), ("thickness", thickness)):
        if not value > 0:
            raise PartDataError(f"lid: {name} must be above 0 mm, got {1e3 * value:g} mm", field=name)
    short, long = sorted((span, width))
    alpha, beta = plate_coefficients(long / short, edges, plastic.poisson)
    deflection = alpha * pressure * short**4 / (plastic.modulus * thickness**3)
    stress = beta * pressure * short**2 / thickness**2
    return _judged(deflection, stress, thickness, plastic)


def _judged(deflection: float, stress: float, thickness: float, plastic: ClearPlastic) -> LidLoad:
    short, lasting = (limit / stress if stress > 0 else np.inf for limit in (plastic.strength, plastic.long_time))
    verdict: Literal["fine", "for the test only", "too thin"] = (
        "fine" if lasting >= 2 else "for the test only" if short >= 4 else "too thin"
    )
    return LidLoad(deflection, stress, short, lasting, deflection <= thickness / 2, verdict)


@lru_cache(maxsize=256)
def plate_coefficients(ratio: float, edges: Edges = "free to turn", poisson: float = 0.3) -> tuple[float, float]:
    """Coefficients of a plate under even pressure: ``w = alpha q b^4 / (E t^3)``, ``sigma = beta q b^2 / t^2``.

    Parameters
    ----------
    ratio : float
        Longer side over the shorter, b; at least 1, and taken as 4 beyond that.
    edges : str
        ``"free to turn"``: stress at the middle; ``"clamped"``: at the middle of the longer edges.
    poisson : float

    References
    ----------
    Navier's double series; for clamped edges Ritz's method with polynomials. Checked in
    tests/reference/test_plates.py.
    """
    ratio = min(max(ratio, 1.0), LARGEST_RATIO)
    bending = 12 * (1 - poisson**2)  # E t^3 over the plate's stiffness
    if edges == "clamped":
        deflection, edge_moment = _clamped(ratio)
        return bending * deflection, 6 * edge_moment
    deflection, across, along = _free_to_turn(ratio)
    return bending * deflection, 6 * (across + poisson * along)


def _free_to_turn(ratio: float) -> tuple[float, float, float]:
    """Deflection and curvatures across and along at the middle, all of q, b and the stiffness being 1."""
    odd = np.arange(1, 2 * _TERMS, 2)
    m, n = np.meshgrid(odd, odd, indexing="ij")  # m across the short side, n along the long one
    sign = (-1.0) ** ((m + n) // 2 - 1)
    across, along = (m * pi) ** 2, (n * pi / ratio) ** 2
    w = 16 * sign / (pi**2 * m * n * (across + along) ** 2)
    return float(w.sum()), float((w * across).sum()), float((w * along).sum())


def _clamped(ratio: float) -> tuple[float, float]:
    """Deflection at the middle, and moment at the middle of the longer edge, all of q, b and the stiffness being 1.

    Ritz's method: ``w = (x^2 - 1)^2 (y^2 - 1)^2`` times even powers of both, on a square from -1 to 1.
    """
    shapes = [_shape(power) for power in range(_POWERS)]
    bent = [shape.deriv(2) for shape in shapes]
    plain, bend, cross = (_integrals(*pair) for pair in ((shapes, shapes), (bent, bent), (shapes, bent)))
    x_scale, y_scale = 2.0, 2.0 / ratio  # from the square to a plate of 1 by ratio
    stiffness = (
        x_scale**4 * np.kron(bend, plain)
        + y_scale**4 * np.kron(plain, bend)
        + x_scale**2 * y_scale**2 * (np.kron(cross.T, cross) + np.kron(cross, cross.T))
    )
    load = np.array([_integral(f, np.polynomial.Polynomial([1.0])) for f in shapes])
    shares = np.linalg.solve(stiffness, np.kron(load, load)).reshape(_POWERS, _POWERS)
    middle = np.array([f(0.0) for f in shapes])
    edge = np.array([f.deriv(2)(1.0) for f in shapes])
    return float(middle @ shares @ middle), float(abs(x_scale**2 * (edge @ shares @ middle)))


def _shape(power: int) -> np.polynomial.Polynomial:
    polynomial = np.polynomial.Polynomial
    return polynomial([-1.0, 0.0, 1.0]) ** 2 * polynomial([0.0, 0.0, 1.0]) ** power


def _integrals(ones: list[np.polynomial.Polynomial], others: list[np.polynomial.Polynomial]) -> FloatArray:
    return np.array([[_integral(f, g) for g in others] for f in ones])


def _integral(f: np.polynomial.Polynomial, g: np.polynomial.Polynomial) -> float:
    """Of the product, from -1 to 1."""
    whole = (f * g).integ()
    return float(whole(1.0) - whole(-1.0))


def round_plate(
    radius: float, thickness: float, pressure: float, plastic: ClearPlastic = ACRYLIC, edges: Edges = "free to turn"
) -> LidLoad:
    """The same for a round window, held at its rim.

    References
    ----------
    Timoshenko and Woinowsky-Krieger: ``w = q R^4 / (64 D)`` clamped, ``(5 + nu)/(1 + nu)`` times that free to turn;
    ``sigma = 3/4 q R^2/t^2`` at the clamped rim, ``3 (3 + nu)/8`` at the middle. Checked in
    tests/reference/test_plates.py.
    """
    nu = plastic.poisson
    stiffness = plastic.modulus * thickness**3 / (12 * (1 - nu**2))
    clamped = edges == "clamped"
    deflection = pressure * radius**4 / (64 * stiffness) * (1.0 if clamped else (5 + nu) / (1 + nu))
    stress = (0.75 if clamped else 3 * (3 + nu) / 8) * pressure * (radius / thickness) ** 2
    return _judged(deflection, stress, thickness, plastic)


def strip_load(
    span: float,
    thickness: float,
    pressure: float,
    plastic: ClearPlastic = ACRYLIC,
    held: Literal["both edges", "one edge"] = "both edges",
) -> LidLoad:
    """The same for a long strip: the lid or floor over a channel, held at both edges; a wall held at its foot only.

    References
    ----------
    Cylindrical bending, Timoshenko and Woinowsky-Krieger: ``w = q b^4 / (384 D)``, ``sigma = q b^2 / (2 t^2)`` clamped
    at both edges; ``q b^4 / (8 D)`` and ``3 q b^2 / t^2`` at one. Checked in tests/reference/test_plates.py.
    """
    stiffness = plastic.modulus * thickness**3 / (12 * (1 - plastic.poisson**2))
    bends, strains = (384.0, 0.5) if held == "both edges" else (8.0, 3.0)
    deflection = pressure * span**4 / (bends * stiffness)
    return _judged(deflection, strains * pressure * (span / thickness) ** 2, thickness, plastic)

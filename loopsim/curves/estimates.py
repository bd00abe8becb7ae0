"""Curves from the one or two numbers that many sheets give. All are guesses and say so in their provenance.

The functions make the curves; `ESTIMATES` lists, for each kind of curve, what a builder may give instead of points, as
records that describe themselves to any front end.
"""

from typing import ClassVar

from loopsim.curves.data import DataCurve, DropCurve, DropPoint, HeadCurve, HeadPoint, Provenance
from loopsim.errors import PartDataError
from loopsim.fields import Record, number
from loopsim.units import KV_PER_CV, from_si, to_si

__all__ = [
    "ESTIMATES",
    "Estimate",
    "FlowCoefficient",
    "LargestHeadAndFlow",
    "OneDrop",
    "drop_curve_from_cv",
    "drop_curve_from_kv",
    "drop_curve_from_one_number",
    "head_curve_from_two_numbers",
]

_POINTS_OF_PARABOLA = 7
_SHARES_OF_KV = (0.02, 0.05, 0.1, 0.2, 0.5, 1.0)  # flows at which the square law is written down, over that at 1 bar
_PA_PER_BAR = 1e5


def head_curve_from_two_numbers(max_head_m: float, max_flow_l_h: float, relative_tolerance: float = 0.2) -> HeadCurve:
    """Pump curve from the head at no flow and the flow at no head.

    A parabola ``H = H0 (1 - (Q/Qmax)^2)`` through seven points. Real curves of small pumps lie on either side of
    it: the band of 20 % is a guess.

    Parameters
    ----------
    max_head_m : float
        Head with the outlet shut, above 0 [m].
    max_flow_l_h : float
        Flow with nothing behind the outlet, above 0 [L/h].
    relative_tolerance : float
        Half width of the band, as a share of the head.

    Raises
    ------
    PartDataError
        If a number is not above 0.
    """
    _check_above_0("pump curve", "m", max_head_m=max_head_m)
    _check_above_0("pump curve", "L/h", max_flow_l_h=max_flow_l_h)
    shares = [number / (_POINTS_OF_PARABOLA - 1) for number in range(_POINTS_OF_PARABOLA)]
    return HeadCurve(
        points=tuple(HeadPoint(flow_l_h=max_flow_l_h * share, head_m=max_head_m * (1 - share**2)) for share in shares),
        provenance=Provenance(kind="guess", source="parabola through the largest head and the largest flow"),
        relative_tolerance=relative_tolerance,
    )


def drop_curve_from_one_number(
    flow_l_h: float, dp_kpa: float, exponent: float = 1.85, relative_tolerance: float = 0.3
) -> DropCurve:
    """Pressure drop curve of water through one point.

    Parameters
    ----------
    flow_l_h, dp_kpa : float
        The point, both above 0 [L/h], [kPa].
    exponent : float
        How steeply the drop rises there: 1 in laminar flow to 2; 1.7 to 2 is usual.
    relative_tolerance : float
        Half width of the band, as a share of the drop; 30 % is a guess.

    Raises
    ------
    PartDataError
        If a number is not above 0, or the exponent outside 1 to 2.
    """
    _check_above_0("pressure drop", "L/h", flow_l_h=flow_l_h)
    _check_above_0("pressure drop", "kPa", dp_kpa=dp_kpa)
    if not 1 <= exponent <= 2:
        raise PartDataError(f"pressure drop: exponent must lie between 1 and 2, got {exponent:g}", field="exponent")
    return DropCurve(
        points=(DropPoint(flow_l_h=flow_l_h, dp_kpa=dp_kpa),),
        exponent=exponent,
        provenance=Provenance(kind="guess", source=f"one point, taken on with the exponent {exponent:g}"),
        relative_tolerance=relative_tolerance,
    )


def drop_curve_from_kv(kv_m3_h: float, relative_tolerance: float = 0.2) -> DropCurve:
    """Pressure drop curve from a flow coefficient.

    Square law from 2 % of the flow at 1 bar up to that flow. Fittings that are narrow for their flow cost more
    than this at its lower end, where flow is no longer turbulent; the band of 20 % is a guess.

    Parameters
    ----------
    kv_m3_h : float
        Flow of water at 15 °C and 1 bar, above 0 [m3/h].
    relative_tolerance : float
        Half width of the band, as a share of the drop.

    Raises
    ------
    PartDataError
        If `kv_m3_h` is not above 0.

    References
    ----------
    IEC 60534-1, definition of the flow coefficient.
    """
    _check_above_0("pressure drop", "m3/h", kv_m3_h=kv_m3_h)
    at_one_bar = from_si(to_si(kv_m3_h, "kv_m3_h"), "l_h")
    return DropCurve(
        points=tuple(
            DropPoint(flow_l_h=at_one_bar * share, dp_kpa=from_si(_PA_PER_BAR * share**2, "kpa"))
            for share in _SHARES_OF_KV
        ),
        provenance=Provenance(
            kind="guess", source=f"square law from a flow coefficient of {kv_m3_h:g} m3/h", temperature_c=15.0
        ),
        relative_tolerance=relative_tolerance,
    )


def drop_curve_from_cv(cv: float, relative_tolerance: float = 0.2) -> DropCurve:
    """Pressure drop curve from a flow coefficient in US units: `drop_curve_from_kv` of ``0.865 Cv``.

    Parameters
    ----------
    cv : float
        Flow of water at 1 psi, above 0 [US gal/min].
    relative_tolerance : float
        Half width of the band, as a share of the drop.

    Raises
    ------
    PartDataError
        If `cv` is not above 0.

    References
    ----------
    IEC 60534-1, conversion of flow coefficients.
    """
    _check_above_0("pressure drop", "US gal/min", cv=cv)
    return drop_curve_from_kv(KV_PER_CV * cv, relative_tolerance)


class Estimate(Record):
    """A few numbers that stand for a curve."""

    title: ClassVar[str]

    def curve(self) -> DataCurve:
        """The curve that they make."""
        raise NotImplementedError


class LargestHeadAndFlow(Estimate):
    """What the front of many a pump's box says."""

    title: ClassVar = "largest head and largest flow"

    max_head_m: float = number("largest head", "head with the outlet shut", above=0.0)
    max_flow_l_h: float = number("largest flow", "flow with nothing behind the outlet", above=0.0)

    def curve(self) -> HeadCurve:
        """A parabola through both."""
        return head_curve_from_two_numbers(self.max_head_m, self.max_flow_l_h)


class OneDrop(Estimate):
    """A single point of a pressure drop curve."""

    title: ClassVar = "drop at one flow"

    flow_l_h: float = number("flow", "flow at which the drop is known", above=0.0)
    dp_kpa: float = number("drop", "pressure drop at this flow", above=0.0)
    exponent: float = number(
        "exponent", "how steeply the drop rises: 1 in laminar flow to 2; 1.7 to 2 is usual", 1.85, least=1.0, most=2.0
    )

    def curve(self) -> DropCurve:
        """The point, taken on with the exponent."""
        return drop_curve_from_one_number(self.flow_l_h, self.dp_kpa, self.exponent)


class FlowCoefficient(Estimate):
    """The flow coefficient of a valve, a coupling, a fitting."""

    title: ClassVar = "flow coefficient, Kv or Cv"

    kv_m3_h: float = number("Kv or Cv", "flow of water at 1 bar, or in US gal/min at 1 psi", above=0.0)

    def curve(self) -> DropCurve:
        """The square law of this coefficient."""
        return drop_curve_from_kv(self.kv_m3_h)


ESTIMATES: dict[type[DataCurve], tuple[type[Estimate], ...]] = {
    HeadCurve: (LargestHeadAndFlow,),
    DropCurve: (OneDrop, FlowCoefficient),
}


def _check_above_0(what: str, unit: str, **values: float) -> None:
    for name, value in values.items():
        if not 0 < value < float("inf"):
            raise PartDataError(f"{what}: {name} must be above 0 {unit}, got {value:g} {unit}", field=name)

"""Heat of a radiator from the few numbers that many sheets give; a guess, and its provenance says so."""

from loopsim.curves.data import Provenance
from loopsim.curves.heat_data import RadiatorCurve, RadiatorPoint, radiator_points
from loopsim.errors import PartDataError
from loopsim.units import from_si, to_si

__all__ = ["radiator_curve_from_fan_rating"]

_FLOW_THROUGH_FINS, _BAND = 0.3, 0.3


def radiator_curve_from_fan_rating(
    w: float, flow_l_h: float, fan_count: int, fan_mm: float, fan_rpm: float
) -> RadiatorCurve:
    """What a radiator sheds, from a rating that states the speed of its fans instead of the flow of air.

    The flow is estimated as ``0.3 n d^3`` of each fan: axial fans of this size move about 0.6 n d^3 in the open, and
    fins let about half of it through (both from memory, common practice). The flow may lie off by a third, the heat
    at another flow by about a fifth; with the rating's own doubts the band is 30 %, a guess.

    Parameters
    ----------
    w : float
        Heat per 10 K of entering coolant above entering air, above 0 [W].
    flow_l_h : float
        Coolant flow of the rating, above 0 [L/h].
    fan_count, fan_mm, fan_rpm : int, float, float
        Fans side by side, frame size [mm] and speed [1/min] of each.

    Raises
    ------
    PartDataError
        If the estimated air, or the coolant, cannot carry that heat; the message names the flow needed.
    """
    air_flow = fan_count * _FLOW_THROUGH_FINS * to_si(fan_rpm, "rpm") * to_si(fan_mm, "mm") ** 3
    rating = RadiatorPoint(flow_l_h=flow_l_h, air_m3_h=from_si(air_flow, "m3_h"), heat_w=w)
    origin = Provenance(kind="guess", source="rating at a fan speed, its flow of air estimated")
    problem = radiator_points((rating,), origin, "coolant inlet").impossible()
    if problem:
        raise PartDataError(f"rating at a fan speed: {problem}", field="rating_w")
    return RadiatorCurve(points=(rating,), provenance=origin, relative_tolerance=_BAND)

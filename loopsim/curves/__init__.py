"""Data curves: the points a builder has, where they come from, and fits that keep a physical shape."""

from loopsim.curves.air_data import AirDropCurve, AirDropPoint, AirOrigin, FanCurve, FanPoint
from loopsim.curves.data import (
    PROVENANCE_KINDS,
    DataCurve,
    DropCurve,
    DropPoint,
    HeadCurve,
    HeadPoint,
    LiquidCurve,
    Origin,
    PowerCurve,
    PowerPoint,
    Provenance,
    ProvenanceKind,
    worst_provenance,
)
from loopsim.curves.drawn import DrawnCurve, drawn
from loopsim.curves.estimates import (
    ESTIMATES,
    Estimate,
    drop_curve_from_cv,
    drop_curve_from_kv,
    drop_curve_from_one_number,
    head_curve_from_two_numbers,
)
from loopsim.curves.fits import FallingHead, RisingDrop, falling_head, falling_polynomial, rising_drop
from loopsim.curves.heat_data import (
    ExchangerCurve,
    ExchangerPoint,
    HeatPoints,
    RadiatorCurve,
    RadiatorPoint,
    ResistanceCurve,
    ResistancePoint,
)
from loopsim.curves.heat_estimates import radiator_curve_from_fan_rating
from loopsim.curves.piecewise import CurveBank, PiecewiseCubic, monotone_slopes

__all__ = [
    "ESTIMATES",
    "PROVENANCE_KINDS",
    "AirDropCurve",
    "AirDropPoint",
    "AirOrigin",
    "CurveBank",
    "DataCurve",
    "DrawnCurve",
    "DropCurve",
    "DropPoint",
    "Estimate",
    "ExchangerCurve",
    "ExchangerPoint",
    "FallingHead",
    "FanCurve",
    "FanPoint",
    "HeadCurve",
    "HeadPoint",
    "HeatPoints",
    "LiquidCurve",
    "Origin",
    "PiecewiseCubic",
    "PowerCurve",
    "PowerPoint",
    "Provenance",
    "ProvenanceKind",
    "RadiatorCurve",
    "RadiatorPoint",
    "ResistanceCurve",
    "ResistancePoint",
    "RisingDrop",
    "drawn",
    "drop_curve_from_cv",
    "drop_curve_from_kv",
    "drop_curve_from_one_number",
    "falling_head",
    "falling_polynomial",
    "head_curve_from_two_numbers",
    "monotone_slopes",
    "radiator_curve_from_fan_rating",
    "rising_drop",
    "worst_provenance",
]

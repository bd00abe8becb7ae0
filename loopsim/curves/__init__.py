"""Data curves: the points a builder has, where they come from, and fits that keep a physical shape."""

from loopsim.curves.data import (
    PROVENANCE_KINDS,
    DataCurve,
    DropCurve,
    DropPoint,
    HeadCurve,
    HeadPoint,
    Provenance,
    ProvenanceKind,
    worst_provenance,
)
from loopsim.curves.estimates import drop_curve_from_kv, drop_curve_from_one_number, head_curve_from_two_numbers
from loopsim.curves.fits import FallingHead, RisingDrop, falling_head, falling_polynomial, rising_drop
from loopsim.curves.piecewise import CurveBank, PiecewiseCubic, monotone_slopes

__all__ = [
    "PROVENANCE_KINDS",
    "CurveBank",
    "DataCurve",
    "DropCurve",
    "DropPoint",
    "FallingHead",
    "HeadCurve",
    "HeadPoint",
    "PiecewiseCubic",
    "Provenance",
    "ProvenanceKind",
    "RisingDrop",
    "drop_curve_from_kv",
    "drop_curve_from_one_number",
    "falling_head",
    "falling_polynomial",
    "head_curve_from_two_numbers",
    "monotone_slopes",
    "rising_drop",
    "worst_provenance",
]

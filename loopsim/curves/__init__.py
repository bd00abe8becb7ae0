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
    "falling_head",
    "falling_polynomial",
    "monotone_slopes",
    "rising_drop",
    "worst_provenance",
]

"""How sure is it: bands on every figure, the share of machines within their limits, and what matters most."""

from loopsim.studies.tolerance.results import Band, Share, Tolerance
from loopsim.studies.tolerance.study import tolerance
from loopsim.studies.uncertain import Uncertain, uncertainties

__all__ = ["Band", "Share", "Tolerance", "Uncertain", "tolerance", "uncertainties"]

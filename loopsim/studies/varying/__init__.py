"""What if a number were another: sweeps over one or two of them."""

from loopsim.studies.varying.parameter import Parameter, parameter
from loopsim.studies.varying.results import Sweep, SweepPoint
from loopsim.studies.varying.sweep import Variation, each_point, sweep, varied

__all__ = ["Parameter", "Sweep", "SweepPoint", "Variation", "each_point", "parameter", "sweep", "varied"]

"""Can it be quieter: the slowest speeds of pumps and fans that hold every limit."""

from loopsim.studies.quiet.groups import SpeedGroup, set_speeds, speed_groups, whole_percent
from loopsim.studies.quiet.search import CURVE, Quiet, QuietPoint, each_quiet, quiet

__all__ = [
    "CURVE",
    "Quiet",
    "QuietPoint",
    "SpeedGroup",
    "each_quiet",
    "quiet",
    "set_speeds",
    "speed_groups",
    "whole_percent",
]

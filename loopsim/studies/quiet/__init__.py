"""Can it be quieter: the slowest speeds of pumps and fans that hold every limit."""

from loopsim.studies.quiet.groups import SpeedGroup, speed_groups
from loopsim.studies.quiet.search import Quiet, QuietPoint, quiet

__all__ = ["Quiet", "QuietPoint", "SpeedGroup", "quiet", "speed_groups"]

"""What the studies of heights answer with, from one place."""

from loopsim.studies.fill.air_results import AirMap, HighPoint, TiltPlan, TiltStep, Where
from loopsim.studies.fill.drain_results import Drain, DrainStep, Held, LowPoint
from loopsim.studies.fill.fill_results import GravityFill, PumpFlooding, StartUp, SuctionCover, TrappedPocket, Unreached

__all__ = [
    "AirMap",
    "Drain",
    "DrainStep",
    "GravityFill",
    "Held",
    "HighPoint",
    "LowPoint",
    "PumpFlooding",
    "StartUp",
    "SuctionCover",
    "TiltPlan",
    "TiltStep",
    "TrappedPocket",
    "Unreached",
    "Where",
]

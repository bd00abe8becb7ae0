"""What the study of tolerance answers with. SI throughout, temperatures in degrees Celsius."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.sentence import read_marks
from loopsim.studies.uncertain import Uncertain

__all__ = ["Band", "Share", "Tolerance"]


@dataclass(frozen=True, slots=True)
class Band:
    """How far one figure spreads.

    Attributes
    ----------
    key : str
        As in `loopsim.studies.figures`; ends in the unit in which front ends show it.
    middle : float
        With every input at its middle.
    mean, deviation : float
        Of the draws; the deviation is the standard one.
    low, median, high : float
        2.5, 50 and 97.5 per cent of the draws lie below.
    """

    key: str
    middle: float
    mean: float
    deviation: float
    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True)
class Share:
    """How much of a figure's variance one input explains by itself: its first-order Sobol index."""

    input: Uncertain
    share: float


@dataclass(frozen=True)
class Tolerance:
    """How far the answer can be trusted.

    Attributes
    ----------
    heat : HeatPoint
        With every input at its middle.
    inputs : tuple of Uncertain
    draws, seed : int
    bands : tuple of Band
        Flow, margin and coolant rise first, then each component's temperature.
    within : float or None
        Share of the draws in which every component holds its limit; None where none has one.
    shares : mapping of str to tuple of Share
        By a figure's key: its inputs, the one that matters most first.
    sentence : str
        The answer in words.
    """

    heat: HeatPoint
    inputs: tuple[Uncertain, ...]
    draws: int
    seed: int
    bands: tuple[Band, ...]
    within: float | None
    shares: Mapping[str, tuple[Share, ...]]
    sentence: str

    def __post_init__(self) -> None:
        read_marks(self, "sentence")

    @property
    def within_error(self) -> float | None:
        """Standard error of `within`, for so many draws."""
        return None if self.within is None else sqrt(self.within * (1 - self.within) / self.draws)

    def band(self, key: str) -> Band:
        """The band of a figure; KeyError if there is none."""
        return {band.key: band for band in self.bands}[key]

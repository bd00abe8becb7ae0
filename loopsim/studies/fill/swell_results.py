"""What the swell of a circuit's coolant comes to. SI throughout; front ends convert at their edge."""

from dataclasses import dataclass
from typing import Literal

from loopsim.studies.sentence import read_marks

__all__ = ["CircuitSwell", "SwellVerdict", "VesselRise"]

SwellVerdict = Literal["holds", "overflows", "too high", "bursts", "nowhere to go"]


@dataclass(frozen=True, slots=True)
class VesselRise:
    """The level of a vented vessel from cold to hot.

    Attributes
    ----------
    vessel, name : str
        Its id and name.
    rise : float
        Of its level [m].
    room : float
        From its level as drawn up to the lid's underside [m].
    """

    vessel: str
    name: str
    rise: float
    room: float


@dataclass(frozen=True, slots=True)
class CircuitSwell:
    """One circuit from cold to hot.

    Attributes
    ----------
    name : str
        Of the vessel that holds its pressure; of its coolant without one.
    coolant : str
    volume : float
        When cold, at the level as drawn [m3].
    cold_c, hot_c : float
        The room's temperature, at which it is filled, and the hottest coolant anywhere in it [°C].
    swell : float
        By how much the coolant grows; all of it is taken to be at its hottest, the safe side [m3].
    rises : tuple of VesselRise
        Of all vented vessels.
    cushion : str or None
        Id of the vessel whose gas holds the pressure where the circuit is sealed.
    gas : float
        Shut in, or above the levels of vented vessels: what there would be if they were sealed [m3].
    cold, hot : float
        Gauge pressure of that gas, sealed as drawn; inf where the swell takes up all of it [Pa].
    most : float
        To which it may go: the lowest rating, less what the pumps and the heights add at that part [Pa].
    weakest : str or None
        Name of that part; None where none states a rating and the usual test pressure counts.
    least_gas : float
        Air, shut in when cold at ambient pressure, that keeps below `most`; inf if heat alone exceeds it [m3].
    precharge : float
        Of the expansion vessel as drawn, or a usual one, gauge [Pa].
    vessel_size : float
        Least size of an expansion vessel with that charge; inf where `most` does not exceed it [m3].
    verdict : str
    sentences : tuple of str
    """

    name: str
    coolant: str
    volume: float
    cold_c: float
    hot_c: float
    swell: float
    rises: tuple[VesselRise, ...]
    cushion: str | None
    gas: float
    cold: float
    hot: float
    most: float
    weakest: str | None
    least_gas: float
    precharge: float
    vessel_size: float
    verdict: SwellVerdict = "holds"
    sentences: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        read_marks(self, "sentences")

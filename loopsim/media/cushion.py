"""Gas shut in over a coolant: how the coolant swells when it warms, and what that does to the gas."""

from dataclasses import dataclass

from loopsim.media.coolant import Coolant
from loopsim.units import STANDARD_ATMOSPHERE, ZERO_C

__all__ = ["Cushion", "swell"]


def swell(volume: float, coolant: Coolant, cold_c: float, hot_c: float) -> float:
    """Growth of a coolant's volume from cold to hot [m3]: ``V (rho_cold / rho_hot - 1)``; below 0 where it shrinks.

    Parameters
    ----------
    volume : float
        When cold [m3].
    coolant : Coolant
    cold_c, hot_c : float
        [°C].

    Raises
    ------
    MediumError
        If a temperature lies outside what is known of the coolant.
    """
    return volume * (coolant.at(cold_c).density / coolant.at(hot_c).density - 1)


@dataclass(frozen=True, slots=True)
class Cushion:
    """Gas that a vessel shut in while it was cold.

    The gas is taken to be as warm as the coolant, walls and tubes as stiff: both on the safe side.

    Attributes
    ----------
    gas : float
        Its volume when it was shut in [m3].
    gauge : float
        Its pressure then, over that of the air where it stands [Pa].
    taken_up : float
        Coolant that has pushed into it since, still cold [m3].
    touches_coolant : bool
        True where the coolant's vapour is in it too; False behind a membrane.
    """

    gas: float
    gauge: float = 0.0
    taken_up: float = 0.0
    touches_coolant: bool = True

    def pressure(
        self, volume: float, coolant: Coolant, cold_c: float, hot_c: float, ambient: float = STANDARD_ATMOSPHERE
    ) -> float:
        """Gauge pressure once the coolant of the loop has warmed; inf where its swell takes up all of the gas [Pa].

        Parameters
        ----------
        volume : float
            Of coolant in the loop when cold [m3].
        coolant : Coolant
        cold_c, hot_c : float
            When the gas was shut in, and now [°C].
        ambient : float
            Pressure of the air where it stands; no gauge reads below a vacuum: a lower `gauge` counts as one [Pa].

        Raises
        ------
        MediumError
            If a temperature lies outside what is known of the coolant.

        References
        ----------
        Ideal gas law for the dry gas, Dalton's law for the vapour. Checked in tests/media/test_cushion.py.
        """
        left = self.gas - self.taken_up - swell(volume, coolant, cold_c, hot_c)
        if left <= 0:
            return float("inf")
        shut_in, now = (coolant.at(each).vapour_pressure * self.touches_coolant for each in (cold_c, hot_c))
        dry = max(self.gauge + ambient - shut_in, 0.0) * (hot_c + ZERO_C) / (cold_c + ZERO_C)
        return dry * self.gas / left + now - ambient

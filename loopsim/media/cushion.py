"""Gas shut in over a coolant: how the coolant swells when it warms, and what that does to the gas."""

from dataclasses import dataclass

from loopsim.media.coolant import Coolant
from loopsim.units import STANDARD_ATMOSPHERE, ZERO_C

__all__ = ["Cushion", "least_gas", "swell"]


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
        dry, vapour = _warmed(self.gauge + ambient, coolant, cold_c, hot_c, self.touches_coolant)
        return dry * self.gas / left + vapour - ambient


def _warmed(
    pressure: float, coolant: Coolant, cold_c: float, hot_c: float, touches_coolant: bool = True
) -> tuple[float, float]:
    """Absolute pressures of dry gas, in the room it had, and of vapour, once gas shut in cold has warmed [Pa]."""
    cold, hot = (coolant.at(each).vapour_pressure * touches_coolant for each in (cold_c, hot_c))
    return max(pressure - cold, 0.0) * (hot_c + ZERO_C) / (cold_c + ZERO_C), hot


def least_gas(
    volume: float,
    coolant: Coolant,
    cold_c: float,
    hot_c: float,
    most: float,
    gauge: float = 0.0,
    ambient: float = STANDARD_ATMOSPHERE,
) -> float:
    """Least gas over the cold coolant that keeps a sealed loop at a pressure when hot [m3]; inf if heat exceeds it.

    The inverse of `Cushion.pressure`.

    Parameters
    ----------
    volume : float
        Of coolant when cold [m3].
    coolant : Coolant
    cold_c, hot_c : float
        [°C].
    most : float
        Gauge pressure that is allowed when hot [Pa].
    gauge : float
        At which it is sealed [Pa].
    ambient : float
        [Pa].

    Raises
    ------
    MediumError
        If a temperature lies outside what is known of the coolant.
    """
    grown = swell(volume, coolant, cold_c, hot_c)
    dry, vapour = _warmed(gauge + ambient, coolant, cold_c, hot_c)
    allowed = most + ambient - vapour
    return max(grown, 0.0) * allowed / (allowed - dry) if allowed > dry else float("inf")

"""A sealed loop: how the coolant swells, what that does to its cushion of gas, how large an expansion vessel is."""

from dataclasses import dataclass

from loopsim.errors import PartDataError
from loopsim.media import Coolant
from loopsim.units import STANDARD_ATMOSPHERE, from_si

__all__ = ["SealedLoop", "expansion_vessel", "least_cushion", "sealed_loop", "swell"]

KELVIN = 273.15


@dataclass(frozen=True, slots=True)
class SealedLoop:
    """A loop closed when cold, at its hottest.

    Attributes
    ----------
    swell : float
        By how much the coolant's volume grows [m3].
    pressure : float
        Of the cushion when hot, gauge; inf where the swell takes up all of it [Pa].
    least_cushion : float
        Gas when cold that keeps the weakest rating, inf if none does [m3].
    holds : bool
        True if the pressure stays at or below the weakest rating.
    """

    swell: float
    pressure: float
    least_cushion: float
    holds: bool


def swell(volume: float, coolant: Coolant, cold_c: float, hot_c: float) -> float:
    """Growth of a coolant's volume from cold to hot [m3]: ``V (rho_cold / rho_hot - 1)``.

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


def sealed_loop(
    volume: float,
    cushion: float,
    coolant: Coolant,
    cold_c: float,
    hot_c: float,
    rating: float,
    fill_gauge: float = 0.0,
    ambient: float = STANDARD_ATMOSPHERE,
) -> SealedLoop:
    """What a sealed loop does from ambient to its hottest. Walls and tubes are taken as stiff, the safe side.

    Parameters
    ----------
    volume, cushion : float
        Coolant and gas when cold [m3].
    coolant : Coolant
    cold_c, hot_c : float
        When it was closed, and at its hottest [°C].
    rating : float
        Gauge pressure of the weakest part, above the pump's own there [Pa].
    fill_gauge : float
        At which it was closed [Pa].
    ambient : float
        [Pa].

    Raises
    ------
    PartDataError
        If the cushion is not above 0.
    MediumError
        If a temperature lies outside what is known of the coolant.

    References
    ----------
    Ideal gas law for the dry gas, Dalton's law for the vapour. Checked in tests/studies/fill/test_cushion.py.
    """
    if not cushion > 0:
        shown = from_si(cushion, "ml")
        raise PartDataError(
            f"sealed loop: the gas cushion must be above 0 mL, got {shown:g} mL: a full loop without one bursts warm",
            field="cushion",
        )
    grown = swell(volume, coolant, cold_c, hot_c)
    left = cushion - grown
    dry = (fill_gauge + ambient - coolant.at(cold_c).vapour_pressure) * (hot_c + KELVIN) / (cold_c + KELVIN)
    vapour = coolant.at(hot_c).vapour_pressure
    pressure = dry * cushion / left + vapour - ambient if left > 0 else float("inf")
    least = least_cushion(volume, coolant, cold_c, hot_c, rating, fill_gauge, ambient)
    return SealedLoop(grown, pressure, least, pressure <= rating)


def least_cushion(
    volume: float,
    coolant: Coolant,
    cold_c: float,
    hot_c: float,
    rating: float,
    fill_gauge: float = 0.0,
    ambient: float = STANDARD_ATMOSPHERE,
) -> float:
    """Least gas when cold that keeps a sealed loop at its rating when hot [m3]; inf if heat alone exceeds it.

    Parameters and references as in `sealed_loop`.
    """
    grown = swell(volume, coolant, cold_c, hot_c)
    dry = (fill_gauge + ambient - coolant.at(cold_c).vapour_pressure) * (hot_c + KELVIN) / (cold_c + KELVIN)
    allowed = rating + ambient - coolant.at(hot_c).vapour_pressure
    return max(grown, 0.0) * allowed / (allowed - dry) if allowed > dry else float("inf")


def expansion_vessel(
    grown: float, precharge: float, most: float, reserve: float = 0.0, ambient: float = STANDARD_ATMOSPHERE
) -> float:
    """Least size of an expansion vessel with a membrane [m3].

    Parameters
    ----------
    grown : float
        What it must take up, see `swell` [m3].
    precharge, most : float
        Gauge pressure of its gas when empty, and the highest allowed when hot [Pa].
    reserve : float
        Coolant that it holds when cold, against losses [m3].
    ambient : float
        [Pa].

    Raises
    ------
    PartDataError
        If the highest pressure is not above the precharge.

    References
    ----------
    EN 12828, ``V = (Ve + Vwr) (pe + 1) / (pe - p0)`` in bar, from memory. Checked in
    tests/studies/fill/test_cushion.py.
    """
    if not most > precharge:
        raise PartDataError(
            f"expansion vessel: the highest pressure must be above the precharge of {from_si(precharge, 'bar'):g} bar, "
            f"got {from_si(most, 'bar'):g} bar",
            field="precharge_bar",
        )
    return (grown + reserve) * (most + ambient) / (most - precharge)

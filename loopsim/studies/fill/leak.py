"""The leak test with air: what the pressure may do, and what the rest says."""

from dataclasses import dataclass
from typing import Literal

from loopsim.media import Coolant
from loopsim.units import GRAVITY, STANDARD_ATMOSPHERE

__all__ = [
    "LEAK_CAUTIONS",
    "USUAL_TEST_PRESSURE",
    "LeakTest",
    "air_test_pressure",
    "expected_pressure",
    "leak_rate",
    "leak_test",
]

KELVIN = 273.15
USUAL_TEST_PRESSURE = 50_000.0  # of air at most in a whole loop, gauge; common practice [Pa]
SETTLING = 0.01  # share of the gauge pressure that soft tube takes up in the first minutes; a guess
GAUGE_ERROR = 500.0  # of a small gauge, between two readings; a guess [Pa]
TEMPERATURE_ERROR = 0.5  # of the air inside, between two readings; a guess [K]

LEAK_CAUTIONS = (
    "Unplug the machine; no electronics powered until the test has passed.",
    "Wear eye protection: compressed air stores energy, and clear plastic bursts into splinters.",
    "Stay at or below the lowest rating of any part; what the makers of the parts say goes before this sheet.",
    "Release the pressure before you open anything, and put trays under wet joints.",
)

Verdict = Literal["tight", "doubtful", "leaks"]


@dataclass(frozen=True, slots=True)
class LeakTest:
    """One leak test read.

    Attributes
    ----------
    expected : float
        Gauge pressure at the end if nothing leaks [Pa].
    by_temperature, by_vapour, by_barometer : float
        Parts of the change that is expected: from the temperature of the dry air, from the vapour in a wet loop, and
        from the change of ambient pressure [Pa].
    unexplained : float
        Expected less read at the end: above 0 if pressure is missing [Pa].
    allowed : float
        What reading errors and settling of soft tube may hide [Pa].
    leak : float or None
        Leak rate over the time [Pa m3/s], None if volume or time is not given.
    verdict : str
        ``"tight"``: within what is allowed; ``"doubtful"``: up to twice that, test longer; ``"leaks"``.
    """

    expected: float
    by_temperature: float
    by_vapour: float
    by_barometer: float
    unexplained: float
    allowed: float
    leak: float | None
    verdict: Verdict


def expected_pressure(
    gauge: float,
    start_c: float,
    end_c: float,
    ambient: float = STANDARD_ATMOSPHERE,
    ambient_end: float | None = None,
    coolant: Coolant | None = None,
) -> float:
    """Gauge pressure of a tight loop after a change of temperature [Pa].

    The dry air follows the ideal gas law at constant volume; above liquid its vapour adds its own pressure at both
    temperatures.

    Parameters
    ----------
    gauge : float
        At the start [Pa].
    start_c, end_c : float
        Temperature of the air inside [°C].
    ambient, ambient_end : float
        Ambient pressure at start and end; the same if one is given [Pa].
    coolant : Coolant, optional
        In a wet loop; None where it is dry.

    References
    ----------
    Ideal gas law and Dalton's law. Checked in tests/reference/test_leaks.py.
    """
    wet_start, wet_end = (0.0 if coolant is None else coolant.at(each).vapour_pressure for each in (start_c, end_c))
    dry = gauge + ambient - wet_start
    return dry * (end_c + KELVIN) / (start_c + KELVIN) + wet_end - (ambient if ambient_end is None else ambient_end)


def leak_rate(
    volume: float,
    seconds: float,
    start: float,
    end: float,
    start_c: float = 20.0,
    end_c: float = 20.0,
) -> float:
    """Gas lost per time, as pressure times volume at the starting temperature [Pa m3/s]; below 0 where it gains.

    Divided by ``R T`` it is in moles per second.

    Parameters
    ----------
    volume : float
        Of gas inside, above 0 [m3].
    seconds : float
        Between the readings, above 0.
    start, end : float
        Absolute pressures, or both gauge at one temperature [Pa].
    start_c, end_c : float
        [°C].

    References
    ----------
    ``V (p1/T1 - p2/T2) / (t2 - t1)``, as in US 40 CFR 1065.644. Checked in tests/reference/test_leaks.py.
    """
    at_start = end * (start_c + KELVIN) / (end_c + KELVIN)
    return volume * (start - at_start) / seconds


def leak_test(
    gauge_start: float,
    gauge_end: float,
    start_c: float,
    end_c: float,
    ambient: float = STANDARD_ATMOSPHERE,
    ambient_end: float | None = None,
    coolant: Coolant | None = None,
    volume: float | None = None,
    seconds: float | None = None,
) -> LeakTest:
    """Read a leak test.

    Parameters
    ----------
    gauge_start, gauge_end : float
        Read at the gauge [Pa].
    start_c, end_c : float
        Temperature of the air inside [°C].
    ambient, ambient_end : float
        Ambient pressure at start and end [Pa].
    coolant : Coolant, optional
        In a wet loop.
    volume, seconds : float, optional
        Of gas inside [m3], and between the readings [s]: for the leak rate.
    """
    ambient_end = ambient if ambient_end is None else ambient_end
    expected = expected_pressure(gauge_start, start_c, end_c, ambient, ambient_end, coolant)
    dry = expected_pressure(gauge_start, start_c, end_c, ambient, ambient)
    wet = expected_pressure(gauge_start, start_c, end_c, ambient, ambient, coolant)
    unexplained = expected - gauge_end
    per_kelvin = (gauge_start + ambient) / (start_c + KELVIN)
    allowed = GAUGE_ERROR + TEMPERATURE_ERROR * per_kelvin + SETTLING * gauge_start
    leak = volume * unexplained / seconds if volume is not None and seconds else None
    verdict: Verdict = "tight" if unexplained <= allowed else "doubtful" if unexplained <= 2 * allowed else "leaks"
    return LeakTest(expected, dry - gauge_start, wet - dry, ambient - ambient_end, unexplained, allowed, leak, verdict)


def air_test_pressure(ratings: list[float], column: float, density: float) -> float:
    """Gauge pressure for a test with air: the lowest rating, but no more than is usual [Pa].

    Parameters
    ----------
    ratings : list of float
        Rated pressures of the parts that have one [Pa].
    column : float
        Of liquid above the lowest part in a wet loop, which adds to the air's pressure there [m].
    density : float
        [kg/m3].
    """
    weakest = min(ratings, default=USUAL_TEST_PRESSURE) - density * GRAVITY * column
    return max(min(weakest, USUAL_TEST_PRESSURE), 0.0)

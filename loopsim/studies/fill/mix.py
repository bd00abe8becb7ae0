"""What to measure out for a fill: water and glycol, with a margin."""

from loopsim.build import BuildCoolant
from loopsim.media import water
from loopsim.studies.fill.plan_results import Mix

__all__ = ["MARGIN", "mix"]

MARGIN = 0.1  # on top of what the loop takes, for spills and what a loop takes up as air leaves; common practice
GLYCOL_DENSITY = {"propylene_glycol": 1036.0, "ethylene_glycol": 1113.0}  # pure, at 20 °C; handbooks, from memory


def mix(coolant: BuildCoolant, needed: float, temperature_c: float = 20.0, margin: float = MARGIN) -> Mix:
    """Water and glycol for a volume of coolant; the masses are exact, the volumes hold near 20 °C.

    Parameters
    ----------
    coolant : BuildCoolant
    needed : float
        What the loop takes [m3].
    temperature_c : float
        At which it is measured out; glycol expands by less than 0.1 % per kelvin, which is left out [°C].
    margin : float
        Share on top.

    Raises
    ------
    MediumError
        If nothing is known of the coolant at this temperature.
    """
    volume = needed * (1 + margin)
    mass = volume * coolant.medium.at(temperature_c).density
    glycol_mass = mass * coolant.glycol_mass_fraction
    water_mass = mass - glycol_mass
    return Mix(
        coolant=coolant.medium.name,
        needed=needed,
        margin=margin,
        volume=volume,
        water=water_mass / water().at(temperature_c).density,
        glycol=glycol_mass / GLYCOL_DENSITY[coolant.kind] if glycol_mass > 0 else 0.0,
        water_mass=water_mass,
        glycol_mass=glycol_mass,
        temperature_c=temperature_c,
    )

"""The properties of a medium at one temperature."""

from dataclasses import dataclass
from math import inf, nan

from loopsim.errors import MediumError

__all__ = ["State"]


@dataclass(frozen=True, slots=True)
class State:
    """What the solver sees of a medium at one temperature, whatever the medium is.

    Usually made by `Coolant.at`. Density and viscosity alone are enough for flow, so that a published case which
    states just these two can be solved as printed; what is not given is nan, and anything computed from it is too.

    Attributes
    ----------
    density : float
        Above 0 [kg/m3].
    viscosity : float
        Dynamic viscosity, above 0 [Pa s].
    heat_capacity : float
        Specific heat capacity at constant pressure [J/(kg K)].
    conductivity : float
        Thermal conductivity [W/(m K)].
    vapour_pressure : float
        Absolute pressure at which the medium boils [Pa].
    vapour_pressure_estimated : bool
        True where no data exist and `vapour_pressure` is Raoult's law.
    temperature_c : float
        The temperature these values hold for [°C].

    Raises
    ------
    MediumError
        If density or viscosity is not a number above 0.
    """

    density: float
    viscosity: float
    heat_capacity: float = nan
    conductivity: float = nan
    vapour_pressure: float = nan
    vapour_pressure_estimated: bool = False
    temperature_c: float = nan

    def __post_init__(self) -> None:
        if not 0.0 < self.density < inf:
            raise MediumError(f"medium: density must be above 0 kg/m3, got {self.density:g}", field="density")
        if not 0.0 < self.viscosity < inf:
            raise MediumError(f"medium: viscosity must be above 0 Pa s, got {self.viscosity:g}", field="viscosity")

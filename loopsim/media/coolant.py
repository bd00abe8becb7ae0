"""Coolants: water, and mixes of water with a glycol."""

from dataclasses import dataclass
from functools import cached_property
from itertools import starmap

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.errors import MediumError, did_you_mean
from loopsim.media.state import State
from loopsim.media.tables import PROPERTIES, PropertyCurves, Table, load_table

__all__ = ["COOLANT_KINDS", "Coolant", "ethylene_glycol", "propylene_glycol", "water"]

COOLANT_KINDS = ("water", "propylene_glycol", "ethylene_glycol")
LOWEST_C, HIGHEST_C = -20.0, 100.0
LARGEST_GLYCOL_MASS_FRACTION = 0.6  # the data of both glycols end here
ROUNDING = 1e-9  # what is computed to lie on a limit, such as 0.55 + 0.05, is allowed

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Coolant:
    """A liquid coolant at atmospheric pressure, from its freezing point (or -20 °C) to 100 °C.

    Within 0.05 % of CoolProp for density, heat capacity and conductivity, and 0.2 % for viscosity and vapour
    pressure. For mixes this is not the accuracy against the bottle: the data are for glycol and water alone, and
    published tables of inhibited glycols differ from them by up to 0.7 % in density, 1 % in heat capacity, 2 % in
    conductivity and 5 % in viscosity. The vapour pressure of a mix is an estimate (Raoult's law) and marked so.

    Parameters
    ----------
    kind : str
        One of `COOLANT_KINDS`.
    glycol_mass_fraction : float
        Mass of glycol over mass of mix, 0 to 0.6; 0 for water. A share by volume is a different number.

    Raises
    ------
    MediumError
        If the kind is unknown, or the mass fraction lies outside its range.

    References
    ----------
    Water: IAPWS-95 with the IAPWS transport equations. Mixes: A. Melinder, Properties of Secondary Working Fluids for
    Indirect Systems, IIR 2010. Both as implemented in CoolProp. Checked in tests/media.
    """

    kind: str
    glycol_mass_fraction: float = 0.0

    def __post_init__(self) -> None:
        if self.kind not in COOLANT_KINDS:
            known = ", ".join(COOLANT_KINDS)
            hint = did_you_mean(str(self.kind), COOLANT_KINDS)
            raise MediumError(f"coolant: unknown kind {self.kind!r}; known are {known}{hint}", field="kind")
        largest = 0.0 if self.kind == "water" else LARGEST_GLYCOL_MASS_FRACTION
        if not 0.0 <= self.glycol_mass_fraction <= largest + ROUNDING:
            raise MediumError(self._fraction_message(largest), field="glycol_mass_fraction")

    @property
    def name(self) -> str:
        """In words, with the glycol in percent by mass."""
        substance = self.kind.replace("_", " ")
        return substance if self.kind == "water" else f"{100 * self.glycol_mass_fraction:g} % {substance} in water"

    @cached_property
    def freezing_point_c(self) -> float:
        """Temperature at which the first ice appears [°C]."""
        return self._table.freezing_point(self.glycol_mass_fraction)

    @cached_property
    def lowest_temperature_c(self) -> float:
        """Lowest temperature with known properties: the freezing point, or -20 °C if that is higher [°C]."""
        return max(self.freezing_point_c, LOWEST_C)

    @property
    def highest_temperature_c(self) -> float:
        """Highest temperature with known properties [°C]."""
        return HIGHEST_C

    def at(self, temperature_c: float) -> State:
        """All properties at one temperature.

        Parameters
        ----------
        temperature_c : float
            From `lowest_temperature_c` to `highest_temperature_c` [°C].

        Returns
        -------
        State

        Raises
        ------
        MediumError
            If the temperature lies outside, or is not a number.
        """
        temperature_c = float(temperature_c)
        if not self._coldest <= temperature_c <= HIGHEST_C + ROUNDING:
            raise MediumError(self._temperature_message(temperature_c), field="temperature_c")
        return State(*self._curves.at(temperature_c), self._table.vapour_pressure_estimated, temperature_c)

    def states(self, temperature_c: ArrayLike) -> list[State]:
        """All properties at several temperatures [°C], shape (n,); raises `MediumError` if any lies outside."""
        temperatures = np.asarray(temperature_c, dtype=float)
        columns = [self._array(name, temperatures).tolist() for name in PROPERTIES]
        estimated = self._table.vapour_pressure_estimated
        rows = zip(*columns, [estimated] * temperatures.size, temperatures.tolist(), strict=True)
        return list(starmap(State, rows))

    def density(self, temperature_c: ArrayLike) -> FloatArray:
        """Density [kg/m3] at temperatures [°C] of any shape; raises `MediumError` if any lies outside."""
        return self._array("density", temperature_c)

    def viscosity(self, temperature_c: ArrayLike) -> FloatArray:
        """Dynamic viscosity [Pa s] at temperatures [°C] of any shape; raises `MediumError` if any lies outside."""
        return self._array("viscosity", temperature_c)

    def heat_capacity(self, temperature_c: ArrayLike) -> FloatArray:
        """Specific heat [J/(kg K)] at temperatures [°C] of any shape; raises `MediumError` if any lies outside."""
        return self._array("heat_capacity", temperature_c)

    def conductivity(self, temperature_c: ArrayLike) -> FloatArray:
        """Heat conductivity [W/(m K)] at temperatures [°C] of any shape; raises `MediumError` if any lies outside."""
        return self._array("conductivity", temperature_c)

    def vapour_pressure(self, temperature_c: ArrayLike) -> FloatArray:
        """Vapour pressure [Pa] at temperatures [°C] of any shape; raises `MediumError` if any lies outside."""
        return self._array("vapour_pressure", temperature_c)

    @cached_property
    def _coldest(self) -> float:
        return self.lowest_temperature_c - ROUNDING

    @cached_property
    def _table(self) -> Table:
        return load_table(self.kind)

    @cached_property
    def _curves(self) -> PropertyCurves:
        return self._table.curves(self.glycol_mass_fraction)

    def _array(self, name: str, temperature_c: ArrayLike) -> FloatArray:
        temperatures = np.asarray(temperature_c, dtype=float)
        outside = temperatures[~((temperatures >= self._coldest) & (temperatures <= HIGHEST_C + ROUNDING))]
        if outside.size:
            raise MediumError(self._temperature_message(float(outside[0])), field="temperature_c")
        return self._curves.array(name, temperatures)

    def _temperature_message(self, temperature_c: float) -> str:
        message = f"{self.name}: temperature {temperature_c:g} °C"
        allowed = f"allowed {self.lowest_temperature_c:.4g} to {HIGHEST_C:g} °C"
        if temperature_c < self.freezing_point_c:
            remedy = "keep it warmer" if self.kind == "water" else "keep it warmer, or use more glycol"
            return f"{message} lies below the freezing point of {self.freezing_point_c:.4g} °C; {allowed}; {remedy}"
        return f"{message} lies outside the data; {allowed}"

    def _fraction_message(self, largest: float) -> str:
        value, substance = self.glycol_mass_fraction, self.kind.replace("_", " ")
        message = f"{substance}: glycol_mass_fraction {value:g}"
        if self.kind == "water":
            return f"{message} is not allowed, only 0; for a mix, choose a glycol as kind"
        hint = f"; write {value:g} % as {value / 100:g}" if 1.0 < value <= 100.0 * largest else ""
        return f"{message} lies outside the data; allowed 0 to {largest:g}{hint}"


def water() -> Coolant:
    """Water, 0 to 100 °C: at one atmosphere, and as saturated liquid where it would boil."""
    return Coolant("water")


def propylene_glycol(glycol_mass_fraction: float) -> Coolant:
    """Propylene glycol in water, by mass fraction, 0 to 0.6."""
    return Coolant("propylene_glycol", glycol_mass_fraction)


def ethylene_glycol(glycol_mass_fraction: float) -> Coolant:
    """Ethylene glycol in water, by mass fraction, 0 to 0.6. Poisonous if swallowed: label the machine."""
    return Coolant("ethylene_glycol", glycol_mass_fraction)

"""The shipped property table, read once, and smooth curves through it for one composition.

The table is rectangular: a row per temperature, a column per glycol mass fraction. Between columns a cubic runs
through the four nearest; between rows a cubic with continuous slope. Viscosity and vapour pressure, which span
orders of magnitude, are interpolated by their logarithm.
"""

import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import exp

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["LOGARITHMIC", "PROPERTIES", "TABLE_FILE", "PropertyCurves", "Table", "load_table"]

TABLE_FILE = "coolants.json"
PROPERTIES = ("density", "viscosity", "heat_capacity", "conductivity", "vapour_pressure")
LOGARITHMIC = frozenset({"viscosity", "vapour_pressure"})

FloatArray = NDArray[np.float64]


class PropertyCurves:
    """All properties of one composition against temperature, as cubics on equal cells of temperature.

    Slopes at the rows are central differences, so values and slopes are continuous: a solver that steps across a row
    meets no kink. The caller keeps the temperature within the table.

    Parameters
    ----------
    temperature_c : ndarray, shape (rows,)
        Equally spaced, rising [°C].
    values : ndarray, shape (rows, properties)
        In the order of `PROPERTIES`, logarithms where `LOGARITHMIC` says so.
    """

    def __init__(self, temperature_c: FloatArray, values: FloatArray) -> None:
        slopes = np.gradient(values, axis=0, edge_order=2)  # per cell
        low, high, low_slope, high_slope = values[:-1], values[1:], slopes[:-1], slopes[1:]
        cubic = 2 * (low - high) + low_slope + high_slope
        square = 3 * (high - low) - 2 * low_slope - high_slope
        self._coefficients = np.stack([cubic, square, low_slope, low], axis=-1)  # (cells, properties, 4)
        self._cells = self._coefficients.tolist()  # plain numbers: ten times faster than arrays for one temperature
        self._start, self._step = float(temperature_c[0]), float(temperature_c[1] - temperature_c[0])

    def at(self, temperature_c: float) -> tuple[float, float, float, float, float]:
        """Properties at one temperature [°C], in the order of `PROPERTIES`."""
        place = (temperature_c - self._start) / self._step
        cell = min(int(place), len(self._cells) - 1)
        u = place - cell
        rho, log_mu, c, k, log_p = [((a * u + b) * u + c) * u + d for a, b, c, d in self._cells[cell]]
        return rho, exp(log_mu), c, k, exp(log_p)

    def array(self, name: str, temperature_c: ArrayLike) -> FloatArray:
        """One property, by its name in `PROPERTIES`, at temperatures of any shape [°C]."""
        place = (np.asarray(temperature_c, dtype=float) - self._start) / self._step
        cell = np.minimum(place.astype(int), len(self._cells) - 1)
        u = place - cell
        a, b, c, d = np.moveaxis(self._coefficients[cell, PROPERTIES.index(name)], -1, 0)
        value: FloatArray = ((a * u + b) * u + c) * u + d
        return np.exp(value) if name in LOGARITHMIC else value


@dataclass(frozen=True)
class Table:
    """Properties of one kind of coolant over temperature and glycol mass fraction.

    Attributes
    ----------
    temperature_c : ndarray, shape (rows,)
        Equally spaced [°C]. Rows below the freezing point serve interpolation only.
    glycol_mass_fraction : ndarray, shape (columns,)
        Equally spaced from 0; a single 0 for a pure liquid.
    freezing_point_c : ndarray, shape (columns,)
        [°C].
    values : ndarray, shape (rows, properties, columns)
        In the order of `PROPERTIES`, logarithms where `LOGARITHMIC` says so.
    vapour_pressure_estimated : bool
        Whether the vapour pressure is Raoult's law.
    """

    temperature_c: FloatArray
    glycol_mass_fraction: FloatArray
    freezing_point_c: FloatArray
    values: FloatArray
    vapour_pressure_estimated: bool

    def curves(self, glycol_mass_fraction: float) -> PropertyCurves:
        """Curves against temperature at one mass fraction, which the caller keeps within the table."""
        return PropertyCurves(self.temperature_c, self.values @ self._weights(glycol_mass_fraction))

    def freezing_point(self, glycol_mass_fraction: float) -> float:
        """Freezing point at one mass fraction [°C]."""
        return float(self.freezing_point_c @ self._weights(glycol_mass_fraction))

    def _weights(self, glycol_mass_fraction: float) -> FloatArray:
        """Share of each column: Lagrange's polynomial through the four nearest (fewer where there are fewer)."""
        nodes = self.glycol_mass_fraction
        count = min(4, nodes.size)
        first = int(np.clip(np.searchsorted(nodes, glycol_mass_fraction) - count // 2, 0, nodes.size - count))
        weights = np.zeros(nodes.size)
        for i in range(first, first + count):
            others = np.delete(nodes[first : first + count], i - first)
            weights[i] = np.prod((glycol_mass_fraction - others) / (nodes[i] - others))
        return weights


@cache
def load_table(kind: str) -> Table:
    """Read the table of one kind of coolant; the file is opened on the first call for each kind."""
    raw = json.loads(files("loopsim.media").joinpath(TABLE_FILE).read_text(encoding="utf-8"))[kind]
    columns = [np.log(raw[name]) if name in LOGARITHMIC else np.array(raw[name]) for name in PROPERTIES]
    return Table(
        temperature_c=np.array(raw["temperature_c"], dtype=float),
        glycol_mass_fraction=np.array(raw["glycol_mass_fraction"], dtype=float),
        freezing_point_c=np.array(raw["freezing_point_c"], dtype=float),
        values=np.stack(columns, axis=1),
        vapour_pressure_estimated=bool(raw["vapour_pressure_estimated"]),
    )

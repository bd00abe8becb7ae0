"""What flows: density, viscosity, heat capacity, conductivity and vapour pressure against temperature.

A `Coolant` gives a `State` at a temperature, `air` at a temperature and a pressure; elements, parts and solvers see
only the `State`. Values of coolants come from a table shipped with the package; `generate` makes it from CoolProp,
which is not needed otherwise. Air has formulas.
"""

from loopsim.media.air import STANDARD_AIR_DENSITY, air
from loopsim.media.coolant import COOLANT_KINDS, Coolant, ethylene_glycol, propylene_glycol, water
from loopsim.media.cushion import Cushion, least_gas, swell
from loopsim.media.state import State

__all__ = [
    "COOLANT_KINDS",
    "STANDARD_AIR_DENSITY",
    "Coolant",
    "Cushion",
    "State",
    "air",
    "ethylene_glycol",
    "least_gas",
    "propylene_glycol",
    "swell",
    "water",
]

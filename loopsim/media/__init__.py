"""What flows: density, viscosity, heat capacity, conductivity and vapour pressure against temperature.

A `Coolant` gives a `State` at a temperature; elements, parts and solvers see only the `State`, so that another medium
(air, say) needs no more than an `at` of its own. Values come from a table shipped with the package; `generate` makes
it from CoolProp, which is not needed otherwise.
"""

from loopsim.media.coolant import COOLANT_KINDS, Coolant, ethylene_glycol, propylene_glycol, water
from loopsim.media.state import State

__all__ = ["COOLANT_KINDS", "Coolant", "State", "ethylene_glycol", "propylene_glycol", "water"]

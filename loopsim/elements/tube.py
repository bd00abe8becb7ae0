"""Round tube with the fittings on it."""

import math
from dataclasses import dataclass

from loopsim.elements.duct import Duct

__all__ = ["Tube"]


@dataclass(frozen=True, slots=True)
class Tube(Duct):
    """Wall friction by Darcy and Weisbach, and the losses of bends, entrance, exit and fittings.

    Fittings lose ``K1/Re + K`` velocity heads of the bore. K alone is what handbooks print for turbulent flow; below
    a Reynolds number of about 1000 fittings cost several times that, which K1 brings in.

    Parameters
    ----------
    bore, length : float
        Inner diameter and length along the centre line, above 0 [m].
    roughness : float
        Height of the wall's roughness [m].
    loss_coefficient : float
        K, the sum of all losses on the tube for flow from start to end, in velocity heads of the bore.
    reverse_loss_coefficient : float, optional
        The same for flow from end to start; equal if not given.
    laminar_coefficient : float
        K1, the sum over the fittings, the same both ways.

    Raises
    ------
    PartDataError
        If a value is out of range.

    References
    ----------
    Darcy and Weisbach, with the friction factor of `loopsim.elements.friction_factor`. The two-K form: Hooper,
    Chemical Engineering 88 (1981) 96-100, whose size factor ``1 + 1 inch / bore`` belongs in K. Checked against an
    independent library in tests/elements/test_duct.py.
    """

    bore: float
    length: float
    roughness: float = 0.0
    loss_coefficient: float = 0.0
    reverse_loss_coefficient: float | None = None
    laminar_coefficient: float = 0.0

    def __post_init__(self) -> None:
        self._check("tube", "bore", "length")

    @property
    def area(self) -> float:
        """Cross section [m2]."""
        return math.pi / 4 * self.bore**2

    @property
    def diameter(self) -> float:
        """The bore [m]."""
        return self.bore

    @property
    def laminar_equivalent(self) -> float:
        """The laws are those of the round tube as they stand."""
        return 1.0

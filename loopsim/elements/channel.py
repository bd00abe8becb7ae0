"""Channel of rectangular cross section, as milled into a plate."""

from dataclasses import dataclass

from loopsim.elements.duct import Duct

__all__ = ["Channel", "laminar_friction_constant"]

_ROUND = 64.0  # f Re of a round tube


def laminar_friction_constant(aspect_ratio: float) -> float:
    """Darcy friction factor times Reynolds number of fully developed laminar flow in a rectangular channel.

    From 56.91 for a square to 96 between two wide plates. Both numbers are on the hydraulic diameter.

    Parameters
    ----------
    aspect_ratio : float
        Short side over long side, 0 to 1.

    Returns
    -------
    float

    References
    ----------
    Shah and London, Laminar Flow Forced Convection in Ducts (1978), their polynomial, within 0.05 % of the exact
    series. Checked against their table in tests/reference/test_channels.py.
    """
    a = aspect_ratio
    return 96.0 * (1 + a * (-1.3553 + a * (1.9467 + a * (-1.7012 + a * (0.9564 - 0.2537 * a)))))


@dataclass(frozen=True, slots=True)
class Channel(Duct):
    """Wall friction in a rectangular channel, and the losses of its corners and ends.

    Laminar flow by the aspect ratio. Elsewhere the laws of the round tube at a Reynolds number multiplied by
    ``64 / (f Re)``, with f on the hydraulic diameter: the diameter that is right in laminar flow is nearly right in
    turbulent flow too. Jones found smooth channels of all aspect ratios within about 5 % of the round tube's law;
    without the correction flat channels differ by up to 20 %.

    Parameters
    ----------
    width, depth : float
        The sides, in either order, above 0 [m].
    length : float
        Along the centre line, above 0 [m].
    roughness : float
        Height of the wall's roughness [m].
    loss_coefficient : float
        K, the sum of all losses for flow from start to end, in velocity heads of the mean velocity in the channel.
    reverse_loss_coefficient : float, optional
        The same for flow from end to start; equal if not given.
    laminar_coefficient : float
        K1 of losses that read ``K1/Re + K``, as for `Tube`, with Re on the hydraulic diameter.

    Raises
    ------
    PartDataError
        If a value is out of range.

    References
    ----------
    Laminar: Shah and London (1978). Turbulent: Jones, J. Fluids Engineering 98 (1976) 173-180. Checked in
    tests/reference/test_channels.py.
    """

    width: float
    depth: float
    length: float
    roughness: float = 0.0
    loss_coefficient: float = 0.0
    reverse_loss_coefficient: float | None = None
    laminar_coefficient: float = 0.0

    def __post_init__(self) -> None:
        self._check("channel", "width", "depth", "length")

    @property
    def area(self) -> float:
        """Cross section [m2]."""
        return self.width * self.depth

    @property
    def diameter(self) -> float:
        """Hydraulic diameter [m]."""
        return 2 * self.area / (self.width + self.depth)

    @property
    def laminar_equivalent(self) -> float:
        """Jones's factor on the Reynolds number."""
        short, long = sorted((self.width, self.depth))
        return _ROUND / laminar_friction_constant(short / long)

"""What air passes through each part, and from which space into which."""

from dataclasses import dataclass

from loopsim.studies.heat.results import HeatPoint

__all__ = ["AirFlow", "air_flows"]

_STILL = 1e-7  # below it nothing moves [m3/s]


@dataclass(frozen=True, slots=True)
class AirFlow:
    """Air through one part.

    Attributes
    ----------
    part : str
        Id.
    flow : float
        As it goes, 0 or above [m3/s].
    source, target : str
        Spaces from which and into which it goes.
    is_forward : bool
        True if that is the way the part is meant: through a fan, the way it blows.
    """

    part: str
    flow: float
    source: str
    target: str
    is_forward: bool


def air_flows(heat: HeatPoint) -> tuple[AirFlow, ...]:
    """The air through every part of the air path, in the order of the layout.

    Parameters
    ----------
    heat : HeatPoint
    """
    air, flow = heat.coupled.thermal.air, heat.coupled.air.flow
    found = []
    for part, names in air.elements_of.items():
        if names:
            link, through = air.network.links[names[0]], sum(flow[name] for name in names)
            spaces = (link.start, link.end) if through >= 0 else (link.end, link.start)
            found.append(AirFlow(part, abs(through) if abs(through) > _STILL else 0.0, *spaces, through >= 0))
    return tuple(found)

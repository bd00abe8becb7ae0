"""What the study of heat answers with. SI throughout, temperatures in degrees Celsius."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from loopsim.build import LoadCase
from loopsim.solve import Coupled
from loopsim.studies.heat.power import SupplyLoad
from loopsim.studies.results import Finding, OperatingPoint

__all__ = [
    "ComponentHeat",
    "ExchangerHeat",
    "FanFlow",
    "HeatBudget",
    "HeatPoint",
    "SpaceAir",
]


@dataclass(frozen=True, slots=True)
class ComponentHeat:
    """One component, on a block or in the air of a space.

    Attributes
    ----------
    part : str
        Id of the block, or of the air-cooled part.
    name : str
        ``"Processor"``, or ``"Processor, converter"`` where several sit on one block.
    heat : float
        That it gives off in this case [W].
    temperature : float or None
        Of the component; of the air around it where air cools it. None where it never settles [degrees Celsius].
    limit : float or None
        [degrees Celsius]
    cooled_by : str
        ``"coolant"`` or ``"air"``.
    boils : bool
        True where the coolant at it is at its boiling point or above.
    tolerance : float
        Half width of the band of its temperature from its own resistance alone [K].
    flow : float
        Of the coolant through its block [m3/s].
    least_flow : float or None
        At which it would just hold its limit, with the coolant entering as it does [m3/s]; None if no flow would do,
        or none is needed.
    """

    part: str
    name: str
    heat: float
    temperature: float | None
    limit: float | None
    cooled_by: Literal["coolant", "air"]
    boils: bool = False
    tolerance: float = 0.0
    flow: float = 0.0
    least_flow: float | None = None

    @property
    def margin(self) -> float | None:
        """Distance to its limit, negative where it is exceeded [K]; None without a limit or a temperature."""
        if self.limit is None or self.temperature is None:
            return None
        return self.limit - self.temperature

    @property
    def holds(self) -> bool:
        """True if it settles below its limit."""
        if self.boils or self.temperature is None:
            return False
        return self.margin is None or self.margin >= 0


@dataclass(frozen=True, slots=True)
class ExchangerHeat:
    """A radiator, or an exchanger between two liquids.

    Attributes
    ----------
    part, name : str
    heat : float
        From its liquid to the air, or from the first liquid to the second [W].
    flow, other_flow : float
        Volume flow of its liquid and of the air (or second liquid), without direction [m3/s].
    enters, leaves : float
        Temperature of its liquid [degrees Celsius].
    other_enters, other_leaves : float
        Of the air, or the second liquid [degrees Celsius].
    effectiveness : float
        Heat over the most that could pass, 0 to 1.
    is_air_cooled : bool
    """

    part: str
    name: str
    heat: float
    flow: float
    other_flow: float
    enters: float
    leaves: float
    other_enters: float
    other_leaves: float
    effectiveness: float
    is_air_cooled: bool


@dataclass(frozen=True, slots=True)
class FanFlow:
    """What one fan does.

    Attributes
    ----------
    id, name : str
    flow : float
        Of air, positive the way it blows [m3/s].
    pressure : float
        Static pressure that it builds up; negative where it resists [Pa].
    power : float
        Electrical [W].
    state : str
        ``"running"``, ``"stopped"``, or ``"does not start"`` where its speed is too low.
    sound : float or None
        Level at 1 m [dB(A)].
    """

    id: str
    name: str
    flow: float
    pressure: float
    power: float
    state: Literal["running", "stopped", "does not start"]
    sound: float | None


@dataclass(frozen=True, slots=True)
class SpaceAir:
    """The air of one space.

    Attributes
    ----------
    name : str
    pressure : float
        Above the room's [Pa].
    temperature : float or None
        None where it never settles, as no air passes through [degrees Celsius].
    passing : float
        Air that enters it, and leaves it again [m3/s].
    escaping : float
        Share of what leaves it for the room past the radiators, through holes and standing fans, 0 to 1.
    """

    name: str
    pressure: float
    temperature: float | None
    passing: float
    escaping: float


@dataclass(frozen=True, slots=True)
class HeatBudget:
    """Where power enters and where heat ends, all [W].

    Attributes
    ----------
    electrical : float
        Drawn from the mains: what the parts use and what the supplies lose.
    into_coolant : float
        From components, pumps and friction.
    into_air : float
        Into the air of the enclosure, without what the radiators bring there.
    outside : float
        Of supplies that stand outside, and of parts in whose space no air moves.
    to_air_by_exchangers : float
        From the coolant into air through the radiators.
    """

    electrical: float
    into_coolant: float
    into_air: float
    outside: float
    to_air_by_exchangers: float


@dataclass(frozen=True)
class HeatPoint:
    """A layout with its heat, at one load case.

    Attributes
    ----------
    case : LoadCase
    room : float
        [degrees Celsius]
    point : OperatingPoint
        The flow at the temperatures found.
    streams : mapping of str to (float, float)
        Temperature at which the coolant enters and leaves each part and tube run, the way it flows [degrees Celsius].
    ports : mapping of str to float
        At each port that a run joins, and in each vessel, by ``"part.port"`` or the vessel's id [degrees Celsius].
    components : tuple of ComponentHeat
        Least margin first.
    exchangers : tuple of ExchangerHeat
    fans : tuple of FanFlow
    spaces : tuple of SpaceAir
        Without the room.
    supplies : tuple of SupplyLoad
    budget : HeatBudget
    sound : float or None
        Of all pumps and fans together at 1 m [dB(A)]; None if none is known.
    findings : tuple of Finding
    imbalance : float
        What of the heat put in is not found again, as a share of it.
    coupled : Coupled
        The solution that all this was read from.
    standing : frozenset of str
        Ids of the parts and tube runs in which nothing flows.
    """

    case: LoadCase
    room: float
    point: OperatingPoint
    streams: Mapping[str, tuple[float, float]]
    ports: Mapping[str, float]
    components: tuple[ComponentHeat, ...]
    exchangers: tuple[ExchangerHeat, ...]
    fans: tuple[FanFlow, ...]
    spaces: tuple[SpaceAir, ...]
    supplies: tuple[SupplyLoad, ...]
    budget: HeatBudget
    sound: float | None
    findings: tuple[Finding, ...]
    imbalance: float
    coupled: Coupled
    standing: frozenset[str] = frozenset()

    @property
    def warmest(self) -> ComponentHeat | None:
        """The component nearest to its limit, or past it; None if there is none."""
        return self.components[0] if self.components else None

    @property
    def coolant_rise(self) -> float | None:
        """How far the warmest coolant that flows is above the room [K]; None where none flows, or it never settles."""
        warmest = max(self._flowing, default=None)
        return None if warmest is None or warmest > NEVER else warmest - self.room

    @property
    def is_steady(self) -> bool:
        """True if the heat of everything that is cooled has a way out; what stands in a dead branch does not count."""
        settles = all(component.temperature is not None for component in self.components)
        moves = all(leaves <= NEVER for leaves in self._flowing)
        return settles and moves and all(space.temperature is not None for space in self.spaces)

    @property
    def _flowing(self) -> list[float]:
        """Temperatures at which coolant leaves the parts and runs in which it flows."""
        return [leaves for item, (_, leaves) in self.streams.items() if item not in self.standing]


NEVER = 1000.0  # a temperature above this means that heat has no way out [degrees Celsius]

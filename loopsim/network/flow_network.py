"""The network that the flow solver sees: junctions, elements between them, one medium."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from loopsim.elements import Element, Leg, TeeLaw
from loopsim.errors import SketchError, did_you_mean
from loopsim.media import Coolant, State

__all__ = ["Junction", "Link", "Meeting", "Network"]


@dataclass(frozen=True, slots=True)
class Junction:
    """A point of the network.

    Attributes
    ----------
    name : str
    elevation : float
        Above any common level [m].
    inflow : float
        Volume flow from outside into the network [m3/s].
    pressure : float or None
        Static gauge pressure where it is fixed [Pa].
    """

    name: str
    elevation: float
    inflow: float
    pressure: float | None


@dataclass(frozen=True, slots=True)
class Link:
    """An element between two junctions."""

    name: str
    start: str
    end: str
    element: Element


@dataclass(frozen=True, slots=True)
class Meeting:
    """A tee whose legs' losses depend on how the flow divides.

    Attributes
    ----------
    name : str
    legs : tuple of str
        Elements of class `Leg` from both ends of the run and from the branch to the tee's middle.
    law : TeeLaw
    """

    name: str
    legs: tuple[str, str, str]
    law: TeeLaw


class Network:
    """Junctions and elements, written down one by one. SI throughout.

    Parameters
    ----------
    medium : Coolant or State
        What flows; a `State` (density, viscosity) is taken as it is.
    temperature : float, optional
        Temperature of a `Coolant` [degrees Celsius]; 20 if not given.

    Examples
    --------
    >>> from loopsim.elements import PowerLaw, Pump
    >>> from loopsim.media import water
    >>> network = Network(water(), 20.0)
    >>> network.add_junction("suction", pressure=0.0)
    >>> network.add_junction("delivery")
    >>> network.add_element("pump", "suction", "delivery", Pump.from_polynomial([4.0, 0.0, -3.6e7]))
    >>> network.add_element("loop", "delivery", "suction", PowerLaw(k=1e12))
    """

    def __init__(self, medium: Coolant | State, temperature: float = 20.0) -> None:
        self.state = medium if isinstance(medium, State) else medium.at(temperature)
        self.junctions: dict[str, Junction] = {}
        self.links: dict[str, Link] = {}
        self.meetings: dict[str, Meeting] = {}

    def add_junction(
        self, name: str, elevation: float = 0.0, inflow: float = 0.0, pressure: float | None = None
    ) -> None:
        """Add a junction.

        Parameters
        ----------
        name : str
            Not yet taken.
        elevation : float
            Above any common level [m].
        inflow : float
            Volume flow at the network's density from outside into the network; negative where drawn off [m3/s].
        pressure : float, optional
            Static gauge pressure to hold at the junction's elevation [Pa]; whatever flow that needs comes from
            outside.

        Raises
        ------
        SketchError
            If the name is taken or a value is not a finite number.
        """
        if name in self.junctions:
            raise SketchError(f"junction {name!r} stands here twice; each needs a name of its own", part=name)
        for field, value in (("elevation", elevation), ("inflow", inflow), ("pressure", pressure)):
            if value is not None and not math.isfinite(value):
                raise SketchError(
                    f"junction {name!r}: {field} must be a finite number, got {value}", part=name, field=field
                )
        self.junctions[name] = Junction(name, elevation, inflow, pressure)

    def add_element(self, name: str, start: str, end: str, element: Element) -> None:
        """Add an element between two junctions; its flow counts positive from `start` to `end`.

        Raises
        ------
        SketchError
            If the name is taken, a junction is missing, or both ends are one junction.
        """
        if name in self.links:
            raise SketchError(f"element {name!r} stands here twice; each needs a name of its own", part=name)
        for junction in (start, end):
            if junction not in self.junctions:
                near = did_you_mean(junction, self.junctions)
                raise SketchError(f"element {name!r}: there is no junction {junction!r}{near}", part=name)
        if start == end:
            raise SketchError(f"element {name!r}: start and end are one junction, {start!r}", part=name)
        self.links[name] = Link(name, start, end, element)

    def add_meeting(self, name: str, legs: tuple[str, str, str], law: TeeLaw) -> None:
        """Say that three legs form a tee, whose losses then follow from how the flow divides.

        Parameters
        ----------
        name : str
            Not yet taken by another meeting.
        legs : tuple of str
            Names of the elements from both ends of the run and from the branch, each of class `Leg` and ending at
            the tee's middle.
        law : TeeLaw

        Raises
        ------
        SketchError
            If the name is taken or the legs are no legs that end in one junction.
        """
        if name in self.meetings:
            raise SketchError(f"tee {name!r} stands here twice; each needs a name of its own", part=name)
        links = [self.links.get(leg) for leg in legs]
        if not all(link is not None and isinstance(link.element, Leg) for link in links):
            raise SketchError(f"tee {name!r}: its legs must be elements of class Leg, got {', '.join(legs)}", part=name)
        if len({link.end for link in links if link is not None}) != 1:
            raise SketchError(f"tee {name!r}: its legs must end in one junction", part=name)
        self.meetings[name] = Meeting(name, legs, law)

    def part_of(self, links: Iterable[str], junctions: Iterable[str] = (), holds_pressure: bool = True) -> "Network":
        """The network of some of the elements.

        Parameters
        ----------
        links : iterable of str
            Names of the elements to keep; the junctions they touch stay.
        junctions : iterable of str
            Further junctions to keep.
        holds_pressure : bool
            False frees all fixed pressures, so that flow can be imposed between any two junctions.
        """
        part = Network(self.state)
        part.links = {name: self.links[name] for name in links}
        part.meetings = {
            name: meeting for name, meeting in self.meetings.items() if all(leg in part.links for leg in meeting.legs)
        }
        kept = {end for link in part.links.values() for end in (link.start, link.end)} | set(junctions)
        part.junctions = {
            name: junction if holds_pressure else replace(junction, pressure=None)
            for name, junction in self.junctions.items()
            if name in kept
        }
        return part

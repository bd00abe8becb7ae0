"""The network that the flow solver sees: junctions, elements between them, one medium."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from loopsim.elements import Element, Leg, MeetingLaw
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
    """A tee or cross whose legs' losses depend on how the flow divides.

    Attributes
    ----------
    name : str
    legs : tuple of str
        Elements of class `Leg` to the fitting's middle: from both ends of the run, then from the branch or branches.
    law : MeetingLaw
    """

    name: str
    legs: tuple[str, ...]
    law: MeetingLaw


class Network:
    """Junctions and elements, written down one by one. SI throughout.

    Parameters
    ----------
    medium : Coolant or State
        What flows, and the reference for heads and inflows; a `State` (density, viscosity) is taken as it is.
    temperature : float, optional
        Temperature of a `Coolant` [degrees Celsius]; 20 if not given.

    Attributes
    ----------
    states : dict of str to State
        What flows in elements that hold something else: another temperature, or another liquid in a body of its own.
        Mass is conserved where elements of unlike density meet, and their columns drive the flow where they differ
        in weight.

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
        self.states: dict[str, State] = {}

    def state_in(self, name: str) -> State:
        """What flows in an element."""
        return self.states.get(name, self.state)

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

        One that begins and ends at the same junction closes a loop of its own: nothing flows in it but what it drives
        itself.

        Raises
        ------
        SketchError
            If the name is taken or a junction is missing.
        """
        if name in self.links:
            raise SketchError(f"element {name!r} stands here twice; each needs a name of its own", part=name)
        for junction in (start, end):
            if junction not in self.junctions:
                near = did_you_mean(junction, self.junctions)
                raise SketchError(f"element {name!r}: there is no junction {junction!r}{near}", part=name)
        self.links[name] = Link(name, start, end, element)

    def add_meeting(self, name: str, legs: tuple[str, ...], law: MeetingLaw) -> None:
        """Say that three or four legs form a tee or cross, whose losses then follow from how the flow divides.

        Parameters
        ----------
        name : str
            Not yet taken by another meeting.
        legs : tuple of str
            Names of the elements from both ends of the run and from the branches, each of class `Leg` and ending at
            the fitting's middle.
        law : MeetingLaw

        Raises
        ------
        SketchError
            If the name is taken, the law has another number of legs, or the legs are none that end in one junction.
        """
        if name in self.meetings:
            raise SketchError(f"tee {name!r} stands here twice; each needs a name of its own", part=name)
        if len(legs) != law.leg_count:
            raise SketchError(f"tee {name!r}: its law is for {law.leg_count} legs, got {len(legs)}", part=name)
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

        Notes
        -----
        What flows in its first element is its reference.
        """
        kept_links = {name: self.links[name] for name in links}
        part = Network(self.state_in(next(iter(kept_links))) if kept_links else self.state)
        part.links = kept_links
        part.states = {name: state for name in kept_links if (state := self.state_in(name)) is not part.state}
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

"""What can fail in a layout, and what each failure makes of the machine.

A failure is a tuple of events, and an event a pure function from one situation (the build, its layout, what stands
without power) to the next. Whatever solves a healthy machine solves a struck one in the same way.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import reduce
from itertools import combinations
from typing import TypeVar

from loopsim.build import Build, FailureEvent, Layout, edits
from loopsim.network import assemble
from loopsim.parts import AirFilter, CheckValve, Fan, Filter, Part, Pump, Supply, Valve
from loopsim.parts.tube_run import SHORTEST_MM
from loopsim.studies.failing.supply_lost import without_supply
from loopsim.studies.sentence import marked, quantity, read_marks

__all__ = ["CLOGGED_FACTOR", "HOTTER", "KINK_LEAVES", "Failure", "Situation", "catalogue", "pairs_of"]

CLOGGED_FACTOR = 4.0  # on a filter's drop: half of what is open of its mesh has shut; common practice to change it then
KINK_LEAVES = 0.2  # share of a tube's area
HOTTER = 10.0  # of the room [K]

P = TypeVar("P", bound=Part)

_MOST_ROOM_C = 60.0  # beyond which no room is looked at [degrees Celsius]


@dataclass(frozen=True, slots=True)
class Situation:
    """A machine as it is run: its build, the layout looked at, and the ids of pumps and fans without power."""

    build: Build
    layout_name: str
    stopped: frozenset[str] = frozenset()

    @property
    def layout(self) -> Layout:
        """The layout looked at."""
        return self.build.layout(self.layout_name)


@dataclass(frozen=True, slots=True)
class Failure:
    """One or several things that go wrong at once.

    Attributes
    ----------
    title : str
        ``"Pump A stopped"``.
    events : tuple of FailureEvent
        Struck one after the other.
    own : bool
        True for a case of the builder's own.
    """

    title: str
    events: tuple[FailureEvent, ...]
    own: bool = False

    def __post_init__(self) -> None:
        read_marks(self, "title")

    def strike(self, situation: Situation) -> Situation:
        """What it makes of a situation."""
        return reduce(lambda struck, event: _MODES[event.what].change(struck, event.item or ""), self.events, situation)

    @property
    def items(self) -> tuple[str, ...]:
        """Ids of the parts and tube runs that fail."""
        return tuple(event.item for event in self.events if event.item is not None)


def catalogue(build: Build, layout_name: str | None = None) -> tuple[Failure, ...]:
    """Everything in a layout that can fail by itself, all pumps and all fans together, then the builder's own cases.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    layout = build.layout(layout_name)
    return tuple(_catalogue(build, layout))


def pairs_of(failures: Iterable[Failure]) -> tuple[Failure, ...]:
    """Every two single failures that can happen together: not two of one part."""
    single = [failure for failure in failures if len(failure.events) == 1 and not failure.own]
    return tuple(
        Failure(f"{marked(one.title)}, {marked(other.title)}", one.events + other.events)
        for one, other in combinations(single, 2)
        if one.items != other.items
    )


def _catalogue(build: Build, layout: Layout) -> Iterator[Failure]:
    for kind, words in ((Pump, "all pumps stopped"), (Fan, "all fans stopped")):
        machines = [part.id for part in _placed(build, layout, kind)]
        yield from (_single(build, layout, "stopped", machine) for machine in machines)
        if len(machines) > 1:
            yield Failure(words, tuple(FailureEvent(what="stopped", item=machine) for machine in machines))
    for what, mode in _MODES.items():
        if what != "stopped":
            yield from (_single(build, layout, what, item) for item in mode.can_strike(build, layout))
    for case in build.own_failures:
        if all((event.item or "") in _MODES[event.what].can_strike(build, layout) for event in case.events):
            yield Failure(case.name, case.events, own=True)


def _single(build: Build, layout: Layout, what: str, item: str) -> Failure:
    event = FailureEvent.model_validate({"what": what, "item": item or None})
    return Failure(_MODES[what].words.format(_name(build, layout, item)), (event,))


def _name(build: Build, layout: Layout, item: str) -> str:
    if item in layout.runs_by_id:
        return f"Tube {build.run_name(layout.run(item))}"
    return build.part(item).name if item else ""


def _placed(build: Build, layout: Layout, *kinds: type[P]) -> list[P]:
    """Parts of some kinds, in the order of the layout."""
    return [part for part_id in layout.placements if isinstance(part := build.part(part_id), kinds)]


@dataclass(frozen=True, slots=True)
class _Mode:
    """A way to fail: how it is called, which items of a layout it can strike, and what it makes of a situation."""

    words: str
    can_strike: Callable[[Build, Layout], list[str]]
    change: Callable[[Situation, str], Situation]


def _of_kind(*kinds: type[Part]) -> Callable[[Build, Layout], list[str]]:
    return lambda build, layout: [part.id for part in _placed(build, layout, *kinds)]


def _stop(situation: Situation, item: str) -> Situation:
    return replace(situation, stopped=situation.stopped | {item})


def _clog(situation: Situation, item: str) -> Situation:
    """The filter's drop as a multiple at every flow, however clogged it was drawn."""
    part = situation.build.part(item)
    assert isinstance(part, Filter | AirFilter)
    field = "dp_kpa" if isinstance(part, Filter) else "dp_pa"
    points = [point.with_values(**{field: CLOGGED_FACTOR * getattr(point, field)}) for point in part.drop.points]
    return _with_part(situation, item, drop=part.drop.with_values(points=tuple(points)))


def _long_enough_to_kink(build: Build, layout: Layout) -> list[str]:
    return [run.id for run in layout.runs if build.run_path(layout, run).length_mm > SHORTEST_MM]


def _kink(situation: Situation, item: str) -> Situation:
    closed = 100 * (1 - KINK_LEAVES)
    return _edited(situation, edits.change_run, item, kinked_percent=closed)


def _open_valves(build: Build, layout: Layout) -> list[str]:
    return [part.id for part in _placed(build, layout, Valve) if layout.placement(part.id).opening_percent > 0]


def _shut(situation: Situation, item: str) -> Situation:
    return _edited(situation, edits.change_placement, item, opening_percent=0.0)


def _working_check_valves(build: Build, layout: Layout) -> list[str]:
    return [part.id for part in _placed(build, layout, CheckValve) if part.stuck == "no"]


def _stick(how: str) -> Callable[[Situation, str], Situation]:
    return lambda situation, item: _with_part(situation, item, stuck=how)


def _with_surface(build: Build, layout: Layout) -> list[str]:
    return [part.id for part in _placed(build, layout, Part) if part.surface_mm is not None]


def _draw_air(situation: Situation, item: str) -> Situation:
    """The pumps of the vessel's circuit turn in air and build up no head any more: as good as standing."""
    loop = assemble(situation.build, situation.layout)
    fed = {name for circuit in loop.circuits if item in circuit.body.junctions for name in circuit.body.links}
    return replace(situation, stopped=situation.stopped | (fed & set(loop.running_pumps())))


def _the_room(build: Build, layout: Layout) -> list[str]:  # noqa: ARG001  every machine stands in one
    return [""]


def _heat_room(situation: Situation, item: str) -> Situation:  # noqa: ARG001  there is one room
    build = situation.build
    ambient = build.ambient.with_values(temperature_c=_hotter(build.ambient.temperature_c))
    cases = tuple(
        case if case.ambient_c is None else case.with_values(ambient_c=_hotter(case.ambient_c))
        for case in build.load_cases
    )
    return replace(situation, build=build.with_values(ambient=ambient, load_cases=cases))


def _hotter(room_c: float) -> float:
    return min(room_c + HOTTER, _MOST_ROOM_C)


def _lose_supply(situation: Situation, item: str) -> Situation:
    """What hangs on no other supply stands, or gives no heat any more."""
    build, dead = without_supply(situation.build, situation.layout, item)
    machines = {part_id for part_id in dead if isinstance(build.part(part_id), Pump | Fan)}
    return replace(situation, build=build, stopped=situation.stopped | machines)


def _with_part(situation: Situation, item: str, **values: object) -> Situation:
    return replace(situation, build=edits.change_part(situation.build, item, **values).build)


def _edited(situation: Situation, edit: Callable[..., edits.Edit], item: str, **values: float) -> Situation:
    return replace(situation, build=edit(situation.build, situation.layout_name, item, **values).build)


# The words of a build's own cases, each with what it does.
_MODES: dict[str, _Mode] = {
    "stopped": _Mode("{} stopped", _of_kind(Pump, Fan), _stop),
    "clogged": _Mode("{} clogged", _of_kind(Filter, AirFilter), _clog),
    "kinked": _Mode("{} kinked", _long_enough_to_kink, _kink),
    "shut": _Mode("{} shut", _open_valves, _shut),
    "stuck open": _Mode("{} stuck open", _working_check_valves, _stick("open")),
    "stuck shut": _Mode("{} stuck shut", _working_check_valves, _stick("shut")),
    "low": _Mode("{} low", _with_surface, _draw_air),
    "hot room": _Mode(f"room {quantity(HOTTER, 'k')} warmer", _the_room, _heat_room),
    "lost": _Mode("{} lost", _of_kind(Supply), _lose_supply),
}

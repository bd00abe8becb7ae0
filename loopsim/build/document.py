"""What a build consists of. Immutable: an edit makes a new build that shares all it did not touch."""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from itertools import count
from typing import TYPE_CHECKING, Annotated, Literal, TypeVar, Union

from pydantic import Field, field_validator, model_validator

from loopsim.build.alarm_levels import AlarmLevels
from loopsim.build.failing import OwnFailure
from loopsim.build.leak_record import LeakRecord
from loopsim.build.room import Enclosure, Reserved
from loopsim.build.sheet import Background, Note
from loopsim.errors import SketchError, did_you_mean
from loopsim.fields import FieldDescription, Record, choice, describe, number, points, switch, text
from loopsim.geometry import Lie, Outline, Path, Place, Spot
from loopsim.media import Coolant, State
from loopsim.parts import ID_PATTERN, KINDS, Part, Port, Setting, Tube, TubeRun
from loopsim.units import STANDARD_ATMOSPHERE, to_si

__all__ = [
    "SCHEMA_VERSION",
    "AirReturn",
    "Ambient",
    "Build",
    "BuildCoolant",
    "CaseLoad",
    "Enclosure",
    "Layout",
    "LoadCase",
    "Placement",
]

SCHEMA_VERSION = 2

if TYPE_CHECKING:
    AnyPart = Part
else:
    AnyPart = Annotated[Union[tuple(KINDS.values())], Field(discriminator="kind")]  # noqa: UP007  known only at run time

_revisions = count(1)
_MOST_DRAWN_IN_AGAIN = 90.0  # per cent of what one inlet draws in

T = TypeVar("T")


class Ambient(Record):
    """The room around the machine."""

    temperature_c: float = number("temperature", "of the room", 22.0, least=-40.0, most=60.0)
    altitude_m: float = number("altitude", "above sea level", 0.0, least=-400.0, most=9000.0)

    @property
    def pressure(self) -> float:
        """Pressure of the standard atmosphere at this altitude (ISO 2533, troposphere) [Pa]."""
        return float(STANDARD_ATMOSPHERE * (1 - 2.25577e-5 * self.altitude_m) ** 5.25588)


class BuildCoolant(Record):
    """A liquid of the build, and the temperature at which flows are worked out."""

    id: str = text("id", "short name by which a vessel says what fills its circuit", "coolant", pattern=ID_PATTERN)
    kind: Literal["water", "propylene_glycol", "ethylene_glycol"] = choice("coolant", "the liquid", "water")
    glycol_mass_fraction: float = number("glycol", "share by mass, 0 for water", 0.0, least=0.0, most=0.6)
    temperature_c: float = number("temperature", "mean temperature of the coolant", 30.0, least=-20.0, most=100.0)

    @cached_property
    def medium(self) -> Coolant:
        """The liquid with its properties against temperature."""
        return Coolant(self.kind, self.glycol_mass_fraction)

    @cached_property
    def state(self) -> State:
        """Its properties at the stated temperature."""
        return self.medium.at(self.temperature_c)


class LoadCase(Record):
    """A duty for which the machine must hold its limits."""

    name: str = text("load case", "what you call it: idle, usual, full duty")
    load_percent: float = number("load", "of every part's heat at full duty", 100.0, least=0.0, most=200.0)
    ambient_c: float | None = number(
        "room", "temperature of the room then; empty: the build's", None, least=-40.0, most=60.0
    )


class CaseLoad(Record):
    """A part whose load in one case differs from that of all others."""

    case: str = text("load case", "its name")
    part: str = text("part", "id of a block or air-cooled part", pattern=ID_PATTERN)
    load_percent: float = number("load", "of its heat at full duty, in this case", 100.0, least=0.0, most=200.0)


class AirReturn(Record):
    """Exhaust that is drawn in again."""

    outlet: str = text("blown out by", "id of the part through which air leaves into the room", pattern=ID_PATTERN)
    inlet: str = text("drawn in by", "id of the part through which air comes from the room", pattern=ID_PATTERN)
    share_percent: float = number(
        "share", "of the air drawn in that was blown out there; below 90 for all outlets together", 10.0,
        least=0.0, most=90.0,
    )  # fmt: skip


_SPACE_HELP = (
    "space where its air {}: room, chamber, or a name of your own for a space between; empty: as usual for the part"
)


class Placement(Record):
    """Where a part stands in one layout, and how it is set there."""

    part: str = text("part", "id of the part")
    x_mm: float = number("x", "middle of the outline, along the front edge")
    y_mm: float = number("y", "middle of the outline, away from the front edge")
    height_mm: float = number("height above floor", "of its underside", 0.0)
    rotation_deg: float = number("rotation", "counter-clockwise", 0.0)
    lie: Lie = choice(
        "lie", "flat; on edge, its left side up; or with its near end, where ports at one end are, up", "flat"
    )
    mirrored: bool = switch("mirrored", "its mirror image, what was left is right: for parts made in both hands", False)
    locked: bool = switch("locked", "it stays where it is while you draw", False)
    group: str | None = text("group", "parts with the same word here move together", None, pattern=ID_PATTERN)
    speed_percent: float = number("speed", "of a pump or fan, in per cent of full speed", 100.0, above=0.0, most=150.0)
    opening_percent: float = number("opening", "of a valve, in per cent; 0 is shut", 100.0, least=0.0, most=100.0)
    air_from: str | None = text("air from", _SPACE_HELP.format("comes from"), None, pattern=ID_PATTERN)
    air_to: str | None = text("air to", _SPACE_HELP.format("goes to"), None, pattern=ID_PATTERN)

    @classmethod
    def fields(cls) -> tuple[FieldDescription, ...]:
        """Fields that a builder edits."""
        return tuple(field for field in describe(cls) if field.name != "part")

    def place_of(self, part: Part) -> Place:
        """Where and how the part stands, as a place of the geometry."""
        return Place(self.x_mm, self.y_mm, self.height_mm, self.rotation_deg, self.lie, self.mirrored, part.outline)

    def outline_of(self, part: Part) -> Outline:
        """The box that the part takes up as it lies here."""
        return part.outline.lying(self.lie)

    def top_mm(self, part: Part) -> float:
        """Height of the part's top above the floor."""
        return self.height_mm + self.outline_of(part).height_mm

    def port_spots(self, part: Part) -> dict[str, Spot]:
        """Where the ports of the part are in the enclosure, by name."""
        spots: dict[str, Spot] = self.keep("port spots", self._port_spots, part)
        return spots

    def _port_spots(self, part: Part) -> dict[str, Spot]:
        place = self.place_of(part)
        return {name: place.spot(port.spot) for name, port in part.ports.items()}

    def air_spaces(self, part: Part) -> tuple[str, str]:
        """Spaces from which the part's air comes and to which it goes: as set here, else as usual."""
        return self.air_from or part.air_from, self.air_to or part.air_to

    def setting(self, stopped: bool = False) -> Setting:
        """How the part is set here; `stopped` takes a pump's power away."""
        speed, opening = to_si(self.speed_percent, "percent"), to_si(self.opening_percent, "percent")
        return Setting(speed=speed, opening=opening, stopped=stopped)


class Layout(Record):
    """One arrangement of the build's parts."""

    name: str = text("name", "what you call this layout")
    loop_flow_at: str | None = text("loop flow at", "id of the part whose flow stands for the loop's", None)
    measured_flow_l_h: float | None = number(
        "measured flow", "read on the finished machine with all pumps running; empty until then", None, above=0.0
    )
    measured_note: str | None = text("measured how", "with what, when, by whom", None)
    bleed_minutes: float | None = number(
        "bleeding takes", "your own time for this loop, nothing can work it out; empty until you know", None, above=0.0
    )
    poured_ml: float | None = number(
        "poured", "measured while filling, all together; empty until then", None, above=0.0
    )
    filled_steps: tuple[str, ...] = ()  # steps of the fill plan that are done, by their keys
    drained_steps: tuple[str, ...] = ()
    leak_record: LeakRecord | None = None
    alarms: AlarmLevels | None = None
    air_returns: tuple[AirReturn, ...] = points("air drawn in again", "from which outlet to which inlet", ())
    reserved: tuple[Reserved, ...] = points("reserved spaces", "where nothing may be placed, or no joint may sit", ())
    notes: tuple[Note, ...] = ()
    background: Background | None = None
    placed: tuple[Placement, ...] = ()
    runs: tuple[TubeRun, ...] = ()

    @cached_property
    def placements(self) -> dict[str, Placement]:
        """Placements by part id."""
        return {placement.part: placement for placement in self.placed}

    @cached_property
    def runs_by_id(self) -> dict[str, TubeRun]:
        """Tube runs by id."""
        return {run.id: run for run in self.runs}

    def run(self, run_id: str) -> TubeRun:
        """A tube run by id."""
        return self.runs_by_id.get(run_id) or _named(self.runs_by_id, run_id, f"layout {self.name!r} has no tube run")

    def placement(self, part_id: str) -> Placement:
        """Where a part stands; SketchError if it is not in this layout."""
        placed = self.placements
        return placed.get(part_id) or _named(placed, part_id, f"layout {self.name!r} does not place a part")


class Build(Record):
    """One machine: part data shared by all layouts, and the layouts."""

    schema_version: Literal[2] = 2
    name: str = text("name", "what you call the machine")
    note: str = text("note", "anything a reader should know", "")
    enclosure: Enclosure = Enclosure()
    ambient: Ambient = Ambient()
    coolants: tuple[BuildCoolant, ...] = points(
        "coolants", "the first fills every circuit whose vessels name no other", (BuildCoolant(),)
    )
    load_cases: tuple[LoadCase, ...] = points(
        "load cases", "each is solved; the first is shown first", (LoadCase(name="full duty"),)
    )
    case_loads: tuple[CaseLoad, ...] = points("loads that differ", "a part's own share in one of the cases", ())
    own_failures: tuple[OwnFailure, ...] = points("failure cases", "of your own: several things that fail at once", ())
    tubes: tuple[Tube, ...] = ()
    parts: tuple[AnyPart, ...] = ()
    layouts: tuple[Layout, ...] = (Layout(name="layout 1"),)

    @cached_property
    def revision(self) -> int:
        """A number that no other build of this process has."""
        return next(_revisions)

    @cached_property
    def parts_by_id(self) -> dict[str, Part]:
        """Parts by id."""
        return {part.id: part for part in self.parts}

    @cached_property
    def tubes_by_id(self) -> dict[str, Tube]:
        """Tubes by id."""
        return {tube.id: tube for tube in self.tubes}

    @cached_property
    def layouts_by_name(self) -> dict[str, Layout]:
        """Layouts by name."""
        return {layout.name: layout for layout in self.layouts}

    @property
    def coolant(self) -> BuildCoolant:
        """The liquid of every circuit whose vessels name no other."""
        return self.coolants[0]

    @cached_property
    def coolants_by_id(self) -> dict[str, BuildCoolant]:
        """Coolants by id."""
        return {coolant.id: coolant for coolant in self.coolants}

    def part(self, part_id: str) -> Part:
        """A part by id; SketchError that offers the nearest id if there is none."""
        return self.parts_by_id.get(part_id) or _named(self.parts_by_id, part_id, "this build has no part")

    def tube(self, tube_id: str) -> Tube:
        """A tube by id; SketchError if there is none."""
        return _named(self.tubes_by_id, tube_id, "this build has no tube")

    def layout(self, name: str | None = None) -> Layout:
        """A layout by name, the first if none is given; SketchError if there is none of this name."""
        if name is None:
            return self.layouts[0]
        return _named(self.layouts_by_name, name, "this build has no layout")

    def port(self, reference: str) -> tuple[Part, Port]:
        """Part and port behind ``"part.port"``; SketchError if either is missing."""
        part_id, _, port_name = reference.partition(".")
        part = self.part(part_id)
        return part, part.ports.get(port_name) or _named(part.ports, port_name, f"part {part.name!r} has no port")

    def port_spot(self, layout: Layout, reference: str) -> Spot:
        """Where a port is in the enclosure."""
        part, port = self.port(reference)
        return layout.placement(part.id).port_spots(part)[port.name]

    def run_name(self, run: TubeRun) -> str:
        """What a run is called by what it joins: ``"Pump A to Processor"``."""
        start, end = (self.part(part_id).name for part_id in run.part_ids)
        return f"{start} to {end}"

    def run_path(self, layout: Layout, run: TubeRun) -> Path:
        """The centre line of a run in the enclosure."""
        return run.path(self.port_spot(layout, run.start), self.port_spot(layout, run.end))

    @field_validator("layouts")
    @classmethod
    def _one_layout_at_least(cls, layouts: tuple[Layout, ...]) -> tuple[Layout, ...]:
        if not layouts:
            raise ValueError("a build has at least one layout, got none")
        return layouts

    def load_case(self, name: str | None = None) -> LoadCase:
        """A load case by name, the first if none is given; SketchError if there is none of this name."""
        if name is None:
            return self.load_cases[0]
        return _named({case.name: case for case in self.load_cases}, name, "this build has no load case")

    def load_share(self, case: LoadCase, part_id: str) -> float:
        """Load of a part in a case, as a share of full duty."""
        own = next((each for each in self.case_loads if (each.case, each.part) == (case.name, part_id)), None)
        return to_si((own or case).load_percent, "percent")

    @field_validator("load_cases")
    @classmethod
    def _one_load_case_at_least(cls, cases: tuple[LoadCase, ...]) -> tuple[LoadCase, ...]:
        if not cases:
            raise ValueError("a build has at least one load case, got none")
        return cases

    @field_validator("coolants")
    @classmethod
    def _one_coolant_at_least(cls, coolants: tuple[BuildCoolant, ...]) -> tuple[BuildCoolant, ...]:
        if not coolants:
            raise ValueError("a build has at least one coolant, got none")
        return coolants

    @model_validator(mode="after")
    def _hangs_together(self) -> "Build":
        _all_differ("coolant", (coolant.id for coolant in self.coolants))
        for part in self.parts:
            if part.circuit_coolant is not None:
                _named(self.coolants_by_id, part.circuit_coolant, f"part {part.name!r}: this build has no coolant")
        _all_differ("part", (part.id for part in self.parts))
        _all_differ("tube", (tube.id for tube in self.tubes))
        _all_differ("layout", (layout.name for layout in self.layouts))
        _all_differ("load case", (case.name for case in self.load_cases))
        for load in self.case_loads:
            self.load_case(load.case)
            self.part(load.part)
        for opening in self.enclosure.openings:
            if opening.part is not None:
                _named(self.parts_by_id, opening.part, f"opening {opening.name!r}: this build has no part")
        for layout in self.layouts:
            self._check_layout(layout)
        self._check_failures()
        return self

    def _check_failures(self) -> None:
        _all_differ("failure case", (case.name for case in self.own_failures))
        known = {
            **self.parts_by_id,
            **{run_id: run for layout in self.layouts for run_id, run in layout.runs_by_id.items()},
        }
        for case in self.own_failures:
            for event in case.events:
                if event.item is not None:
                    _named(known, event.item, f"failure case {case.name!r}: this build has no part or tube run")

    def _check_layout(self, layout: Layout) -> None:
        """An edit of one layout leaves the others as they were checked."""
        layout.keep("is checked with", lambda *_: self._check_layout_anew(layout), self.parts, self.tubes)

    def _check_layout_anew(self, layout: Layout) -> None:
        where = f"layout {layout.name!r}"
        _all_differ(f"{where}: placed part", (placement.part for placement in layout.placed))
        _all_differ(f"{where}: tube run or part", (*(run.id for run in layout.runs), *self.parts_by_id))
        _all_differ(f"{where}: reserved space", (space.name for space in layout.reserved))
        _all_differ(f"{where}: note", (note.id for note in layout.notes))
        for placement in layout.placed:
            self.part(placement.part)
        taken: dict[str, str] = {}
        for run in layout.runs:
            self.tube(run.tube)
            for end in (run.start, run.end):
                self._check_end(layout, run, end)
                if taken.setdefault(end, run.id) != run.id or run.start == run.end:
                    raise SketchError(
                        f"{where}: port {end!r} holds two tube runs ({taken[end]} and {run.id}); join runs with a tee",
                        part=run.id,
                        field="start" if end == run.start else "end",
                    )
        if layout.loop_flow_at is not None:
            layout.placement(layout.loop_flow_at)
        _check_air_returns(layout)

    def _check_end(self, layout: Layout, run: TubeRun, end: str) -> None:
        try:
            part, _ = self.port(end)
            layout.placement(part.id)
        except SketchError as error:
            field = "start" if end == run.start else "end"
            raise SketchError(
                f"layout {layout.name!r}, tube run {run.id!r}, {field} {end!r}: {error}", part=run.id, field=field
            ) from None


def _check_air_returns(layout: Layout) -> None:
    drawn_in: dict[str, float] = {}
    for each in layout.air_returns:
        for part_id in (each.outlet, each.inlet):
            layout.placement(part_id)
        drawn_in[each.inlet] = drawn_in.get(each.inlet, 0.0) + each.share_percent
        if drawn_in[each.inlet] >= _MOST_DRAWN_IN_AGAIN:
            raise SketchError(
                f"layout {layout.name!r}: {each.inlet!r} draws in {drawn_in[each.inlet]:g} % of blown-out air, "
                f"allowed is less than {_MOST_DRAWN_IN_AGAIN:g} %; the machine would cook in its own air",
                part=each.inlet,
                field="air_returns",
            )


def _named(known: Mapping[str, T], name: str, complaint: str) -> T:
    try:
        return known[name]
    except KeyError:
        near = did_you_mean(name, known)
        there = "" if near else f"; there are: {', '.join(known)}" if known else "; there are none"
        raise SketchError(f"{complaint} {name!r}{near or there}", part=name) from None


def _all_differ(what: str, names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise SketchError(f"{what} {name!r} stands here twice; each needs a name of its own", part=name)
        seen.add(name)


def new_name(wanted: str, taken: Sequence[str]) -> str:
    """`wanted`, or with the first free number behind it: ``pump``, ``pump_2``, ``pump_3``."""
    if wanted not in taken:
        return wanted
    return next(f"{wanted}_{number}" for number in count(2) if f"{wanted}_{number}" not in taken)

"""Any number of a build by its name, so that it can be read and set."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from loopsim.build import Build, CaseLoad, LoadCase, Placement, edits
from loopsim.errors import SketchError, did_you_mean
from loopsim.fields import FieldDescription, Record
from loopsim.parts import AirComponent, Block, Part
from loopsim.studies.varying.numbers import Number, numbers_in, values_with
from loopsim.units import UNITS

__all__ = ["Parameter", "parameter", "parameters_of"]

Put = Callable[[Build, float], Build]

_WHOLE = ("ambient", "layout", "case")
_TOLD = 6  # of several numbers that may be meant


@dataclass(frozen=True, slots=True)
class Parameter:
    """One number of a build.

    Attributes
    ----------
    reference : str
        As it is asked for: ``"pump_a.speed_percent"``.
    name : str
        Whose it is, as the builder calls it.
    field : FieldDescription
        Its label, unit and range.
    value : float or None
        What it is now, in the unit of the field; None where it is left empty.
    put : callable
        ``put(build, value) -> Build``: the build with another value; raises PartDataError where it is not allowed.
    """

    reference: str
    name: str
    field: FieldDescription
    value: float | None
    put: Put

    @property
    def heading(self) -> str:
        """``"Pump A speed, %"``."""
        unit = f", {UNITS[self.field.unit].label}" if self.field.unit else ""
        return f"{self.name} {self.field.label}{unit}"


def parameter(build: Build, reference: str, layout_name: str | None = None, case_name: str | None = None) -> Parameter:
    """The number behind a name.

    Parameters
    ----------
    build : Build
    reference : str
        ``"item.field"``, where the item is the id of a part, of a tube run, of a tube or of a coolant, ``"ambient"``
        for the room, ``"layout"`` for the layout, or ``"case"`` for the load case; the field bears the name that it
        has in the file. In a table or a record that the item holds, names and rows, from 1, lead to it:
        ``"gpu.loads.2.heat_w"``, ``"pump.curve.points.1.head_m"``; the last of them are enough where only one number
        ends so: ``"gpu.heat_w"``. A part's ``load_percent`` is its own load in the load case.
    layout_name, case_name : str, optional
        The first layout and the first load case if not given; a part's place and setting are those of the layout.

    Raises
    ------
    SketchError
        If there is no such item or field, the field is no number, or several end in these names.
    """
    item, _, field = reference.partition(".")
    ask = _Question(item, build.layout(layout_name).name, build.load_case(case_name).name)
    owners = ask.owners(build)
    if not owners:
        known = _known(build, ask.layout)
        raise SketchError(f"{reference}: there is nothing called {item!r}{did_you_mean(item, known)}", part=item)
    path = tuple(field.split("."))
    found = [(owner, number) for owner in owners for number in owner.numbers if number.ends_in(path)]
    whole = next(((owner, number) for owner, number in found if number.path == path), None)
    if whole is None and len(found) != 1:
        raise _not_one(reference, owners, [number for _, number in found])
    return ask.parameter(reference, *(whole or found[0]))


def _not_one(reference: str, owners: "list[_Owner]", found: list[Number]) -> SketchError:
    """Why a name does not say which number is meant."""
    item, _, field = reference.partition(".")
    if found:
        names = ", ".join(".".join(number.path) for number in found[:_TOLD])
        more = ", ..." if len(found) > _TOLD else ""
        words = f"{owners[0].name} has several of these, write which: {names}{more}"
    else:
        own = [".".join(number.path) for owner in owners for number in owner.numbers]
        short = [name for name in own if "." not in name]
        hint = did_you_mean(field, own) or f"; there are: {', '.join(short)}"
        words = f"{owners[0].name} has no number {field!r}{hint}"
    return SketchError(f"{reference}: {words}", part=item, field=field)


def parameters_of(
    build: Build, item: str, layout_name: str | None = None, case_name: str | None = None
) -> tuple[Parameter, ...]:
    """Every number of an item that has a value, those of its own data first; none if there is no such item.

    With those of its components and whatever else has a name in a table of its own, without the points of curves.

    Parameters
    ----------
    build : Build
    item : str
        As in `parameter`, without a field.
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    """
    found: dict[str, Parameter] = {}
    ask = _Question(item, build.layout(layout_name).name, build.load_case(case_name).name)
    for owner in ask.owners(build):
        for number in owner.numbers:
            if number.value is not None and owner.is_offered(number):
                one = ask.parameter(f"{item}.{'.'.join(number.path)}", owner, number)
                found.setdefault(one.reference, one)  # what `parameter` finds by this name
    return tuple(found.values())


@dataclass(frozen=True, slots=True)
class _Owner:
    """A record with numbers, and how a build gets one with other values."""

    name: str
    record: Record
    change: Callable[..., Build]

    @property
    def numbers(self) -> tuple[Number, ...]:
        """All that it holds."""
        return tuple(numbers_in(self.record))

    def is_offered(self, number: Number) -> bool:
        """True for its own, and for those of what has a name."""
        if len(number.path) == 1:
            return True
        rows = getattr(self.record, number.path[0])
        return isinstance(rows, tuple) and all(hasattr(row, "name") for row in rows)


@dataclass(frozen=True, slots=True)
class _Question:
    """Which item is meant, in which layout and load case."""

    item: str
    layout: str
    case: str

    def owners(self, build: Build) -> list[_Owner]:
        """What goes by the item's name in a build."""
        return list(_owners(build, self.layout, build.load_case(self.case), self.item))

    def parameter(self, reference: str, owner: _Owner, number: Number) -> Parameter:
        """A number of an owner, to be read and set: in any build, whatever else was set there before."""

        def put(build: Build, value: float) -> Build:
            now = next(each for each in self.owners(build) if type(each.record) is type(owner.record))
            return now.change(build, **values_with(now.record, number.path, value))

        name = f"{owner.name}, {number.whose}" if number.whose else owner.name
        return Parameter(reference, name, number.field, number.value, put)


def _owners(build: Build, layout: str, case: LoadCase, item: str) -> Iterator[_Owner]:
    """The records that go by a name: a part has its own data and its placement."""
    placed = build.layout(layout)
    if item in build.parts_by_id:
        part = build.part(item)
        yield _Owner(part.name, part, lambda of, **values: edits.change_part(of, item, **values).build)
        if item in placed.placements:
            place: Placement = placed.placement(item)
            yield _Owner(
                part.name, place, lambda of, **values: edits.change_placement(of, layout, item, **values).build
            )
        if isinstance(part, Block | AirComponent):
            yield _own_load(build, case, part)
    if item in placed.runs_by_id:
        run = placed.run(item)
        name = build.run_name(run)
        yield _Owner(name, run, lambda of, **values: edits.change_run(of, layout, item, **values).build)
    if item in build.tubes_by_id:
        tube = build.tube(item)
        yield _Owner(tube.name, tube, lambda of, **values: edits.change_tube(of, item, **values).build)
    yield from _of_whole(build, layout, case, item)


def _of_whole(build: Build, layout: str, case: LoadCase, item: str) -> Iterator[_Owner]:
    if item == "ambient":
        yield _Owner("room", build.ambient, _change_ambient)
    if item == "layout":
        placed = build.layout(layout)
        yield _Owner(layout, placed, lambda of, **values: edits.change_layout(of, layout, **values).build)
    if item == "case":
        yield _Owner(case.name, case, lambda of, **values: _change_case(of, case.name, **values))
    if item in build.coolants_by_id:
        yield _Owner(item, build.coolants_by_id[item], lambda of, **values: _change_coolant(of, item, **values))


def _own_load(build: Build, case: LoadCase, part: Part) -> _Owner:
    """The load of a part in the load case, whether it differs from that of all others or not."""
    own = next((each for each in build.case_loads if (each.case, each.part) == (case.name, part.id)), None)
    now = own or CaseLoad(case=case.name, part=part.id, load_percent=case.load_percent)

    def change(of: Build, **values: float) -> Build:
        others = [each for each in of.case_loads if (each.case, each.part) != (case.name, part.id)]
        return edits.change_build(of, case_loads=[*others, {**now.model_dump(), **values}]).build

    return _Owner(f"{part.name}, in {case.name}", now, change)


def _change_ambient(build: Build, **values: float) -> Build:
    return edits.change_build(build, ambient={**build.ambient.model_dump(), **values}).build


def _change_case(build: Build, name: str, **values: float) -> Build:
    cases = [case.model_dump() | (values if case.name == name else {}) for case in build.load_cases]
    return edits.change_build(build, load_cases=cases).build


def _change_coolant(build: Build, item: str, **values: float) -> Build:
    coolants = [coolant.model_dump() | (values if coolant.id == item else {}) for coolant in build.coolants]
    return edits.change_build(build, coolants=coolants).build


def _known(build: Build, layout: str) -> list[str]:
    return [*build.parts_by_id, *build.layout(layout).runs_by_id, *build.tubes_by_id, *build.coolants_by_id, *_WHOLE]

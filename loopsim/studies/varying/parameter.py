"""Any number of a build by its name, so that it can be read and set."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from loopsim.build import Build, LoadCase, Placement, edits
from loopsim.errors import SketchError, did_you_mean
from loopsim.fields import FieldDescription, Record, describe
from loopsim.units import UNITS

__all__ = ["Parameter", "parameter", "parameters_of"]

Put = Callable[[Build, float], Build]


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
        for the room, or ``"case"`` for the load case; the field bears the name that it has in the file.
    layout_name, case_name : str, optional
        The first layout and the first load case if not given; a part's place and setting are those of the layout.

    Raises
    ------
    SketchError
        If there is no such item or field, or the field is no number.
    """
    item, _, field = reference.partition(".")
    owners = list(_owners(build, build.layout(layout_name).name, build.load_case(case_name), item))
    if not owners:
        known = _known(build, build.layout(layout_name).name)
        raise SketchError(f"{reference}: there is nothing called {item!r}{did_you_mean(item, known)}", part=item)
    for owner in owners:
        if field in owner.fields:
            value = getattr(owner.record, field)
            return Parameter(reference, owner.name, owner.fields[field], value, owner.setter(field))
    numbers = [name for owner in owners for name in owner.fields]
    hint = did_you_mean(field, numbers) or f"; there are: {', '.join(numbers)}"
    raise SketchError(f"{reference}: {owners[0].name} has no number {field!r}{hint}", part=item, field=field)


def parameters_of(
    build: Build, item: str, layout_name: str | None = None, case_name: str | None = None
) -> tuple[Parameter, ...]:
    """Every number of an item that has a value, those of its own data first; none if there is no such item.

    Parameters
    ----------
    build : Build
    item : str
        As in `parameter`, without a field.
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    """
    found: dict[str, Parameter] = {}
    for owner in _owners(build, build.layout(layout_name).name, build.load_case(case_name), item):
        for name, field in owner.fields.items():
            value = getattr(owner.record, name)
            if value is not None:
                one = Parameter(f"{item}.{name}", owner.name, field, value, owner.setter(name))
                found.setdefault(name, one)  # what `parameter` finds by this name
    return tuple(found.values())


@dataclass(frozen=True, slots=True)
class _Owner:
    """A record with numbers, and how a build gets one with other values."""

    name: str
    record: Record
    change: Callable[..., Build]

    @property
    def fields(self) -> Mapping[str, FieldDescription]:
        """Its numbers by name."""
        return {field.name: field for field in describe(type(self.record)) if field.shape == "number"}

    def setter(self, field: str) -> Put:
        """A function that sets one of them."""
        return lambda build, value: self.change(build, **{field: value})


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
    if item in placed.runs_by_id:
        run = placed.run(item)
        name = build.run_name(run)
        yield _Owner(name, run, lambda of, **values: edits.change_run(of, layout, item, **values).build)
    if item in build.tubes_by_id:
        tube = build.tube(item)
        yield _Owner(tube.name, tube, lambda of, **values: edits.change_tube(of, item, **values).build)
    yield from _of_whole(build, case, item)


def _of_whole(build: Build, case: LoadCase, item: str) -> Iterator[_Owner]:
    if item == "ambient":
        yield _Owner("room", build.ambient, _change_ambient)
    if item == "case":
        yield _Owner(case.name, case, lambda of, **values: _change_case(of, case.name, **values))
    if item in build.coolants_by_id:
        yield _Owner(item, build.coolants_by_id[item], lambda of, **values: _change_coolant(of, item, **values))


def _change_ambient(build: Build, **values: float) -> Build:
    return edits.change_build(build, ambient={**build.ambient.model_dump(), **values}).build


def _change_case(build: Build, name: str, **values: float) -> Build:
    cases = [case.model_dump() | (values if case.name == name else {}) for case in build.load_cases]
    return edits.change_build(build, load_cases=cases).build


def _change_coolant(build: Build, item: str, **values: float) -> Build:
    coolants = [coolant.model_dump() | (values if coolant.id == item else {}) for coolant in build.coolants]
    return edits.change_build(build, coolants=coolants).build


def _known(build: Build, layout: str) -> list[str]:
    return [*build.parts_by_id, *build.layout(layout).runs_by_id, *build.tubes_by_id, *build.coolants_by_id, "ambient"]

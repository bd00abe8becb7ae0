"""Which numbers of a layout are offered for a sweep."""

from collections.abc import Iterator

from app import figures
from app.compare.subjects import Subject
from loopsim.parts import Fan, Pump
from loopsim.studies import Parameter
from loopsim.studies.varying.parameter import parameters_of

__all__ = ["has_item", "heading_of", "numbers_of"]

_SETTINGS = ("speed_percent", "opening_percent")


def heading_of(parameter: Parameter) -> str:
    """``"Pump A speed, %"``, in the builder's unit."""
    return figures.heading(f"{parameter.name} {parameter.field.label}", parameter.field.unit)


def numbers_of(subject: Subject, selection: frozenset[str]) -> Iterator[Parameter]:
    """Numbers of what is selected, of the room and the load; without a selection, the speeds of all machines first."""
    build, layout = subject.build, subject.build.layout(subject.layout)
    placed = [item for item in sorted(selection) if has_item(subject, item)]
    for item in placed:
        yield from _of_item(subject, item)
    if not placed:
        machines = (part_id for part_id in layout.placements if isinstance(build.part(part_id), Pump | Fan))
        yield from (each for item in machines for each in _of_item(subject, item) if each.field.name in _SETTINGS)
    for item in ("ambient", "case"):
        yield from parameters_of(build, item, layout.name)


def _of_item(subject: Subject, item: str) -> Iterator[Parameter]:
    """Settings that the item listens to first, then its components and its load, then everything else."""
    part = subject.build.parts_by_id.get(item)
    heeded = part.placement_fields if part is not None else ()
    found = parameters_of(subject.build, item, subject.layout)
    heard = [each for each in found if each.field.name in heeded or each.field.name not in _SETTINGS]

    def rank(each: Parameter) -> int:
        is_load = each.reference.startswith(f"{item}.loads.") or each.field.name == "load_percent"
        return 0 if each.field.name in heeded else 1 if is_load else 2

    yield from sorted(heard, key=rank)


def has_item(subject: Subject, item: str) -> bool:
    """True if a layout has what a number belongs to."""
    layout = subject.build.layout(subject.layout)
    return item in ("ambient", "case") or item in layout.placements or item in layout.runs_by_id

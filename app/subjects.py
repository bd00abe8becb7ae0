"""What a part sheet can be about: a part, a tube run, or the build itself; each as sections of fields.

A section knows which record its fields belong to, and which edit changes that record. That is all that the sheet
needs; it knows no part kind.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from typing import Any

from loopsim.build import Ambient, Build, Enclosure, Layout, Placement, edits
from loopsim.build.edits import Edit
from loopsim.fields import FieldDescription, Record, describe
from loopsim.parts import Part

__all__ = ["Section", "Subject", "subject_of"]

_BY_ITSELF = "reservoir or warmest part"  # what stands for the loop where the layout names no part
_WHERE = ("x_mm", "y_mm", "height_mm", "rotation_deg")


@dataclass(frozen=True)
class Section:
    """Fields of one record of a build.

    Attributes
    ----------
    title : str
    fields : tuple of FieldDescription
    record : callable, Build -> Record
        The record in a build; SketchError if it is gone.
    change : callable, (Build, values) -> Edit
    """

    title: str
    fields: tuple[FieldDescription, ...]
    record: Callable[[Build], Record]
    change: Callable[[Build, dict[str, Any]], Edit]


@dataclass(frozen=True)
class Subject:
    """What a sheet is about. Two subjects with the same key have the same fields."""

    key: tuple[str, ...]
    title: str
    help: str
    sections: tuple[Section, ...]


def subject_of(build: Build, layout_name: str, selection: Collection[str]) -> Subject:
    """The selected part or tube run; the build itself where none is selected, and nothing where there are several."""
    layout = build.layout(layout_name)
    if len(selection) > 1:
        return Subject(("several",), "several", "Select a single part or tube run to see its data.", ())
    if selection:
        (chosen,) = selection
        if chosen in layout.placements:
            return _part(build, layout_name, build.part(chosen))
        if chosen in layout.runs_by_id:
            return _run(build, layout_name, chosen)
    return _whole_build(layout)


def _part(build: Build, layout_name: str, part: Part) -> Subject:
    shown = (*part.placement_fields, *_WHERE)
    by_name = {field.name: field for field in Placement.fields()}
    placed = Section(
        "In this layout",
        tuple(by_name[name] for name in shown),
        lambda build: build.layout(layout_name).placement(part.id),
        lambda build, values: edits.change_placement(build, layout_name, part.id, **values),
    )
    data = Section(
        "The part, in every layout" if len(build.layouts) > 1 else "The part",
        type(part).fields(),
        lambda build: build.part(part.id),
        lambda build, values: edits.change_part(build, part.id, **values),
    )
    return Subject(("part", layout_name, part.id, part.kind_name()), part.title, part.help, (placed, data))


def _run(build: Build, layout_name: str, run_id: str) -> Subject:
    run = build.layout(layout_name).run(run_id)
    tubes = tuple(build.tubes_by_id)
    fields = [replace(each, shape="choice", choices=tubes) if each.name == "tube" else each for each in run.fields()]
    drawn = Section(
        "In this layout",
        tuple(fields),
        lambda build: build.layout(layout_name).run(run_id),
        lambda build, values: edits.change_run(build, layout_name, run_id, **values),
    )
    tube = build.tube(run.tube)
    stuff = Section(
        "The tube it is cut from, for every run of it",
        tube.fields(),
        lambda build: build.tube(tube.id),
        lambda build, values: edits.change_tube(build, tube.id, **values),
    )
    return Subject(("run", layout_name, run_id, *tubes, "of", run.tube), run.title, run.help, (drawn, stuff))


def _whole_build(layout: Layout) -> Subject:
    """Single values first, those of the layout in view next, tables last."""
    fields = describe(Build)
    tables = tuple(each for each in fields if each.shape == "points")
    held = (_held("enclosure", Enclosure), _held("ambient", Ambient))
    return Subject(
        ("build", layout.name, *layout.placements),
        "build",
        "What holds for the whole machine. Select a part or a tube run in the plan to see its own data.",
        (
            _of_build("The build", tuple(each for each in fields if each not in tables)),
            _layout(layout),
            *held,
            _of_build("Coolants and loads", tables),
        ),
    )


def _of_build(title: str, fields: tuple[FieldDescription, ...]) -> Section:
    return Section(title, fields, lambda build: build, lambda build, values: edits.change_build(build, **values))


def _layout(layout: Layout) -> Section:
    """Where the layout's flow is read, and what was measured there."""
    places = {"shape": "choice", "choices": (_BY_ITSELF, *layout.placements)}
    fields = [each for each in describe(Layout) if each.name != "name"]

    def shown(build: Build) -> Layout:
        record = build.layout(layout.name)
        return record.model_copy(update={"loop_flow_at": record.loop_flow_at or _BY_ITSELF})

    def change(build: Build, values: dict[str, Any]) -> Edit:
        wanted = {name: None if value == _BY_ITSELF else value for name, value in values.items()}
        return edits.change_layout(build, layout.name, **wanted)

    return Section(
        f"Layout {layout.name}",
        tuple(replace(each, **places) if each.name == "loop_flow_at" else each for each in fields),
        shown,
        change,
    )


def _held(name: str, record: type[Record]) -> Section:
    def change(build: Build, values: dict[str, Any]) -> Edit:
        changed = {**{field: getattr(getattr(build, name), field) for field in record.model_fields}, **values}
        return edits.change_build(build, **{name: changed})

    return Section(name.capitalize(), describe(record), lambda build: getattr(build, name), change)

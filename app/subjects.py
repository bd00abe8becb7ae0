"""What a part sheet can be about: a part, a tube run, or the build itself; each as sections of fields.

A section knows which record its fields belong to, and which edit changes that record. That is all that the sheet
needs; it knows no part kind.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Any

from app.offered import offered
from loopsim.build import Ambient, Background, Build, Enclosure, Layout, Placement, edits, ground_edits
from loopsim.build.edits import Edit
from loopsim.build.joining import End, move_end
from loopsim.fields import FieldDescription, Record, describe
from loopsim.parts import Part

__all__ = ["Section", "Subject", "subject_of"]

_WHERE = ("x_mm", "y_mm", "height_mm", "rotation_deg", "lie", "mirrored", "locked")
_ENDS: tuple[End, ...] = ("start", "end")


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
    return _whole_build(build, layout)


def _part(build: Build, layout_name: str, part: Part) -> Subject:
    shown = (*part.placement_fields, *_WHERE)
    by_name = {field.name: field for field in Placement.fields()}
    placed = Section(
        "In this layout",
        offered((by_name[name] for name in shown), build, build.layout(layout_name)),
        lambda build: build.layout(layout_name).placement(part.id),
        lambda build, values: edits.change_placement(build, layout_name, part.id, **values),
    )
    data = Section(
        "The part, in every layout" if len(build.layouts) > 1 else "The part",
        offered(type(part).fields(), build, build.layout(layout_name)),
        lambda build: build.part(part.id),
        lambda build, values: edits.change_part(build, part.id, **values),
    )
    return Subject(("part", layout_name, part.id, part.kind_name()), part.title, part.help, (placed, data))


def _run(build: Build, layout_name: str, run_id: str) -> Subject:
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    drawn = Section(
        "In this layout",
        offered(run.fields(), build, layout),
        lambda build: build.layout(layout_name).run(run_id),
        lambda build, values: _changed_run(build, layout_name, run_id, values),
    )
    tube = build.tube(run.tube)
    stuff = Section(
        "The tube it is cut from, for every run of it",
        tube.fields(),
        lambda build: build.tube(tube.id),
        lambda build, values: edits.change_tube(build, tube.id, **values),
    )
    return Subject(("run", layout_name, run_id, run.tube), run.title, run.help, (drawn, stuff))


def _changed_run(build: Build, layout_name: str, run_id: str, values: dict[str, Any]) -> Edit:
    """An end is led to its new port, as a hand would; all else is set."""
    for which in _ENDS:
        if which in values:
            return move_end(build, layout_name, run_id, which, values[which])
    return edits.change_run(build, layout_name, run_id, **values)


def _whole_build(build: Build, layout: Layout) -> Subject:
    """Single values first, those of the layout in view next, tables last."""
    fields = offered(describe(Build), build, layout)
    tables = tuple(each for each in fields if each.shape == "points")
    held = (_held("enclosure", Enclosure), _held("ambient", Ambient))
    return Subject(
        ("build", layout.name, *(["background"] if layout.background is not None else [])),
        "build",
        "What holds for the whole machine. Select a part or a tube run in the plan to see its own data.",
        (
            _of_build("The build", tuple(each for each in fields if each not in tables)),
            _layout(build, layout),
            *held,
            *([_background(layout)] if layout.background is not None else []),
            _of_build("Coolants and loads", tables),
        ),
    )


def _of_build(title: str, fields: tuple[FieldDescription, ...]) -> Section:
    return Section(title, fields, lambda build: build, lambda build, values: edits.change_build(build, **values))


def _layout(build: Build, layout: Layout) -> Section:
    """Where the layout's flow is read, what was measured there, and what air it draws in again."""
    return Section(
        f"The layout “{layout.name}”",
        offered((each for each in describe(Layout) if each.name != "name"), build, layout),
        lambda build: build.layout(layout.name),
        lambda build, values: edits.change_layout(build, layout.name, **values),
    )


def _background(layout: Layout) -> Section:
    """Place, scale, turn, dimming and lock of what lies under the plan."""
    return Section(
        "The drawing under the plan",
        tuple(each for each in describe(Background) if each.name not in ("source", "kind")),
        lambda build: build.layout(layout.name).background or layout.background,
        lambda build, values: ground_edits.change_background(build, layout.name, **values),
    )


def _held(name: str, record: type[Record]) -> Section:
    def change(build: Build, values: dict[str, Any]) -> Edit:
        changed = {**{field: getattr(getattr(build, name), field) for field in record.model_fields}, **values}
        return edits.change_build(build, **{name: changed})

    return Section(name.capitalize(), describe(record), lambda build: getattr(build, name), change)

"""Edits that one movement of the hand needs at once, each made of the single edits of `loopsim.build`."""

from collections.abc import Iterable, Sequence
from itertools import count

from loopsim.build import Build, Layout, Placement, edits
from loopsim.build.copying import first_free, with_tube
from loopsim.build.edits import Edit
from loopsim.build.joining import split_run
from loopsim.geometry.reshape import Point
from loopsim.parts import Corner, Part, Tube, TubeRun

__all__ = [
    "USUAL_TUBE",
    "into_run",
    "new_part",
    "new_run",
    "next_tube",
    "remove",
]

USUAL_TUBE = Tube(id="tube", name="Tube 10/13", **Tube.classes["10/13"])


def remove(build: Build, layout_name: str, ids: Iterable[str]) -> Edit:
    """Remove parts with their runs, and tube runs."""
    layout = build.layout(layout_name)
    chosen = frozenset(ids)
    runs = [run.id for run in layout.runs if run.id in chosen]
    parts = [placement.part for placement in layout.placed if placement.part in chosen]
    edit = Edit(build, "")
    for run_id in runs:
        edit = edits.remove_run(edit.build, layout_name, run_id)
    for part_id in parts:
        edit = edits.remove_part(edit.build, layout_name, part_id)
    return edit if len(runs) + len(parts) < 2 else edit._replace(text=f"Remove {_counted(len(parts), len(runs))}")


def new_part(build: Build, layout_name: str, specimen: Part, stands: Placement) -> Edit:
    """Place a copy of a part, with an id and a name that the build does not have yet."""
    fresh = {"id": edits.free_part_id(build, specimen.kind_name()), "name": _free_name(build, specimen)}
    part = specimen.model_copy(update=fresh)
    return edits.add_part(build, layout_name, part, stands.model_copy(update={"part": part.id}))


def into_run(placed: Edit, layout_name: str, run_id: str, at: Point) -> Edit:
    """An edit that placed a part, and with it the part set into a run."""
    part = placed.build.layout(layout_name).placed[-1].part
    return split_run(placed.build, layout_name, run_id, part, at)


def new_run(build: Build, layout_name: str, start: str, end: str, corners: Sequence[Corner], tube: Tube) -> Edit:
    """Draw a run between two ports; a tube that the build does not have yet comes into it with the run."""
    layout = build.layout(layout_name)
    build, tube = with_tube(build, tube)
    run = TubeRun(
        id=edits.free_run_id(layout),
        start=start,
        end=end,
        tube=tube.id,
        radius_mm=tube.least_radius_mm,
        corners=tuple(corners),
    )
    edit = edits.add_run(build, layout_name, run)
    return edit._replace(text=f"Draw tube run {build.run_name(run)}")


def next_tube(build: Build, layout: Layout) -> Tube:
    """The tube that was used last, or a usual one if there is none yet."""
    if layout.runs:
        return build.tube(layout.runs[-1].tube)
    return build.tubes[0] if build.tubes else USUAL_TUBE


def _free_name(build: Build, specimen: Part) -> str:
    """What a copy is called: parts of a kind are numbered from 1, a part with a name of its own keeps it."""
    taken = [part.name for part in build.parts]
    if specimen.name != specimen.title:
        return first_free(specimen.name, taken)
    alike = 1 + sum(type(part) is type(specimen) for part in build.parts)
    return next(name for name in (f"{specimen.title.capitalize()} {n}" for n in count(alike)) if name not in taken)


def _counted(parts: int, runs: int) -> str:
    words = [f"{number} {word}{'' if number == 1 else 's'}" for number, word in ((parts, "part"), (runs, "tube run"))]
    return " and ".join(words if parts and runs else words[:1] if parts else words[1:])

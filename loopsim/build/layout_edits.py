"""Edits of layouts as wholes: add, copy, name, order, remove."""

from loopsim.build.document import Build, Layout
from loopsim.build.edits import Edit, change_layout, without_lost
from loopsim.errors import SketchError

__all__ = ["add_layout", "copy_layout", "free_layout_name", "order_layouts", "remove_layout", "rename_layout"]


def add_layout(build: Build, name: str) -> Edit:
    """Add an empty layout behind the others; the parts of the build can be placed in it."""
    return Edit(build.with_values(layouts=(*build.layouts, Layout(name=name))), f"Add layout {name}")


def copy_layout(build: Build, layout_name: str, name: str) -> Edit:
    """Copy a layout under a new name, right behind it; what was measured or done on the first is not the copy's."""
    layout = build.layout(layout_name)
    unread = {"measured_flow_l_h": None, "measured_note": None, "poured_ml": None, "leak_record": None}
    fresh = layout.with_values(name=name, **unread, filled_steps=(), drained_steps=())
    layouts = [each for old in build.layouts for each in ((old, fresh) if old is layout else (old,))]
    return Edit(build.with_values(layouts=tuple(layouts)), f"Copy layout {layout_name}")


def rename_layout(build: Build, layout_name: str, name: str) -> Edit:
    """Give a layout another name."""
    return change_layout(build, layout_name, name=name)._replace(text=f"Rename layout {layout_name}")


def remove_layout(build: Build, layout_name: str) -> Edit:
    """Take a layout away; data of parts that no other layout places go with it.

    Raises
    ------
    SketchError
        If it is the only one.
    """
    layout = build.layout(layout_name)
    if len(build.layouts) == 1:
        raise SketchError(f"layout {layout_name!r} is the only one of this build; add another before removing it")
    layouts = tuple(each for each in build.layouts if each is not layout)
    placed = {part_id for each in layouts for part_id in each.placements}
    gone = layout.placements.keys() - placed
    after = without_lost(build, tuple(part for part in build.parts if part.id not in gone), layouts)
    return Edit(after, f"Remove layout {layout_name}")


def order_layouts(build: Build, names: tuple[str, ...]) -> Edit:
    """Put the layouts in another order; `names` are all of them.

    Raises
    ------
    SketchError
        If a name is missing, stands twice, or is of no layout.
    """
    if sorted(names) != sorted(build.layouts_by_name):
        raise SketchError(f"an order names every layout once, got {', '.join(names)}")
    return Edit(build.with_values(layouts=tuple(build.layout(name) for name in names)), "Order the layouts")


def free_layout_name(build: Build, wanted: str) -> str:
    """`wanted`, or with the first free number behind it."""
    numbered = (f"{wanted} {number}" for number in range(2, len(build.layouts) + 3))
    return next(name for name in (wanted, *numbered) if name not in build.layouts_by_name)

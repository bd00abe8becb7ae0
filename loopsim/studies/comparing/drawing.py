"""What differs between two drawings, in words."""

import math
from collections import Counter
from collections.abc import Iterator

from loopsim.build import Build, Layout, Placement
from loopsim.network import Branch, assemble, pump_group
from loopsim.parts import Pump
from loopsim.studies.comparing.inventory import Inventory, inventory
from loopsim.studies.sentence import Sentence, datum, quantity
from loopsim.studies.words import listed

__all__ = ["drawing_differences", "pump_arrangement"]

_LEAST_TUBE = 0.005  # difference of length worth a word [m]
_LEAST_MOVE = 1.0  # of a part in plan or height [mm]
_MOST_MOVED = 3  # parts whose moves are told one by one


def drawing_differences(base: Build, base_layout: Layout, other: Build, other_layout: Layout) -> tuple[str, ...]:
    """How one drawing differs from another: ``("with Pump B", "2 elbows fewer", "0.40 m less tube")``.

    Parts are the same where they bear the same id; empty where nothing differs that matters.

    Parameters
    ----------
    base, other : Build
    base_layout, other_layout : Layout
    """
    one, two = (base, base_layout), (other, other_layout)
    differences = (
        *_parts(*one, *two),
        *_pumps(*one, *two),
        *_counts(inventory(*one), inventory(*two)),
        *_settings(base_layout, *two),
        *_data(*one, *two),
        *_moves(*one, *two),
    )
    return tuple(map(Sentence, differences))


def _parts(base: Build, base_layout: Layout, other: Build, other_layout: Layout) -> Iterator[str]:
    """Parts in one drawing only; fittings are counted instead."""
    before, after = base_layout.placements, other_layout.placements
    fresh = [other.part(each).name for each in after if each not in before and other.part(each).family != "fittings"]
    gone = [base.part(each).name for each in before if each not in after and base.part(each).family != "fittings"]
    if fresh:
        yield f"with {listed(fresh)}"
    if gone:
        yield f"without {listed(gone)}"


def pump_arrangement(build: Build, layout: Layout) -> str:
    """How the pumps of a layout stand to one another: ``"in series"``, ``"side by side"``, or both.

    Empty where no circuit has two pumps that form a group.
    """
    loop = assemble(build, layout)
    pumps = {part_id for part_id in layout.placements if isinstance(build.part(part_id), Pump)}
    found: set[str] = set()
    for circuit in loop.circuits:
        here = pumps.intersection(circuit.body.links)
        group = pump_group(loop.network.part_of(circuit.body.links), here) if len(here) > 1 else None
        if group is not None:
            found.update(kind for gap in group.gaps for kind in _joins(gap.branch, here))
            found.update(["series"] if len(group.gaps) > 1 else [])
    words = {"series": "in series", "parallel": "side by side"}
    return " and ".join(words[kind] for kind in words if kind in found)


def _joins(branch: Branch, pumps: set[str]) -> Iterator[str]:
    """Kinds of branches that join pumps."""
    if sum(not pumps.isdisjoint(child.names()) for child in branch.children) > 1:
        yield branch.kind
    for child in branch.children:
        yield from _joins(child, pumps)


def _pumps(base: Build, base_layout: Layout, other: Build, other_layout: Layout) -> Iterator[str]:
    before, after = pump_arrangement(base, base_layout), pump_arrangement(other, other_layout)
    if after and before != after:
        yield f"pumps {after}{f' instead of {before}' if before else ''}"


def _counts(before: Inventory, after: Inventory) -> Iterator[str]:
    for kind in sorted({*before.fittings, *after.fittings}):
        yield from _more_or_fewer(after.fittings[kind] - before.fittings[kind], kind)
    yield from _more_or_fewer(after.bends - before.bends, "bend")
    yield from _more_or_fewer(after.mitres - before.mitres, "mitre")
    longer = after.tube - before.tube
    if abs(longer) >= _LEAST_TUBE:
        yield f"{quantity(abs(longer), 'm', 2)} {'more' if longer > 0 else 'less'} tube"


def _more_or_fewer(difference: int, what: str) -> Iterator[str]:
    if difference:
        plural = "es" if what.endswith(("s", "ss", "x", "ch")) else "s"
        counted = f"{abs(difference)} {what}{plural if abs(difference) != 1 else ''}"
        yield f"{counted} {'more' if difference > 0 else 'fewer'}"


def _common(base_layout: Layout, other_layout: Layout) -> list[str]:
    return [part_id for part_id in base_layout.placements if part_id in other_layout.placements]


def _settings(base_layout: Layout, other: Build, other_layout: Layout) -> Iterator[str]:
    for part_id in _common(base_layout, other_layout):
        part = other.part(part_id)
        for field in ("speed_percent", "opening_percent"):
            before, after = (getattr(each.placement(part_id), field) for each in (base_layout, other_layout))
            if field in part.placement_fields and before != after:
                now = f"at {after:g} %" if field == "speed_percent" else f"{after:g} % open"
                yield f"{part.name} {now} instead of {before:g} %"


def _data(base: Build, base_layout: Layout, other: Build, other_layout: Layout) -> Iterator[str]:
    common = _common(base_layout, other_layout)
    changed = [other.part(each).name for each in common if base.part(each) != other.part(each)]
    if changed:
        yield f"other data of {listed(changed)}"


def _moves(base: Build, base_layout: Layout, other: Build, other_layout: Layout) -> Iterator[str]:
    moved: Counter[str] = Counter()
    for part_id in _common(base_layout, other_layout):
        distance = _distance(base_layout.placement(part_id), other_layout.placement(part_id))
        if distance >= _LEAST_MOVE and base.part(part_id).family != "fittings":
            moved[other.part(part_id).name] = round(distance)
    furthest = moved.most_common()
    if furthest:
        yield ", ".join(f"{name} moved by {datum(distance, 'mm')}" for name, distance in furthest[:_MOST_MOVED])
    if len(furthest) > _MOST_MOVED:
        yield f"{len(furthest) - _MOST_MOVED} more parts moved"


def _distance(one: Placement, other: Placement) -> float:
    return math.dist((one.x_mm, one.y_mm, one.height_mm), (other.x_mm, other.y_mm, other.height_mm))

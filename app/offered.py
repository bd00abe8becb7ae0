"""What a field may name: parts, load cases, coolants, spaces of the open build, offered under the builder's own names.

Only fields that name something else of the build are known here, by their path; everything else of a field comes from
its record.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import NamedTuple

from loopsim.build import Build, Layout
from loopsim.fields import FieldDescription
from loopsim.parts import AirComponent, Block, Fan, Part, Pump, Setting, Tube

__all__ = ["offered"]

_BY_ITSELF = "reservoir or warmest part"  # what stands for the loop where the layout names no part
_USUAL_SPACES = ("room", "chamber")


class _Offer(NamedTuple):
    """Values to choose from, what they are called, what stands for none; `is_open` lets others be typed."""

    values: tuple[str, ...]
    names: tuple[str, ...] = ()
    empty: str = ""
    is_open: bool = False


def offered(fields: Iterable[FieldDescription], build: Build, layout: Layout) -> tuple[FieldDescription, ...]:
    """The fields with what they may name in this build."""
    return tuple(_offered(field, field.name, build, layout) for field in fields)


def _offered(field: FieldDescription, path: str, build: Build, layout: Layout) -> FieldDescription:
    columns = tuple(_offered(column, f"{path}.{column.name}", build, layout) for column in field.columns)
    if path not in _OFFERS:
        return replace(field, columns=columns)
    offer = _OFFERS[path](build, layout)
    return replace(
        field, shape="choice", choices=offer.values, labels=offer.names, empty=offer.empty, is_open=offer.is_open
    )  # fmt: skip


def _by_name(things: Iterable[Part | Tube], empty: str = "") -> _Offer:
    """Parts or tubes by name; by name and id where several have the same."""
    things = tuple(things)
    count = Counter(thing.name for thing in things)
    names = tuple(thing.name if count[thing.name] == 1 else f"{thing.name} ({thing.id})" for thing in things)
    return _Offer(tuple(thing.id for thing in things), names, empty)


def _loaded(build: Build, _: Layout) -> _Offer:
    return _by_name(part for part in build.parts if isinstance(part, Block | AirComponent))


def _fed(build: Build, _: Layout) -> _Offer:
    """What draws power from a supply."""
    return _by_name(part for part in build.parts if isinstance(part, Block | AirComponent | Fan | Pump))


def _passing_air(build: Build, layout: Layout) -> _Offer:
    parts = (build.part(part_id) for part_id in layout.placements)
    return _by_name(part for part in parts if part.air_paths_as_set(Setting()))


def _placed(build: Build, layout: Layout) -> _Offer:
    return _by_name((build.part(part_id) for part_id in layout.placements), _BY_ITSELF)


def _cases(build: Build, _: Layout) -> _Offer:
    return _Offer(tuple(case.name for case in build.load_cases))


def _coolants(build: Build, _: Layout) -> _Offer:
    return _Offer(tuple(build.coolants_by_id), empty=f"the first: {build.coolant.id}")


def _tubes(build: Build, _: Layout) -> _Offer:
    return _by_name(build.tubes)


def _ports(build: Build, layout: Layout) -> _Offer:
    """Every port of what is placed; a run led to a taken one swaps ports with the run there."""
    parts = _placed(build, layout)
    ports = [
        (f"{part_id}.{port.name}", f"{name}, {port.words}")
        for part_id, name in zip(parts.values, parts.names, strict=True)
        for port in build.part(part_id).ports.values()
    ]
    return _Offer(tuple(reference for reference, _ in ports), tuple(words for _, words in ports))


def _spaces(_: Build, layout: Layout) -> _Offer:
    named = {space for each in layout.placed for space in (each.air_from, each.air_to) if space is not None}
    return _Offer((*_USUAL_SPACES, *sorted(named - set(_USUAL_SPACES))), empty="as usual for the part", is_open=True)


_OFFERS: dict[str, Callable[[Build, Layout], _Offer]] = {
    "air_from": _spaces,
    "air_returns.inlet": _passing_air,
    "air_returns.outlet": _passing_air,
    "air_to": _spaces,
    "case_loads.case": _cases,
    "case_loads.part": _loaded,
    "coolant": _coolants,
    "end": _ports,
    "feeds.part": _fed,
    "loop_flow_at": _placed,
    "start": _ports,
    "tube": _tubes,
}

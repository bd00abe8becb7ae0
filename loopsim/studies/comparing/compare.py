"""Layouts side by side: what differs in the drawing, and in what it gives."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loopsim.build import Build, Layout
from loopsim.errors import SketchError, did_you_mean
from loopsim.studies.comparing.drawing import drawing_differences
from loopsim.studies.comparing.inventory import inventory
from loopsim.studies.comparing.results import ComparedRow, Comparison
from loopsim.studies.failing import FailureOutcomes, outcomes_from
from loopsim.studies.failures import reason
from loopsim.studies.figures import FIGURES
from loopsim.studies.heat.point import heat_points
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.results import Failures

__all__ = ["LEAST", "MOST", "SolvedLayout", "compare", "side_by_side", "solved_layout"]

LEAST, MOST = 2, 6  # layouts that can be taken in side by side

Subject = tuple[Build, Layout]


@dataclass(frozen=True)
class SolvedLayout:
    """All that is compared of one layout.

    Attributes
    ----------
    build : Build
    layout : Layout
    heats : tuple of HeatPoint
        At rest in every load case, the first first.
    stopped : Failures
        The flow with each pump stopped in the first load case.
    outcomes : FailureOutcomes
        Every failure in the first load case.
    """

    build: Build
    layout: Layout
    heats: tuple[HeatPoint, ...]
    stopped: Failures
    outcomes: FailureOutcomes


def solved_layout(build: Build, layout_name: str) -> SolvedLayout:
    """Solve a layout for comparison; raises as `compare`."""
    layout = build.layout(layout_name)
    heats = heat_points(build, layout.name)
    outcomes = outcomes_from(heats[0])
    stopped = [case for each in outcomes.outcomes if (case := reason(heats[0].point, each)) is not None]
    return SolvedLayout(build, layout, heats, Failures(heats[0].point, tuple(stopped)), outcomes)


def compare(subjects: Sequence[tuple[Build, str]], base: str | None = None) -> Comparison:
    """Solve two to six layouts, of one build or of several, and set them side by side.

    Figures of the whole are those of each build's first load case; margin and coolant stand for every case.

    Parameters
    ----------
    subjects : sequence of (Build, str)
        Builds with the names of their layouts.
    base : str, optional
        Name of the layout against which the others are told; the first if not given.

    Raises
    ------
    SketchError
        If there are fewer than two or more than six, no such layout, or one is empty.
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    _check_count(len(subjects))
    placed = [(build, build.layout(name)) for build, name in subjects]
    number = 0 if base is None else _number_of(base, placed, _names(placed))
    return side_by_side([solved_layout(build, layout.name) for build, layout in placed], number)


def side_by_side(solved: Sequence[SolvedLayout], base: int = 0) -> Comparison:
    """Set layouts side by side that are solved already, told against one of them by its number; raises as `compare`."""
    _check_count(len(solved))
    placed = tuple((each.build, each.layout) for each in solved)
    drawing = tuple(
        () if place == base else drawing_differences(*placed[base], *each) for place, each in enumerate(placed)
    )
    return Comparison(placed, _names(placed), base, drawing, tuple(_rows(solved)))


def _check_count(count: int) -> None:
    if not LEAST <= count <= MOST:
        raise SketchError(f"compare: takes {LEAST} to {MOST} layouts, got {count}; choose some by name")


def _names(placed: Sequence[Subject]) -> tuple[str, ...]:
    several = len({id(build) for build, _ in placed}) > 1
    return tuple(f"{build.name}, {layout.name}" if several else layout.name for build, layout in placed)


def _number_of(base: str, placed: Sequence[Subject], names: Sequence[str]) -> int:
    layouts = [layout.name for _, layout in placed]
    for known in (names, layouts):
        if base in known:
            return list(known).index(base)
    near = did_you_mean(base, layouts) or f"; there are: {', '.join(layouts)}"
    raise SketchError(f"compare: no layout {base!r} among them to compare with{near}")


def _rows(solved: Sequence[SolvedLayout]) -> Iterator[ComparedRow]:
    heats = [{heat.case.name: heat for heat in each.heats} for each in solved]
    first = [each.heats[0] for each in solved]
    by_key = {figure.key: figure for figure in FIGURES}
    flow = by_key.pop("flow_l_h")
    yield ComparedRow(flow.key, flow.label, flow.unit, flow.better, tuple(flow.read(heat) for heat in first))
    yield _pump_stopped([each.stopped for each in solved])
    yield _survived([each.outcomes for each in solved])
    for case in dict.fromkeys(name for cases in heats for name in cases):
        yield from _of_case(case, [cases.get(case) for cases in heats])
    for figure in (by_key[key] for key in by_key if key not in ("margin_k", "coolant_rise_k")):
        values = tuple(figure.read(heat) for heat in first)
        yield ComparedRow(figure.key, figure.label, figure.unit, figure.better, values)
    yield from _counts([(each.build, each.layout) for each in solved])


def _pump_stopped(found: Sequence[Failures]) -> ComparedRow:
    values = tuple(None if one.worst is None else one.worst.flow for one in found)
    return ComparedRow("flow_pump_stopped_l_h", "flow with a pump stopped", "l_h", "more", values)


def _survived(found: Sequence[FailureOutcomes]) -> ComparedRow:
    values = (sum(each.verdict == "holds" for each in one.outcomes) / len(one.outcomes) for one in found)
    return ComparedRow("survived_percent", "failures that it survives", "percent", "more", tuple(values))


def _of_case(case: str, heats: Sequence[HeatPoint | None]) -> Iterator[ComparedRow]:
    for figure in FIGURES:
        if figure.key in ("margin_k", "coolant_rise_k"):
            values = tuple(None if heat is None else figure.read(heat) for heat in heats)
            yield ComparedRow(f"{figure.key}, {case}", f"{figure.label}, {case}", figure.unit, figure.better, values)


def _counts(placed: Sequence[Subject]) -> Iterator[ComparedRow]:
    counted = [inventory(*each) for each in placed]
    yield ComparedRow("coolant_l", "coolant", "l", "less", tuple(each.coolant for each in counted))
    yield ComparedRow("tube_m", "tube", "m", "less", tuple(each.tube for each in counted))
    yield ComparedRow("parts", "parts", "", "less", tuple(float(each.parts) for each in counted))
    yield ComparedRow("fittings", "fittings", "", "less", tuple(float(each.fitting_count) for each in counted))

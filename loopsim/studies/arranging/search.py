"""The search: every order, the best ports for each, an estimate of each, the promising ones drawn and solved."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from itertools import combinations, islice

from loopsim.build import Build, Layout
from loopsim.cancelling import check_cancelled
from loopsim.parts import Radiator
from loopsim.studies.arranging.draw import NoWay, drawn
from loopsim.studies.arranging.estimate import Estimator
from loopsim.studies.arranging.open_loop import OpenLoop, open_loop
from loopsim.studies.arranging.plans import Plan, Planner, passes_of
from loopsim.studies.arranging.promising import Estimated, promising
from loopsim.studies.arranging.ranking import First, ranked
from loopsim.studies.arranging.results import Arrangement, Arrangements, Looking
from loopsim.studies.arranging.shapes import shapes
from loopsim.studies.arranging.ways import BareLayout
from loopsim.studies.arranging.words import order_words
from loopsim.studies.chunks import HERE, Workers, each_done
from loopsim.studies.comparing.inventory import inventory
from loopsim.studies.fill.air_map import air_map
from loopsim.studies.fit import fit
from loopsim.studies.heat.point import heat_point
from loopsim.studies.heat.results import HeatPoint

__all__ = ["DRAWN", "arrange", "each_arrangement"]

DRAWN = 40  # arrangements that are drawn and solved
_TOLD_EVERY = 100  # estimates


def arrange(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    keep: int = 10,
    first: First = "margin",
    only: Collection[str] = (),
    turns: bool = True,
    draw: int = DRAWN,
    workers: Workers = HERE,
    tell: Callable[[Looking], None] = lambda _: None,
) -> Arrangements:
    """The best ways to join the blocks and radiators of a layout, where they stand.

    Parameters
    ----------
    build : Build
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    keep : int
        How many are kept.
    first : str
        The figure by which they stand in order, see `ranked`.
    only, turns, draw, workers
        See `each_arrangement`.
    tell : callable
        Is told of every step.

    Raises
    ------
    SketchError
        If there is no such layout or case, or its loop cannot be arranged.
    """
    found, tried, missed = [], 0, 0
    for looking in each_arrangement(build, layout_name, case_name, only, turns, draw, workers):
        tell(looking)
        missed += looking.no_way
        if looking.found is not None:
            found.append(looking.found)
        elif looking.stage == "estimating":
            tried = looking.of
    as_drawn, *others = found
    return Arrangements(as_drawn, ranked(others, first)[:keep], tried, len(others), missed)


def each_arrangement(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    only: Collection[str] = (),
    turns: bool = True,
    draw: int = DRAWN,
    workers: Workers = HERE,
) -> Iterator[Looking]:
    """Look for arrangements step by step: first the layout as drawn, then what is found, the most promising first.

    Pumps and vessels, and all that is joined to them, stay as they are drawn: see `open_loop`. What else stands in
    line stays in line. Every order of blocks and radiators is estimated, one after the other and side by side
    (`shapes`), each with the ports by which it takes least tube; the promising ones are drawn, tubes on the way that a
    search finds clear of all that stands there, and branches on tees in the tubes; then they are solved like any
    layout. The same build gives the same answer.

    Parameters
    ----------
    build : Build
    layout_name, case_name : str, optional
    only : collection of str
        Ids of the blocks and radiators that may change places; all if empty.
    turns : bool
        False to let liquid pass every block and radiator the way it is drawn.
    draw : int
        How many are drawn.
    workers : Workers
        Who draws and solves; it changes nothing but the time.

    Raises
    ------
    SketchError
        As `arrange`.
    WorkerError
        As `each_done`.
    """
    layout, case = build.layout(layout_name), build.load_case(case_name)
    heat = heat_point(build, layout.name, case.name)
    loop = open_loop(heat.point, only)
    yield Looking("leading tubes", 0, 1, _told(build, heat))
    bare = BareLayout(loop)
    yield from _led(bare)
    estimated: list[Estimated] = []
    yield from _estimated(bare, heat, turns, estimated)
    plans = list(islice(promising(estimated, alike(loop)), draw))
    solving = _Solving(bare, tuple(plans), case.name)
    for number, (found, no_way) in enumerate(each_done(solving, range(len(plans)), workers), start=1):
        check_cancelled()
        yield Looking("drawing", number, len(plans), found, no_way)


def alike(loop: OpenLoop) -> list[int]:
    """For each unit a number, the same for those that could change places without a change of flow and heat."""
    known: list[object] = []
    numbers = []
    for unit in loop.units:
        parts = [loop.build.part(part) for part in unit.parts]
        places = [loop.layout.placement(part) for part in unit.parts]
        key = [
            (
                part.with_values(id="part", name=""),
                place.opening_percent,
                (part.id, place.air_from, place.air_to) if isinstance(part, Radiator) else None,
            )
            for part, place in zip(parts, places, strict=True)
        ]
        if key not in known:
            known.append(key)
        numbers.append(known.index(key))
    return numbers


def _led(bare: BareLayout) -> Iterator[Looking]:
    """Every tube that an arrangement may need, led through the bare layout."""
    loop = bare.loop
    groups = [(loop.leaves,), loop.returns, *(item.ports for item in (*loop.units, *loop.in_line))]
    pairs = [(a, b) for one, other in combinations(groups, 2) for a in one for b in other]
    for number, (a, b) in enumerate(pairs, start=1):
        check_cancelled()
        bare.way(a, b)
        yield Looking("leading tubes", number, len(pairs))


def _estimated(bare: BareLayout, heat: HeatPoint, turns: bool, into: list[Estimated]) -> Iterator[Looking]:
    planner = Planner(bare.loop, lambda a, b: bare.way(a, b).length_mm, turns)
    estimator = Estimator(bare, heat)
    every = list(shapes(len(bare.loop.units)))
    for number, shape in enumerate(every, start=1):
        check_cancelled()
        plan = planner.plan(shape)
        into.append(Estimated(plan, estimator.of(plan)))
        if number % _TOLD_EVERY == 0 or number == len(every):
            yield Looking("estimating", number, len(every))


@dataclass(frozen=True)
class _Solving:
    """Plans by their number drawn and solved, whoever does it."""

    bare: BareLayout
    plans: tuple[Plan, ...]
    case: str

    def __call__(self, number: int) -> tuple[Arrangement | None, bool]:
        """The arrangement, none if it is what the builder has drawn; and whether there was no way to draw it."""
        check_cancelled()
        bare, plan = self.bare, self.plans[number]
        try:
            build = drawn(bare, plan)
        except NoWay:
            return None, True
        if _tubes(build, build.layout(bare.name)) == _tubes(bare.loop.build, bare.loop.layout):
            return None, False
        heat = heat_point(build, bare.name, self.case)
        turned = tuple(bare.loop.name_of(each.item) for each in passes_of(plan.steps) if each.turned)
        return _told(build, heat, order_words(bare.loop, plan.steps), turned, plan), False


def _tubes(build: Build, layout: Layout) -> set[object]:
    """What is joined, and how long the tubes are: two drawings in which these are alike are one to a builder."""
    return {(frozenset((run.start, run.end)), round(build.run_path(layout, run).length_mm)) for run in layout.runs}


def _told(
    build: Build, heat: HeatPoint, words: str = "as drawn", turned: tuple[str, ...] = (), plan: Plan | None = None
) -> Arrangement:
    layout = heat.point.layout
    counted, air = inventory(build, layout), air_map(heat.point)
    return Arrangement(
        words=words,
        turned=turned,
        build=build,
        layout_name=layout.name,
        heat=heat,
        tube=counted.tube,
        fittings=counted.fitting_count,
        high_points=len(air.points),
        keeps_air=len(air.stays),
        problems=tuple(finding for finding in fit(build, layout.name) if not finding.quiet),
        plan=plan,
    )

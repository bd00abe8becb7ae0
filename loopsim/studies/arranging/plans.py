"""Which port is entered, and which branch lies straight on: the choice that takes least tube."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loopsim.studies.arranging.open_loop import Item, OpenLoop
from loopsim.studies.arranging.shapes import Row, Shape, Split

__all__ = ["Beside", "InRow", "Pass", "Plan", "Planner", "Step", "ends_of", "passes_of"]

Length = Callable[[str, str], float]


@dataclass(frozen=True, slots=True)
class Pass:
    """An item, and whether liquid passes it the other way than drawn."""

    item: Item
    turned: bool = False

    @property
    def into(self) -> str:
        """Port by which liquid enters."""
        return self.item.ports[self.turned]

    @property
    def out_of(self) -> str:
        """Port by which it leaves."""
        return self.item.ports[not self.turned]


@dataclass(frozen=True, slots=True)
class InRow:
    """One after the other along the flow."""

    steps: tuple["Step", ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """Branches side by side: the first lies straight on, the others leave it by a tee and join it by another."""

    branches: tuple["Step", ...]


Step = Pass | InRow | Beside


@dataclass(frozen=True, slots=True)
class Plan:
    """An arrangement that is not drawn yet.

    Attributes
    ----------
    shape : int, Row or Split
        By the numbers of the loop's units.
    steps : tuple of Step
        From where the loop leaves its pumps to where it comes back.
    returns : str
        Port by which it comes back.
    tube_mm : float
        Estimate of the tube that is to be drawn [mm].
    """

    shape: Shape
    steps: tuple[Step, ...]
    returns: str
    tube_mm: float


def passes_of(steps: Sequence[Step]) -> Iterator[Pass]:
    """Every item of some steps, as it is passed."""
    for step in steps:
        if isinstance(step, Pass):
            yield step
        else:
            yield from passes_of(step.steps if isinstance(step, InRow) else step.branches)


Ends = tuple[str, str]
Choices = dict[Ends, tuple[float, Step]]  # by the ports at both ends: least tube, and what it is for


class Planner:
    """Fills shapes with ports.

    Parameters
    ----------
    loop : OpenLoop
    length : callable
        ``length(port, port)``: tube between two ports [mm].
    turns : bool
        False to enter every item by the port by which it is entered as drawn.
    """

    def __init__(self, loop: OpenLoop, length: Length, turns: bool = True) -> None:
        self.loop, self.length, self.turns = loop, length, turns
        self._known: dict[Shape, Choices] = {}

    def plan(self, shape: Shape) -> Plan:
        """The choice of ports that takes least tube."""
        length, loop = self.length, self.loop
        made = [
            (length(loop.leaves, into) + mm + length(out, returns), step, returns)
            for (into, out), (mm, step) in self._choices(shape).items()
            for returns in loop.returns
        ]
        tube, step, returns = min(made, key=lambda each: each[0])
        steps = step.steps if isinstance(step, InRow) else (step,)
        for item in loop.in_line:
            more, steps = self._with_in_line(steps, returns, item)
            tube += more
        return Plan(shape, steps, returns, tube)

    def _choices(self, shape: Shape) -> Choices:
        found = self._known.get(shape)
        if found is None:
            found = self._known[shape] = self._made(shape)
        return found

    def _made(self, shape: Shape) -> Choices:
        if isinstance(shape, Row):
            return self._row(shape)
        if isinstance(shape, Split):
            return self._split(shape)
        return {(each.into, each.out_of): (0.0, each) for each in self._passes(self.loop.units[shape])}

    def _passes(self, item: Item) -> list[Pass]:
        return [Pass(item), *([Pass(item, turned=True)] if item.turns and self.turns else [])]

    def _row(self, shape: Row) -> Choices:
        first, *rest = shape.steps
        made = self._choices(first)
        for step in rest:
            made = self._behind(made, self._choices(step))
        return made

    def _behind(self, before: Choices, after: Choices) -> Choices:
        """The best of all ways to pass one thing and then another."""
        made: Choices = {}
        for (into, between), (mm, one) in before.items():
            for (entered, out), (more, other) in after.items():
                tube = mm + self.length(between, entered) + more
                if (into, out) not in made or tube < made[into, out][0] - _SAME_MM:
                    made[into, out] = tube, InRow((*(one.steps if isinstance(one, InRow) else (one,)), other))
        return made

    def _split(self, shape: Split) -> Choices:
        """Each branch in turn lies straight on; of the others each is entered and left where that is nearest."""
        made: Choices = {}
        branches = [self._choices(branch) for branch in shape.branches]
        for number, straight in enumerate(branches):
            others = branches[:number] + branches[number + 1 :]
            for (into, out), (mm, step) in straight.items():
                joined = [self._nearest(into, out, other) for other in others]
                tube = mm + sum(each[0] for each in joined)
                if (into, out) not in made or tube < made[into, out][0] - _SAME_MM:
                    made[into, out] = tube, Beside((step, *(each[1] for each in joined)))
        return made

    def _nearest(self, into: str, out: str, branch: Choices) -> tuple[float, Step]:
        """A branch beside one with these ports at its ends: from tees near them."""
        made = [
            (self.length(into, entered) + mm + self.length(left, out), step)
            for (entered, left), (mm, step) in branch.items()
        ]
        return min(made, key=lambda each: each[0])

    def _with_in_line(self, steps: tuple[Step, ...], returns: str, item: Item) -> tuple[float, tuple[Step, ...]]:
        """An item that carries the whole flow, set in where it takes least tube."""
        ends = [(self.loop.leaves, self.loop.leaves), *map(ends_of, steps), (returns, returns)]
        made = []
        for place, ((_, before), (after, _)) in enumerate(pairwise(ends)):
            for each in self._passes(item):
                by_way = self.length(before, each.into) + self.length(each.out_of, after)
                made.append((by_way - self.length(before, after), place, each))
        more, place, each = min(made, key=lambda one: one[0])
        return more, (*steps[:place], each, *steps[place:])


_SAME_MM = 1e-6


def ends_of(step: Step) -> Ends:
    """The port by which a step is entered, straight on, and that by which it is left."""
    if isinstance(step, Pass):
        return step.into, step.out_of
    if isinstance(step, Beside):
        return ends_of(step.branches[0])
    return ends_of(step.steps[0])[0], ends_of(step.steps[-1])[1]

"""The pressure budget with its running share, circuit by circuit."""

from dataclasses import dataclass
from itertools import accumulate

from loopsim.studies.results import CircuitFlow, OperatingPoint, PartFlow

__all__ = ["Budget", "BudgetLine", "budgets"]


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """A part or tube run that costs pressure; `running` is its share with those of all larger ones, 0 to 1."""

    part: PartFlow
    running: float


@dataclass(frozen=True, slots=True)
class Budget:
    """What eats the pumps' work in one circuit, largest first; `circuit` is its name, empty where there is one only."""

    circuit: str
    lines: tuple[BudgetLine, ...]


def budgets(point: OperatingPoint) -> tuple[Budget, ...]:
    """The budget of every circuit in which something costs pressure."""
    found = []
    moving = [circuit for circuit in point.circuits if circuit.is_moving]
    for circuit in moving:
        parts = [part for part in point.budget if part.id in circuit.items and _lies_in(point, part, circuit)]
        if parts:
            found.append(Budget(circuit.name if len(moving) > 1 else "", _lines(parts)))
    return tuple(found)


def _lies_in(point: OperatingPoint, part: PartFlow, circuit: CircuitFlow) -> bool:
    """Whether a part belongs to a circuit that passes it: of an exchanger's ways, only one does."""
    if not part.way:
        return True
    paths = point.build.part(part.id).flow_paths
    ends = {f"{part.id}.{end}" for path in paths if path.name == part.way for end in (path.start, path.end)}
    runs = [run for run in point.layout.runs if run.id in circuit.items]
    return any(end in ends for run in runs for end in (run.start, run.end))


def _lines(parts: list[PartFlow]) -> tuple[BudgetLine, ...]:
    running = accumulate(part.share for part in parts)
    return tuple(BudgetLine(part, total) for part, total in zip(parts, running, strict=True))

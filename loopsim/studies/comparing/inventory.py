"""What a layout takes to build, in numbers."""

from collections import Counter
from dataclasses import dataclass

from loopsim.build import Build, Layout
from loopsim.parts import Part, TubeRun
from loopsim.units import to_si

__all__ = ["Inventory", "inventory"]


@dataclass(frozen=True)
class Inventory:
    """Counts of a layout.

    Attributes
    ----------
    parts : int
        Placed, without fittings.
    fittings : Counter of str
        By what they are called: fittings that are parts, and elbows at corners of tubes.
    bends, mitres : int
        Corners of tubes that need no fitting.
    tube : float
        Length of all tube [m].
    coolant : float
        What the parts, up to their levels, and the tubes hold [m3].
    """

    parts: int
    fittings: Counter[str]
    bends: int
    mitres: int
    tube: float
    coolant: float

    @property
    def fitting_count(self) -> int:
        """Number of fittings."""
        return self.fittings.total()


def inventory(build: Build, layout: Layout) -> Inventory:
    """Count what is drawn.

    Parameters
    ----------
    build : Build
    layout : Layout
    """
    placed = [build.part(part_id) for part_id in layout.placements]
    fittings = Counter(part.title for part in placed if _is_fitting(part))
    turns: Counter[str] = Counter()
    tube_mm, coolant_ml = 0.0, sum(part.coolant_ml for part in placed)
    for run in layout.runs:
        path = build.run_path(layout, run)
        turns.update(run.corners[bend.corner].turn for bend in path.bends)
        tube_mm += path.length_mm
        coolant_ml += TubeRun.coolant_ml(build.tube(run.tube), path)
    return Inventory(
        parts=len(placed) - fittings.total(),
        fittings=fittings + Counter({"elbow": turns["elbow"]}),
        bends=turns["bend"],
        mitres=turns["mitre"],
        tube=to_si(tube_mm, "mm"),
        coolant=to_si(coolant_ml, "ml"),
    )


def _is_fitting(part: Part) -> bool:
    return part.family == "fittings"

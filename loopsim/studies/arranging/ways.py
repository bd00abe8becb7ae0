"""Ways for tubes between ports, where nothing stands but what stays: what an arrangement is judged by undrawn."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, get_args

from loopsim.build import Build, Layout, edits
from loopsim.build.layout_edits import copy_layout, free_layout_name
from loopsim.geometry import Path
from loopsim.parts import TubeRun, part_of
from loopsim.studies.arranging.open_loop import OpenLoop
from loopsim.studies.fit import led_run

__all__ = ["BareLayout", "Way"]

Turn = Literal["bend", "elbow", "mitre"]

_NAME = "rearranged"
_DETOUR = 2.0  # over the straight line between ports: what a way is taken for that was not found


@dataclass(frozen=True, slots=True)
class Way:
    """A tube between two ports.

    Attributes
    ----------
    run : TubeRun
        Straight from port to port where no way was found.
    path : Path
    is_found : bool
    """

    run: TubeRun
    path: Path
    is_found: bool

    @property
    def length_mm(self) -> float:
        """Of tube; more than straight where no way was found."""
        return self.path.length_mm if self.is_found else _DETOUR * self.path.length_mm


class BareLayout:
    """A copy of a layout without the tubes and joints that go, and ways for tubes in it.

    A tube that joins two ports in the drawing stays as it is drawn.

    Attributes
    ----------
    build : Build
        With the copy behind the layout.
    name : str
        Of the copy.
    """

    def __init__(self, loop: OpenLoop) -> None:
        self.loop = loop
        self.name = free_layout_name(loop.build, _NAME)
        self.build = self._bared()
        kept = [run for run in self._redrawn if not self._is_at_joint(run)]
        self._drawn = {ends: run for run in kept for ends in ((run.start, run.end), (run.end, run.start))}
        self._found: dict[tuple[str, str], Way] = {}

    @property
    def layout(self) -> Layout:
        """The copy."""
        return self.build.layout(self.name)

    def way(self, start: str, end: str) -> Way:
        """A tube from port to port, the same in both directions."""
        found = self._found.get((start, end)) or self._found.get((end, start))
        if found is None:
            found = self._found[start, end] = self._way(start, end)
        return found

    def new_run(self, build: Build, start: str, end: str) -> TubeRun:
        """A tube of the kind that leads to its ports in the drawing, with a free id, straight."""
        layout = build.layout(self.name)
        tube, radius = self._kind_at.get(start) or self._kind_at.get(end) or self._usual
        taken = [*layout.runs_by_id, *self.loop.layout.runs_by_id]
        run_id = edits.free_run_id(layout.model_copy(update={"runs": tuple(map(_with_id, taken))}))
        return TubeRun(id=run_id, start=start, end=end, tube=tube, radius_mm=radius)

    @cached_property
    def turn(self) -> Turn:
        """What corners mostly are in the tubes that go."""
        turns = Counter(corner.turn for run in self._redrawn for corner in run.corners)
        return max(get_args(Turn), key=lambda turn: turns[turn])

    def _is_at_joint(self, run: TubeRun) -> bool:
        """True if a run ends on a tee that goes, so that it ends nowhere."""
        return not self.loop.joints.isdisjoint(run.part_ids)

    @property
    def _redrawn(self) -> Sequence[TubeRun]:
        return [run for run in self.loop.layout.runs if run.id in self.loop.redrawn]

    @cached_property
    def _usual(self) -> tuple[str, float]:
        return Counter((run.tube, run.radius_mm) for run in self._redrawn).most_common(1)[0][0]

    @cached_property
    def _kind_at(self) -> dict[str, tuple[str, float]]:
        """Tube and radius of the run that goes, by the ports at its ends."""
        return {end: (run.tube, run.radius_mm) for run in self._redrawn for end in (run.start, run.end)}

    def _bared(self) -> Build:
        build = copy_layout(self.loop.build, self.loop.layout.name, self.name).build
        layout, loop = build.layout(self.name), self.loop
        flow_at = loop.point.loop_flow_at
        moved = {part for item in (*loop.units, *loop.in_line) for part in item.parts} | loop.joints
        return edits.change_layout(
            build,
            self.name,
            placed=tuple(each for each in layout.placed if each.part not in loop.joints),
            runs=tuple(run for run in layout.runs if run.id not in loop.redrawn),
            loop_flow_at=part_of(loop.leaves) if flow_at in moved else layout.loop_flow_at,
        ).build

    def _way(self, start: str, end: str) -> Way:
        drawn = self._drawn.get((start, end))
        straight = self.new_run(self.build, start, end)
        found = drawn or led_run(self.build, self.layout, straight, self.turn)
        run = found or straight
        return Way(run, self.build.run_path(self.layout, run), found is not None)


def _with_id(run_id: str) -> TubeRun:
    return TubeRun.model_construct(id=run_id)

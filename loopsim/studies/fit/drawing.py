"""A layout as boxes and tubes: what all checks of fit look at."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout, Placement, Reserved
from loopsim.geometry import Box, Path, Spot, TubeBody, body, box_of
from loopsim.parts import Part, Supply, Tube, TubeRun
from loopsim.studies.sentence import bare_datum, datum

__all__ = ["Drawing", "DrawnRun", "Joint", "Standing", "spot_words"]


FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Standing:
    """A part inside the enclosure, and the box that it takes up."""

    part: Part
    placement: Placement
    box: Box


@dataclass(frozen=True, slots=True)
class DrawnRun:
    """A tube run with its centre line."""

    run: TubeRun
    tube: Tube
    path: Path
    body: TubeBody

    @property
    def ends(self) -> tuple[str, str]:
        """Ids of the parts that it joins."""
        return self.run.part_ids


@dataclass(frozen=True, slots=True)
class Joint:
    """Where tube is joined: at a port, or at an elbow fitting or glued mitre in a run."""

    run: TubeRun
    spot: Spot
    corner: int | None  # None at a port
    port: str


class Drawing:
    """The parts and runs of a layout in the enclosure's axes."""

    def __init__(self, build: Build, layout: Layout) -> None:
        self.build, self.layout, self.enclosure = build, layout, build.enclosure
        self._parts, self._placements = build.parts_by_id, layout.placements
        placed = [(self._parts[placement.part], placement) for placement in layout.placed]
        self.standing = [
            Standing(part, placement, box_of(placement.place_of(part), part.outline))
            for part, placement in placed
            if not (isinstance(part, Supply) and part.stands == "outside")
        ]
        self.runs = [self._drawn(run) for run in layout.runs]

    def _drawn(self, run: TubeRun) -> DrawnRun:
        tube, path = self.build.tube(run.tube), run.path(self._port_spot(run.start), self._port_spot(run.end))
        return DrawnRun(run, tube, path, body(path, tube.outer_mm / 2))

    def _port_spot(self, reference: str) -> Spot:
        part_id, _, port = reference.partition(".")
        return self._placements[part_id].port_spots(self._parts[part_id])[port]

    def name_of(self, run: TubeRun) -> str:
        """What a run is called in a sentence."""
        return f"the tube from {self.build.run_name(run)}"

    def space_box(self, space: Reserved) -> Box:
        """The box of a reserved space."""
        place = space.place
        cos, sin = place.turn
        top = space.top_mm(self.enclosure)
        return Box(space.x_mm, space.y_mm, space.low_mm, top, space.length_mm / 2, space.width_mm / 2, cos, sin)

    @cached_property
    def boxes(self) -> FloatArray:
        """The boxes of all standing parts, a row each, shape (parts, 8)."""
        return np.array([stands.box for stands in self.standing], dtype=float).reshape(-1, 8)

    @cached_property
    def box_bounds(self) -> tuple[FloatArray, FloatArray]:
        """Lowest and highest corner of what each standing part takes along the axes, shapes (parts, 3)."""
        x, y, low, high, length, width, cos, sin = self.boxes.T
        along = np.abs(cos) * length + np.abs(sin) * width
        across = np.abs(sin) * length + np.abs(cos) * width
        return np.stack((x - along, y - across, low), axis=1), np.stack((x + along, y + across, high), axis=1)

    @cached_property
    def run_bounds(self) -> tuple[FloatArray, FloatArray]:
        """The same for every run, its wall included, shapes (runs, 3)."""
        low = np.array([drawn.body.low for drawn in self.runs]).reshape(-1, 3)
        return low, np.array([drawn.body.high for drawn in self.runs]).reshape(-1, 3)

    @cached_property
    def joints(self) -> list[Joint]:
        """Every place where a tube is joined."""
        return [joint for drawn in self.runs for joint in _joints(drawn)]

    def joint_words(self, joint: Joint) -> str:
        """What a joint is called in a sentence."""
        if joint.corner is None:
            part, port = self.build.port(joint.port)
            return f"the joint at {part.name}, {port.words}"
        turn = joint.run.corners[joint.corner].turn
        return f"the {turn} at corner {joint.corner + 1} of {self.name_of(joint.run)}"


def _joints(drawn: DrawnRun) -> Iterator[Joint]:
    run, spots = drawn.run, drawn.path.spots
    yield Joint(run, spots[0], None, run.start)
    yield Joint(run, spots[-1], None, run.end)
    for number, corner in enumerate(run.corners):
        if corner.turn != "bend":
            yield Joint(run, spots[number + 1], number, "")


def spot_words(spot: Spot) -> str:
    """A place in words: ``"at 310, 150 mm, 38 mm up"``."""
    x, y, height = (round(each) for each in (spot.x_mm, spot.y_mm, spot.height_mm))
    return f"at {bare_datum(x, 'mm')}, {datum(y, 'mm')}, {datum(height, 'mm')} up"

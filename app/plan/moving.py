"""Dragging parts, corners and stretches of tube."""

import math

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter

from app import figures
from app.plan.coordinates import snapped
from app.plan.gesture import Drag, Pointer
from app.plan.hits import run_at
from app.plan.snapping import Guide, Snapping, edge_marks, marks_of, paint_guides, port_marks
from app.plan.surface import Surface
from loopsim.build.arranging import move_parts
from loopsim.build.free_ports import free_ports
from loopsim.build.joining import split_run
from loopsim.build.run_edits import pull_corner, run_points, slide_stretch
from loopsim.geometry.reshape import insertion

__all__ = ["MoveCorner", "MoveParts", "MoveStretch"]

_STRAIGHT = 0.01  # of a direction: what is less across an axis counts as along it


class _MoveDrag(Drag):
    """A drag that always starts from the build it found, so that there and back is where it was."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self.build, self.layout = plan.document.build, plan.document.layout
        self.shift = (0.0, 0.0)
        self.guides: tuple[Guide, ...] = ()

    def set_shift(self, shift: tuple[float, float], is_free: bool) -> None:
        """Move by this much from where it all began."""
        if shift != self.shift:
            self.shift = shift
            self.change(is_free)

    def change(self, is_free: bool) -> None:
        """Make the edit for the present shift."""

    def words(self) -> str:
        if not self.has_moved:
            return ""
        by = figures.lengths_mm(self.shift, ", ", is_change=True)
        return " · ".join((by, *(guide.words for guide in self.guides)))

    def paint(self, painter: QPainter) -> None:
        paint_guides(painter, self.guides, self.plan.theme)

    def finish(self, at: Pointer) -> None:
        if self.shift == (0.0, 0.0):
            self.plan.document.take_back(self)
        super().finish(at)


class MoveParts(_MoveDrag):
    """Moves the selected parts; the one in the hand snaps to ports in line, to edges, or to the grid."""

    def __init__(self, plan: Surface, grabbed: str, lets_go: frozenset[str] | None = None) -> None:
        super().__init__(plan)
        self._grabbed = self.layout.placement(grabbed)
        self._ids = plan.arrange.movable()
        self._lets_go = lets_go  # what a mere click selects in the end
        place = (self._grabbed.x_mm, self._grabbed.y_mm)
        self._snapping = Snapping(marks_of(self.build, self.layout, frozenset(self._ids), place), plan.pixel_mm)
        part = self.build.part(grabbed)
        self._marks = [*port_marks(part, self._grabbed), *edge_marks(part, self._grabbed)]
        self._is_loose, self._run = self._may_be_set_in(), ""

    def drag(self, at: Pointer) -> None:
        if not self._ids:
            return
        away, stands = self.shift_mm(at), (self._grabbed.x_mm, self._grabbed.y_mm)
        shift, guides = [0.0, 0.0], []
        for axis in (0, 1):
            shift[axis] = snapped(stands[axis] + away[axis], at.is_free) - stands[axis]
            if not at.is_free:
                shift[axis], guide = self._snapping.shift(axis, self._marks, away[axis], shift[axis], at.mm)
                guides += [guide] if guide else []
        self.guides = tuple(guide.moved(*shift) for guide in guides)
        is_over_run = self._is_loose and not at.is_free
        self._run = run_at(self.plan.scene(), at.point, self.plan.pixel_mm) if is_over_run else ""
        self.set_shift((shift[0], shift[1]), at.is_free)

    def change(self, is_free: bool) -> None:  # noqa: ARG002
        self.do(lambda: move_parts(self.build, self.layout.name, self._ids, *self.shift))

    def words(self) -> str:
        if self._run:
            return f"into tube run {self.build.run_name(self.layout.run(self._run))}"
        return super().words()

    def finish(self, at: Pointer) -> None:
        if not self.has_moved and self._lets_go is not None:
            self.plan.document.select(self._lets_go)
        if self._run:
            build = self.plan.document.build
            self.do(lambda: split_run(build, self.layout.name, self._run, self._grabbed.part, at.on_grid))
        super().finish(at)

    def _may_be_set_in(self) -> bool:
        """True for a part that no run leads to yet, and through which liquid passes."""
        free = free_ports(self.build, self.layout).get(self._grabbed.part)
        ports = len(self.build.part(self._grabbed.part).ports)
        return len(self._ids) == 1 and ports > 1 and free is not None and len((*free.waiting, *free.plugged)) == ports


class MoveCorner(_MoveDrag):
    """Pulls one corner of a run; its neighbours follow, unless Alt is held."""

    def __init__(self, plan: Surface, run_id: str, corner: int) -> None:
        super().__init__(plan)
        self._run, self._corner = self.layout.run(run_id), corner
        self._snapping = Snapping(marks_of(self.build, self.layout), plan.pixel_mm)

    def drag(self, at: Pointer) -> None:
        (dx, dy), stands = self.shift_mm(at), self._run.corners[self._corner]
        to = stands.x_mm + dx, stands.y_mm + dy
        if at.is_free:
            to, self.guides = (snapped(to[0], True), snapped(to[1], True)), ()
        else:
            to, self.guides = self._snapping.place(to)
        still = (0.0 if abs(dx) < 1.0 else to[0] - stands.x_mm, 0.0 if abs(dy) < 1.0 else to[1] - stands.y_mm)
        self.set_shift(still, at.is_free)

    def change(self, is_free: bool) -> None:
        args = (self.build, self.layout.name, self._run.id, self._corner, *self.shift)
        self.do(lambda: pull_corner(*args, free=is_free))


class MoveStretch(MoveCorner):
    """Slides the straight stretch in the hand across itself; those beside it grow or shrink."""

    def __init__(self, plan: Surface, run_id: str, at: Pointer, lets_go: frozenset[str] | None = None) -> None:
        layout, build = plan.document.layout, plan.document.build
        run = layout.run(run_id)
        points = run_points(build, layout, run)
        self._stretch, _, _ = insertion(points, at.mm)
        super().__init__(plan, run_id, min(max(self._stretch - 1, 0), max(len(run.corners) - 1, 0)))
        start, end = points[self._stretch], points[self._stretch + 1]
        length = math.dist(start, end) or 1.0
        self._left = ((start[1] - end[1]) / length, (end[0] - start[0]) / length)  # of it, a millimetre
        self._is_slanted = min(abs(each) for each in self._left) > _STRAIGHT
        self._lets_go = lets_go

    def drag(self, at: Pointer) -> None:
        if self._run.corners and not self._is_slanted:
            super().drag(at._replace(is_free=False))
        else:
            steep = max(abs(each) for each in self._left)  # so that its ends go along the grid
            self.set_shift(self._across(snapped(self._by(self.shift_mm(at)) / steep) * steep), is_free=False)

    def set_shift(self, shift: tuple[float, float], is_free: bool) -> None:
        super().set_shift(self._across(self._by(shift)), is_free)

    def change(self, is_free: bool) -> None:  # noqa: ARG002
        args = (self.build, self.layout.name, self._run.id, self._stretch, self._by(self.shift))
        self.do(lambda: slide_stretch(*args))

    def finish(self, at: Pointer) -> None:
        if not self.has_moved and self._lets_go is not None:
            self.plan.document.select(self._lets_go)
        super().finish(at)

    def _by(self, shift: tuple[float, float]) -> float:
        """How far a shift leads to the left of the stretch."""
        return shift[0] * self._left[0] + shift[1] * self._left[1]

    def _across(self, by_mm: float) -> tuple[float, float]:
        return self._left[0] * by_mm, self._left[1] * by_mm

"""Placing a new part: a copy of a specimen."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter

from app import figures
from app.plan.changes import into_run, new_part
from app.plan.coordinates import snapped, to_scene
from app.plan.gesture import Gesture, Pointer
from app.plan.hits import run_at
from app.plan.part_item import outline_rect, paint_body
from app.plan.snapping import Guide, Snapping, edge_marks, marks_of, paint_guides, port_marks
from app.plan.surface import Surface
from loopsim.build import Placement
from loopsim.build.edits import Edit
from loopsim.parts import Part

__all__ = ["NEXT_LIE", "PlacePart"]

NEXT_LIE = {"flat": "on edge", "on edge": "ports up", "ports up": "flat"}


class PlacePart(Gesture):
    """A part at true size follows the pointer until a click, or a drop, sets a copy down.

    R turns it before, X mirrors it, L tips it. A part that is set down on a tube run is set into it.
    """

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: Surface, specimen: Part, like: Placement | None = None) -> None:
        super().__init__(plan)
        self.specimen = specimen
        self.stands = like or Placement(part=specimen.id, x_mm=0.0, y_mm=0.0)
        self.guides: tuple[Guide, ...] = ()
        self._at: Pointer | None = None

    def start(self, at: Pointer) -> None:
        self.move(at)
        self.plan.message.emit(
            f"Click where the {self.specimen.title} goes, or on a tube run to set it in. R turns it, X mirrors it, "
            "L tips it, Alt frees it from grid and lines."
        )

    def move(self, at: Pointer) -> None:
        self._at, self.guides, place = at, (), [0.0, 0.0]
        if not at.is_free:
            place, self.guides = self._drawn_to(at)
        else:
            place = [snapped(each, free=True) for each in at.mm]
        self.stands = self.stands.model_copy(update={"x_mm": place[0], "y_mm": place[1]})

    def press(self, at: Pointer) -> None:
        self.move(at)
        self.finish(at)

    def release(self, at: Pointer) -> None:
        """The button came up from the click that chose the kind; nothing to do."""

    def finish(self, at: Pointer) -> None:
        document = self.plan.document
        before = frozenset(document.layout.placements)
        if self.do(self._edit):
            document.select(frozenset(document.layout.placements) - before)
        super().finish(at)

    def key(self, key: Qt.Key) -> bool:
        stands = self.stands
        changes = {
            Qt.Key.Key_R: {"rotation_deg": (stands.rotation_deg + 90.0) % 360.0},
            Qt.Key.Key_X: {"mirrored": not stands.mirrored},
            Qt.Key.Key_L: {"lie": NEXT_LIE[stands.lie]},
        }
        if key not in changes:
            return False
        self.stands = stands.model_copy(update=changes[key])
        self.move(self._at or self.plan.hand.at)
        return True

    def shifted_key(self, key: Qt.Key) -> bool:
        if key == Qt.Key.Key_R:
            self.stands = self.stands.model_copy(update={"rotation_deg": (self.stands.rotation_deg + 180.0) % 360.0})
        return self.key(key)

    def words(self) -> str:
        run_id = self._run()
        if run_id:
            return f"into tube run {self.plan.document.build.run_name(self.plan.document.layout.run(run_id))}"
        said = [f"x {figures.lengths_mm((self.stands.x_mm, self.stands.y_mm), ', y ')}"]
        said += [] if self.stands.lie == "flat" else [self.stands.lie]
        return " · ".join((*said, *(guide.words for guide in self.guides)))

    def paint(self, painter: QPainter) -> None:
        paint_guides(painter, self.guides, self.plan.theme)
        soft, stands = self.plan.theme.soft_ink, self.stands
        painter.save()
        painter.translate(to_scene(stands.x_mm, stands.y_mm))
        painter.rotate(-stands.rotation_deg)
        painter.setOpacity(0.7)
        paint_body(painter, self.specimen, self.plan.theme, soft, stands.lie, stands.mirrored)
        painter.drawRect(outline_rect(self.specimen, stands.lie))
        painter.restore()
        painter.setPen(soft)
        for name, spot in stands.port_spots(self.specimen).items():
            radius = self.specimen.ports[name].bore_mm / 2
            painter.drawEllipse(to_scene(spot.x_mm, spot.y_mm), radius, radius)

    def _drawn_to(self, at: Pointer) -> tuple[list[float], tuple[Guide, ...]]:
        """The place at the pointer, or one near it that is in line with ports or edges, or on the grid."""
        document = self.plan.document
        lines = Snapping(marks_of(document.build, document.layout, near=at.mm), self.plan.pixel_mm)
        zero = self.stands.model_copy(update={"x_mm": 0.0, "y_mm": 0.0})
        own = [*port_marks(self.specimen, zero), *edge_marks(self.specimen, zero)]
        place, guides = [0.0, 0.0], []
        for axis in (0, 1):
            place[axis], guide = lines.shift(axis, own, at.mm[axis], snapped(at.mm[axis]), at.mm)
            guides += [guide] if guide else []
        return place, tuple(guide.moved(*place) for guide in guides)

    def _run(self) -> str:
        """Id of the run into which it would be set."""
        if self._at is None or self._at.is_free or len(self.specimen.ports) < 2:
            return ""
        return run_at(self.plan.scene(), self._at.point, self.plan.pixel_mm)

    def _edit(self) -> Edit:
        document = self.plan.document
        edit = new_part(document.build, document.layout.name, self.specimen, self.stands)
        run_id = self._run()
        return into_run(edit, document.layout.name, run_id, self._at.on_grid) if run_id else edit

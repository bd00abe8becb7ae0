"""The ground under the plan: what it shows, and changing it by hand while the room is being edited."""

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter

from app.plan.coordinates import to_scene
from app.plan.drawing_below import DrawingBelow
from app.plan.gesture import Drag, Gesture, Pointer
from app.plan.ground_drags import MoveBackground, MoveOpening, MoveSpace, MoveWall, ResizeSpace
from app.plan.ground_gestures import CutOpening, DrawSpace
from app.plan.ground_hits import Thing, thing_at
from app.plan.ground_paint import paint_handles, paint_invitation, paint_openings, paint_spaces, space_shape
from app.plan.ground_sizes import SizeField
from app.plan.surface import Surface
from loopsim.build import ground_edits

__all__ = ["Ground"]


class Ground(QObject):
    """Paints the ground of a plan; while `is_edited`, a press in the plan takes hold of it instead of parts.

    Signals
    -------
    edited_changed(bool)
    """

    edited_changed = Signal(bool)

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self.plan, self.document = plan, plan.document
        self.is_edited = False
        self.chosen: Thing | None = None
        self._shown: tuple[object, ...] = ()
        self.below = DrawingBelow(plan)
        self.sizes = SizeField(plan)
        plan.ground = self
        plan.viewport().installEventFilter(self)
        plan.installEventFilter(self)
        for signal in (self.document.build_changed, self.document.layout_changed, self.document.path_changed):
            signal.connect(self._on_changed)
        self._on_changed()

    def edit(self, wanted: bool) -> None:
        """Begin or end to change the room by hand."""
        if wanted != self.is_edited:
            self.is_edited, self.chosen = wanted, None
            self.plan.cancel()
            self.plan.setFocus()
            self.document.select(())
            said = "drag walls, corners, spaces and openings; double click a wall for a corner; Delete; Esc ends"
            self.plan.message.emit(said if wanted else "")
            self._repaint()
            self.edited_changed.emit(wanted)

    def reserve(self) -> None:
        """Draw a space that must stay free."""
        self._begin(DrawSpace(self.plan))

    def cut(self, kind: str) -> None:
        """Cut a hole or a grille into a wall."""
        self._begin(CutOpening(self.plan, kind))

    def paint(self, painter: QPainter, scale: float) -> None:
        """Everything under the parts, in the scene."""
        build, layout, theme = self.document.build, self.document.layout, self.plan.theme
        self.below.paint(painter)
        name = self.chosen.name if self.chosen else ""
        paint_spaces(painter, layout.reserved, build.enclosure, theme, scale, name)

    def paint_above_walls(self, painter: QPainter, scale: float) -> None:
        """Openings, and handles while the room is edited."""
        enclosure, theme = self.document.build.enclosure, self.plan.theme
        paint_openings(painter, enclosure, theme, scale, self.chosen.name if self.chosen else "")
        if not self.document.layout.placed:
            paint_invitation(painter, enclosure, theme, scale)
        if self.is_edited:
            points = [to_scene(x, y) for x, y in enclosure.corners]
            points += [point for space in self.document.layout.reserved for point in space_shape(space)]
            paint_handles(painter, points, theme, scale)

    def at(self, point: QPointF) -> Thing | None:
        """What of the ground lies at a point of the scene."""
        return thing_at(self.plan, point) or (Thing("background") if self.below.lies_at(point) else None)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.MouseButtonDblClick and self.plan.gesture is None:
            name = self.sizes.at(event.position()) if watched is self.plan.viewport() else ""
            if name:
                self.sizes.ask(name)
                return True
        if not self.is_edited or self.plan.gesture is not None:
            return super().eventFilter(watched, event)
        if isinstance(event, QMouseEvent) and event.button() == Qt.MouseButton.LeftButton:
            if event.type() == QEvent.Type.MouseButtonPress:
                self._press(self._pointer(event))
                return True
            if event.type() == QEvent.Type.MouseButtonDblClick:
                self._double_click(self._pointer(event))
                return True
        if watched is self.plan and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._key(Qt.Key(event.key()))
        return super().eventFilter(watched, event)

    def _press(self, at: Pointer) -> None:
        self.chosen = self.at(at.point)
        self._repaint()
        if self.chosen is not None:
            self.plan.hand.begin(self._drag(self.chosen), at)

    def _drag(self, thing: Thing) -> Drag:
        count = len(self.document.build.enclosure.corners)
        made = {
            "opening": lambda: MoveOpening(self.plan, thing.name),
            "corner": lambda: MoveWall(self.plan, (thing.number,)),
            "wall": lambda: MoveWall(self.plan, (thing.number, (thing.number + 1) % count)),
            "space": lambda: MoveSpace(self.plan, thing.name),
            "space corner": lambda: ResizeSpace(self.plan, thing.name, thing.number),
            "background": lambda: MoveBackground(self.plan),
        }
        return made[thing.kind]()

    def _double_click(self, at: Pointer) -> None:
        """On a wall: another corner there."""
        thing = self.at(at.point)
        if thing is not None and thing.kind == "wall":
            build = self.document.build
            self.plan.do(lambda: ground_edits.insert_outline_corner(build, at.mm)[0])

    def _key(self, key: Qt.Key) -> bool:
        if key == Qt.Key.Key_Escape:
            self.edit(False)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._delete()
        else:
            return False
        return True

    def _delete(self) -> None:
        thing, self.chosen = self.chosen, None
        build, name = self.document.build, self.document.layout.name
        if thing is None:
            return
        made = {
            "opening": lambda: ground_edits.remove_opening(build, thing.name),
            "corner": lambda: ground_edits.remove_outline_corner(build, thing.number),
            "space": lambda: ground_edits.remove_reserved(build, name, thing.name),
            "space corner": lambda: ground_edits.remove_reserved(build, name, thing.name),
            "background": lambda: ground_edits.remove_background(build, name),
        }
        if thing.kind in made:
            self.plan.do(made[thing.kind])

    def _begin(self, gesture: Gesture) -> None:
        self.plan.cancel()
        self.plan.setFocus()
        self.plan.hand.begin(gesture)

    def _on_changed(self, *_: object) -> None:
        build, layout, path = self.document.build, self.document.layout, self.document.path
        shown = (build.enclosure, layout.reserved, layout.background, path, not layout.placed)
        if shown != self._shown:
            self._shown = shown
            self.below.follow()
            self._repaint()

    def _repaint(self) -> None:
        self.plan.resetCachedContent()
        self.plan.viewport().update()

    def _pointer(self, event: QMouseEvent) -> Pointer:
        is_free = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        return Pointer(self.plan.to_point(event.position()), event.position(), is_free)

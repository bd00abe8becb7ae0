"""The ground under the plan: what it shows, and changing it by hand while the room is being edited."""

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter

from app.plan.coordinates import to_mm, to_scene
from app.plan.gesture import Drag, Pointer
from app.plan.ground_drags import MoveBackground, MoveOpening, MoveSpace, MoveWall, ResizeSpace, lies_at
from app.plan.ground_gestures import CutOpening, DrawSpace, ScaleBackground
from app.plan.ground_paint import (
    opening_box,
    paint_handles,
    paint_invitation,
    paint_openings,
    paint_spaces,
    space_shape,
)
from app.plan.ground_picture import Picture, first_look, read_picture
from app.plan.ground_sizes import SizeField
from app.plan.surface import Surface
from loopsim.build import Background, ground_edits
from loopsim.errors import LoopsimError

__all__ = ["Ground", "Thing"]

_REACH_PX, _WALL_PX = 8.0, 9.0


class Thing(NamedTuple):
    """What of the ground lies at a point."""

    kind: str  # opening, corner, space corner, space, wall, background
    name: str = ""
    number: int = -1


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
        self._picture: Picture | None = None
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

    def lay(self, path: Path) -> None:
        """Lay a picture or drawing under the plan, and go on to set its scale where the file states none."""
        build, layout = self.document.build, self.document.layout
        found: list[Background] = []

        def make() -> ground_edits.Edit:
            found.append(first_look(path, build.enclosure.length_mm))
            return ground_edits.put_background(build, layout.name, self._beside_the_build(found[0]))

        if self.plan.do(make) and found[0].kind == "picture":
            self.scale()

    def _beside_the_build(self, background: Background) -> Background:
        """What lies in the folder of the build's file is found there, wherever both are moved."""
        source, path = Path(background.source).resolve(), self.document.path
        folder = path.resolve().parent if path is not None else None
        near = folder is not None and source.is_relative_to(folder)
        return background.with_values(source=source.relative_to(folder).as_posix() if near else str(source))

    def scale(self) -> None:
        """Set the scale of the drawing below by two clicks."""
        if self._has_background():
            self._begin(ScaleBackground(self.plan))

    def toggle_lock(self) -> None:
        """Hold the drawing below where it is, or let it be dragged while the room is edited."""
        if self._has_background():
            self._change_background(locked=not self.document.layout.background.locked)

    def dim(self, by_percent: float) -> None:
        """Show the drawing below dimmer, or brighter."""
        if self._has_background():
            dim = self.document.layout.background.dim_percent + by_percent
            self._change_background(dim_percent=min(100.0, max(0.0, dim)))

    def lift(self) -> None:
        """Take the drawing below away."""
        if self._has_background():
            build, name = self.document.build, self.document.layout.name
            self.plan.do(lambda: ground_edits.remove_background(build, name))

    def paint(self, painter: QPainter, scale: float) -> None:
        """Everything under the parts, in the scene."""
        build, layout, theme = self.document.build, self.document.layout, self.plan.theme
        if self._picture is not None and layout.background is not None:
            self._picture.show(painter, layout.background, theme)
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
        found = (self._opening(point), self._corner(point), self._space(point), self._wall(point), self._below(point))
        return next((each for each in found if each), None)

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

    def _begin(self, gesture: object) -> None:
        self.plan.cancel()
        self.plan.setFocus()
        self.plan.hand.begin(gesture)

    def _change_background(self, **values: object) -> None:
        build, name = self.document.build, self.document.layout.name
        self.plan.do(lambda: ground_edits.change_background(build, name, **values))

    def _has_background(self) -> bool:
        if self.document.layout.background is None:
            self.plan.message.emit("nothing lies under this layout yet; lay a picture or drawing first")
            return False
        return True

    def _opening(self, point: QPointF) -> Thing | None:
        enclosure, reach = self.document.build.enclosure, _WALL_PX * self.plan.pixel_mm
        for opening in enclosure.openings:
            if opening_box(opening, enclosure, reach).adjusted(-1, -1, 1, 1).contains(point):
                return Thing("opening", opening.name)
        return None

    def _corner(self, point: QPointF) -> Thing | None:
        reach = _REACH_PX * self.plan.pixel_mm
        for space in self.document.layout.reserved:
            for number, corner in enumerate(space_shape(space)):
                if _away(corner, point) <= reach:
                    return Thing("space corner", space.name, number)
        for number, (x, y) in enumerate(self.document.build.enclosure.corners):
            if _away(to_scene(x, y), point) <= reach:
                return Thing("corner", number=number)
        return None

    def _space(self, point: QPointF) -> Thing | None:
        for space in reversed(self.document.layout.reserved):
            if space_shape(space).containsPoint(point, Qt.FillRule.OddEvenFill):
                return Thing("space", space.name)
        return None

    def _wall(self, point: QPointF) -> Thing | None:
        corners = [to_scene(x, y) for x, y in self.document.build.enclosure.corners]
        for number, start in enumerate(corners):
            if _away_from_line(point, start, corners[(number + 1) % len(corners)]) <= _REACH_PX * self.plan.pixel_mm:
                return Thing("wall", number=number)
        return None

    def _below(self, point: QPointF) -> Thing | None:
        lies, picture = self.document.layout.background, self._picture
        if lies is None or picture is None or lies.locked:
            return None
        return Thing("background") if lies_at(lies, picture.width, picture.height, *to_mm(point)) else None

    def _on_changed(self, *_: object) -> None:
        build, layout, path = self.document.build, self.document.layout, self.document.path
        shown = (build.enclosure, layout.reserved, layout.background, path, not layout.placed)
        before, self._shown = self._shown, shown
        if all(a is b for a, b in zip(before, shown, strict=False)) and before:
            return
        lies = layout.background
        old = before[2] if before else None
        if lies is None:
            self._picture = None
        elif old is None or (old.source, old.kind) != (lies.source, lies.kind) or before[3] != path:
            self._read(lies, path.parent if path else Path.cwd())
        self._repaint()

    def _read(self, background: Background, folder: Path) -> None:
        """One that cannot be read is a sentence; the plan goes on without it."""
        try:
            self._picture = read_picture(background, folder)
        except LoopsimError as error:
            self._picture = None
            self.plan.message.emit(str(error))

    def _repaint(self) -> None:
        self.plan.resetCachedContent()
        self.plan.viewport().update()

    def _pointer(self, event: QMouseEvent) -> Pointer:
        is_free = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        return Pointer(self.plan.to_point(event.position()), event.position(), is_free)


def _away(a: QPointF, b: QPointF) -> float:
    return ((a.x() - b.x()) ** 2 + (a.y() - b.y()) ** 2) ** 0.5


def _away_from_line(point: QPointF, start: QPointF, end: QPointF) -> float:
    along = end - start
    length = QPointF.dotProduct(along, along)
    share = min(1.0, max(0.0, QPointF.dotProduct(point - start, along) / length)) if length else 0.0
    return _away(point, start + along * share)

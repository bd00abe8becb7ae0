"""A picture or drawing that lies under the plan: laying it, setting its scale, dimming and holding it."""

from pathlib import Path

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from app.plan.coordinates import to_mm
from app.plan.ground_drags import lies_at
from app.plan.ground_gestures import ScaleBackground
from app.plan.ground_picture import Picture, first_look, read_picture
from app.plan.surface import Surface
from loopsim.build import Background, ground_edits
from loopsim.errors import LoopsimError

__all__ = ["DrawingBelow"]


class DrawingBelow:
    """The layout's background: what the builder does to it, and its picture, read when it changes."""

    def __init__(self, plan: Surface) -> None:
        self._plan, self._document = plan, plan.document
        self._picture: Picture | None = None
        self._shown: tuple[Background | None, Path | None] = (None, None)

    def lay(self, path: Path) -> None:
        """Lay a picture or drawing under the plan, and go on to set its scale where the file states none."""
        build, layout = self._document.build, self._document.layout
        found: list[Background] = []

        def make() -> ground_edits.Edit:
            found.append(first_look(path, build.enclosure.length_mm))
            return ground_edits.put_background(build, layout.name, self._beside_the_build(found[0]))

        if self._plan.do(make) and found[0].kind == "picture":
            self.scale()

    def scale(self) -> None:
        """Set its scale by two clicks."""
        if self._is_there():
            self._plan.cancel()
            self._plan.setFocus()
            self._plan.hand.begin(ScaleBackground(self._plan))

    def toggle_lock(self) -> None:
        """Hold it where it is, or let it be dragged while the room is edited."""
        if self._is_there():
            self._change(locked=not self._document.layout.background.locked)

    def dim(self, by_percent: float) -> None:
        """Show it dimmer, or brighter."""
        if self._is_there():
            dim = self._document.layout.background.dim_percent + by_percent
            self._change(dim_percent=min(100.0, max(0.0, dim)))

    def lift(self) -> None:
        """Take it away."""
        if self._is_there():
            build, name = self._document.build, self._document.layout.name
            self._plan.do(lambda: ground_edits.remove_background(build, name))

    def paint(self, painter: QPainter) -> None:
        """Draw it, in the scene."""
        background = self._document.layout.background
        if self._picture is not None and background is not None:
            self._picture.show(painter, background, self._plan.theme)

    def lies_at(self, point: QPointF) -> bool:
        """True if it is at a point of the scene and can be moved."""
        lies, picture = self._document.layout.background, self._picture
        if lies is None or picture is None or lies.locked:
            return False
        return lies_at(lies, picture.width, picture.height, *to_mm(point))

    def follow(self) -> None:
        """Read the file again where another one, or one in another folder, is to be seen."""
        (old, before), new, path = self._shown, self._document.layout.background, self._document.path
        self._shown = new, path
        if new is None:
            self._picture = None
        elif old is None or (old.source, old.kind) != (new.source, new.kind) or before != path:
            self._read(new, path.parent if path else Path.cwd())

    def _read(self, background: Background, folder: Path) -> None:
        """One that cannot be read is a sentence; the plan goes on without it."""
        try:
            self._picture = read_picture(background, folder)
        except LoopsimError as error:
            self._picture = None
            self._plan.message.emit(str(error))

    def _beside_the_build(self, background: Background) -> Background:
        """What lies in the folder of the build's file is found there, wherever both are moved."""
        source, path = Path(background.source).resolve(), self._document.path
        folder = path.resolve().parent if path is not None else None
        near = folder is not None and source.is_relative_to(folder)
        return background.with_values(source=source.relative_to(folder).as_posix() if near else str(source))

    def _change(self, **values: object) -> None:
        build, name = self._document.build, self._document.layout.name
        self._plan.do(lambda: ground_edits.change_background(build, name, **values))

    def _is_there(self) -> bool:
        if self._document.layout.background is None:
            self._plan.message.emit("nothing lies under this layout yet; lay a picture or drawing first")
            return False
        return True

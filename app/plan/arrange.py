"""What is done to several selected parts at once: arranged, locked, grouped, copied."""

from collections.abc import Callable, Iterable
from typing import Literal

from PySide6.QtGui import QGuiApplication

from app.plan.changes import remove
from app.plan.coordinates import snapped
from app.plan.surface import Surface
from loopsim.build import Build, arranging, copying, from_text, to_text
from loopsim.build.edits import Edit
from loopsim.errors import LoopsimError

__all__ = ["Arrange", "with_groups"]

_APART_MM = 20.0  # a copy lies so far from what it was copied from


class Arrange:
    """Edits of the selected parts, each one step back."""

    def __init__(self, plan: Surface) -> None:
        self._plan, self._document = plan, plan.document

    def movable(self) -> list[str]:
        """Ids of the selected parts that are not locked; says so where all of them are."""
        layout, chosen = self._document.layout, self._document.selection
        parts = [placement for placement in layout.placed if placement.part in chosen]
        loose = [placement.part for placement in parts if not placement.locked]
        if parts and not loose:
            names = self._document.build.part(parts[0].part).name if len(parts) == 1 else f"{len(parts)} parts"
            self._plan.message.emit(f"{names}: locked in place. K unlocks.")
        return loose

    def rotate(self, by_deg: float) -> None:
        """Turn the selected parts, several as one, counter-clockwise."""
        self._do(lambda build, name, parts: arranging.rotate_parts(build, name, parts, by_deg))

    def mirror(self, across: Literal["x", "y"] = "x") -> None:
        """Mirror the selected parts, several as one."""
        self._do(lambda build, name, parts: arranging.mirror_parts(build, name, parts, across))

    def tip(self) -> None:
        """Lay the selected parts flat, on edge, or with their ports up."""
        self._do(arranging.next_lie)

    def align(self, how: arranging.Alignment) -> None:
        """Bring edges or middles of the selected parts into line."""
        self._do(lambda build, name, parts: arranging.align(build, name, parts, how))

    def space_out(self, along: Literal["x", "y"]) -> None:
        """Give the selected parts equal gaps."""
        self._do(lambda build, name, parts: arranging.space_out(build, name, parts, along))

    def toggle_lock(self) -> None:
        """Lock the selected parts, or unlock them if all are locked."""
        layout, parts = self._document.layout, self._plan.commands.parts
        if parts:
            is_locked = all(layout.placement(part).locked for part in parts)
            build = self._document.build
            self._plan.do(lambda: arranging.lock(build, layout.name, parts, not is_locked))

    def group(self) -> None:
        """Let the selected parts be selected and moved together from now on."""
        build, name, parts = self._document.build, self._document.layout.name, self._plan.commands.parts
        self._plan.do(lambda: arranging.group(build, name, parts))

    def ungroup(self) -> None:
        """Let the selected parts go their own ways again."""
        build, name, parts = self._document.build, self._document.layout.name, self._plan.commands.parts
        self._plan.do(lambda: arranging.ungroup(build, name, parts))

    def copy(self) -> bool:
        """Put the selected parts, and the runs between them, on the clipboard as the text of a build."""
        try:
            cut = self._cutting()
        except LoopsimError as error:
            self._plan.message.emit(str(error))
            return False
        QGuiApplication.clipboard().setText(to_text(cut))
        return True

    def cut(self) -> None:
        """Copy, and remove what was copied."""
        build, name, chosen = self._document.build, self._document.layout.name, self._document.selection
        if self.copy():
            self._plan.do(lambda: remove(build, name, chosen))

    def paste(self) -> None:
        """Put what is on the clipboard where the pointer is, or beside what it was copied from."""
        try:
            cut = from_text(QGuiApplication.clipboard().text())
        except LoopsimError:
            self._plan.message.emit("The clipboard holds no parts of a build: copy some first.")
            return
        if cut.layouts[0].placed:
            self._put(cut, *self._away(cut))

    def duplicate(self) -> None:
        """Put a copy of the selected parts beside them."""
        try:
            cut = self._cutting()
        except LoopsimError as error:
            self._plan.message.emit(str(error))
            return
        self._put(cut, _APART_MM, -_APART_MM)

    def _cutting(self) -> Build:
        document = self._document
        return copying.cutting(document.build, document.layout.name, document.selection)

    def _put(self, cut: Build, dx_mm: float, dy_mm: float) -> None:
        document, made = self._document, set[str]()

        def put() -> Edit:
            edit, ids = copying.paste(document.build, document.layout.name, cut, dx_mm, dy_mm)
            made.update(ids)
            return edit

        if self._plan.do(put):
            document.select(made)

    def _away(self, cut: Build) -> tuple[float, float]:
        """From where parts were copied to where they go."""
        placed = cut.layouts[0].placed
        if not self._plan.underMouse():
            is_here = any(each.part in self._document.layout.placements for each in placed)
            return (_APART_MM, -_APART_MM) if is_here else (0.0, 0.0)
        x = (min(each.x_mm for each in placed) + max(each.x_mm for each in placed)) / 2
        y = (min(each.y_mm for each in placed) + max(each.y_mm for each in placed)) / 2
        to_x, to_y = self._plan.hand.at.mm
        return snapped(to_x - x), snapped(to_y - y)

    def _do(self, make: Callable[[Build, str, list[str]], Edit]) -> None:
        build, name, parts = self._document.build, self._document.layout.name, self.movable()
        if parts:
            self._plan.do(lambda: make(build, name, parts))


def with_groups(ids: Iterable[str], plan: Surface) -> frozenset[str]:
    """Ids together with those of the parts in the same groups."""
    layout, chosen = plan.document.layout, frozenset(ids)
    groups = {placement.group for placement in layout.placed if placement.part in chosen} - {None}
    return chosen | {placement.part for placement in layout.placed if placement.group in groups}

"""Names, marks and handles: all that keeps its size on the screen whatever the zoom."""

from collections.abc import Callable, Sequence
from functools import cache, partial

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from app.plan.air_arrows import AirArrow, air_arrows
from app.plan.air_marks import paint_bubble, pockets_at
from app.plan.at_scale import AtScale
from app.plan.found_marks import FoundMark, found_marks, mark_at, paint_found_marks
from app.plan.handle_paint import paint_handles
from app.plan.in_the_way import in_the_way
from app.plan.labels import Label, Obstacles, Stand, keep_labels, place_labels
from app.plan.lettering import paint_label
from app.plan.naming import Naming
from app.plan.rows import Row
from app.plan.scene import PlanScene
from app.theme import Theme
from loopsim.build import Enclosure
from loopsim.studies import Finding

__all__ = ["Annotations"]


class Annotations:
    """Lays out the words of a scene for one zoom, and paints them."""

    def __init__(self, scene: PlanScene) -> None:
        self._scene = scene
        self.seen = AtScale(scene, 1.0)
        self.labels: list[Label] = []
        self._stands: dict[str, Stand] = {}
        self._found: list[FoundMark] = []
        self._arrows: list[AirArrow] = []
        self._tight_rows: list[Row] = []  # named once at this zoom
        self._laid_out: tuple[float, int, Enclosure, Sequence[QRectF], bool] | None = None

    def lay_out(
        self, scale: float, enclosure: Enclosure, slips: Sequence[QRectF] = (), is_moving: bool = False
    ) -> None:
        """Find a place for every word at `scale` pixels per millimetre, clear of the slips on which notes are.

        While something is moving, words go along with what they name, and only new ones are given a place: to look
        for the best places for all takes long, and makes them jump about.
        """
        wanted = (scale, self._scene.stamp, enclosure, slips, is_moving)
        if wanted == self._laid_out:
            return
        if self._laid_out is not None and scale != self._laid_out[0]:
            self._tight_rows = []
        self._laid_out, self.seen = wanted, AtScale(self._scene, scale)
        self._found = list(found_marks(self.seen))
        self._arrows = list(air_arrows(self._scene.parts, self._scene.air, enclosure, scale))
        obstacles = cache(partial(in_the_way, self.seen, enclosure, slips, self._found, self._arrows))
        self._lay_out_words(partial(self._place, obstacles, is_moving), self.seen.room(enclosure))

    def _lay_out_words(self, place: Callable[..., list[Label]], room: QRectF) -> None:
        naming = Naming(self.seen, self._found)
        possible = naming.possible_rows()
        self._tight_rows = [row for row in possible if row in self._tight_rows]  # still too close, most likely
        self.labels = place(naming.labels(self._tight_rows))
        at_ease = {label.key for label in self.labels if label.is_at_ease}
        tight = [row for row in possible if row not in self._tight_rows and not at_ease.issuperset(row)]
        if tight:
            self._tight_rows += tight
            self.labels = place(naming.labels(self._tight_rows))
        named = {label.key: label.box for label in self.labels if not label.is_squeezed}
        values = place(list(naming.value_labels(self._tight_rows, named)), self.labels)
        near = [value for value in values if not value.is_far]  # further off it would seem another's
        for value in near:
            value.is_stray = False  # it goes with a name, which is led if need be
        self.labels += [value for value in near if room.contains(value.box)]  # on a wall it would be hard to read

    def _place(
        self, obstacles: Callable[[], Obstacles], is_moving: bool, labels: list[Label], placed: Sequence[Label] = ()
    ) -> list[Label]:
        """The labels with their places, clear of those `placed` already."""
        free = [label for label in labels if label.box.isNull()]  # the others stand within their parts
        new = keep_labels(free, self._stands) if is_moving else free
        if new:
            standing = [label for label in (*placed, *labels) if not label.box.isNull()]
            place_labels(new, obstacles(), self._stands, standing)
        return labels

    def mark_at(self, point: QPointF) -> Finding | None:
        """The finding whose mark is at a place, in pixels from the scene's origin."""
        return mark_at(self._found, point)

    def paint(self, painter: QPainter, origin: QPointF, theme: Theme, corner: tuple[str, int] | None) -> None:
        """Paint in pixels of the view, whose scene begins at `origin`; `corner` is the one that is selected."""
        painter.translate(origin)
        paint_handles(painter, self.seen, theme, corner)
        for label in self.labels:
            if not label.is_squeezed or label.key in self._scene.selection:
                paint_label(painter, label, theme)
        for arrow in self._arrows:
            arrow.paint(painter, theme)
        paint_found_marks(painter, self._found, theme)
        marks = self._scene.marks
        for pocket, at in pockets_at(marks):
            paint_bubble(painter, at * self.seen.scale, pocket, theme, marks.is_old)

"""The enclosure's length, width and clear height, typed over where the plan writes them."""

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit

from app import figures
from app.measures import measures
from app.plan.ground_drags import resized
from app.plan.surface import Surface
from app.theme import CONTROL
from app.typed import typed
from loopsim.build import Enclosure, edits
from loopsim.build.edits import Edit
from loopsim.fields import describe

__all__ = ["SizeField"]

_WIDTH_PX = 84
_REACH_PX = 60.0  # along a dimension line, from its middle
_NEAR_PX, _STRIP_PX = 8.0, 30.0  # outwards from a wall, between which its dimension stands
_FIELDS = {field.name: field for field in describe(Enclosure)}


class SizeField(QLineEdit):
    """Lies over one dimension until Enter, which makes the edit, or Esc."""

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan.viewport(), visible=False)
        self._plan = plan
        self._name = ""
        self.setFixedSize(_WIDTH_PX, CONTROL)
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.returnPressed.connect(self._on_entered)

    def at(self, pixel: QPointF) -> str:
        """Which dimension stands at a pixel of the view; empty where none does."""
        box = self._box()
        if abs(pixel.x() - box.center().x()) < _REACH_PX and _NEAR_PX < box.top() - pixel.y() < _STRIP_PX:
            return "length_mm"
        if abs(pixel.y() - box.center().y()) < _REACH_PX and _NEAR_PX < box.left() - pixel.x() < _STRIP_PX:
            return "width_mm"
        return "clear_height_mm" if self._plan.height_words.contains(pixel) else ""

    def ask(self, name: str) -> None:
        """Let the builder type one of the sizes."""
        self._name = name
        box = self._box()
        middle = {
            "length_mm": QPointF(box.center().x(), box.top() - 14),
            "width_mm": QPointF(box.left() - 14, box.center().y()),
            "clear_height_mm": self._plan.height_words.center(),
        }[name]
        corner = (middle - QPointF(_WIDTH_PX / 2, CONTROL / 2)).toPoint()
        self.move(QPoint(max(2, corner.x()), max(2, corner.y())))
        self.setAccessibleName(_FIELDS[name].label)
        self.setToolTip(_FIELDS[name].help)
        value, unit = getattr(self._plan.document.build.enclosure, name), _FIELDS[name].unit
        self.setText(figures.in_unit(value, unit, measures.unit(unit)))
        self.show()
        self.selectAll()
        self.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)

    def _on_entered(self) -> None:
        try:
            value = typed(self.text(), _FIELDS[self._name], measures.unit(_FIELDS[self._name].unit)).value
        except ValueError as error:
            self._plan.message.emit(str(error))
            return
        if self._plan.do(lambda: self._edit(value)):
            self._leave()

    def _edit(self, value: float) -> Edit:
        build = self._plan.document.build
        room = build.enclosure
        if self._name == "length_mm":
            return resized(build, value, room.width_mm)
        if self._name == "width_mm":
            return resized(build, room.length_mm, value)
        values = {name: getattr(room, name) for name in Enclosure.model_fields}
        return edits.change_build(build, enclosure=values | {self._name: value})._replace(
            text="Change the clear height"
        )

    def _leave(self) -> None:
        self.hide()
        self._plan.message.emit("")
        self._plan.setFocus()

    def _box(self) -> QRectF:
        """The enclosure in pixels of the view."""
        room = self._plan.enclosure
        return QRectF(
            self._plan.to_pixel(QPointF(0.0, -room.width_mm)), self._plan.to_pixel(QPointF(room.length_mm, 0.0))
        )

"""What a new build asks for: the room there is, and the room around it. All else is drawn."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QVBoxLayout, QWidget

from app.field_editors import NumberEditor
from app.field_grid import FieldGrid
from app.theme import STEP, Type, font
from loopsim.build import Ambient, Build, Enclosure, edits
from loopsim.errors import LoopsimError
from loopsim.fields import FieldDescription, Record, describe

__all__ = ["NAME", "NewBuild"]

NAME = "New build"
_RECORDS: tuple[tuple[str, str, type[Record]], ...] = (
    ("enclosure", "The enclosure, inside", Enclosure),
    ("ambient", "The room around it", Ambient),
)


class NewBuild(QDialog):
    """Sizes of the enclosure, temperature and altitude; every value can be changed later, and the usual ones stand."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(NAME)
        self.build = Build(name=NAME)
        self.editors: dict[str, NumberEditor] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(3 * STEP, 2 * STEP, 3 * STEP, 2 * STEP)
        column.setSpacing(STEP)
        for name, title, record in _RECORDS:
            heading = QLabel(title, self)
            heading.setFont(font(Type.PLAIN, bold=True))
            column.addWidget(heading)
            column.addWidget(self._grid(name, record))
        note = QLabel("Everything else is drawn on the plan. These values can be changed at any time.", self)
        note.setProperty("tone", "soft")
        note.setFont(font(Type.SMALL))
        column.addWidget(note)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, self)
        self.begin = buttons.addButton("Begin to draw", QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self._on_accepted)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        next(iter(self.editors.values())).setFocus(Qt.FocusReason.TabFocusReason)

    def _grid(self, name: str, record: type[Record]) -> FieldGrid:
        grid = FieldGrid(self)
        for field in describe(record):
            if field.shape == "number":
                self._add(grid, name, field)
        return grid

    def _add(self, grid: FieldGrid, name: str, field: FieldDescription) -> None:
        editor = NumberEditor(field, grid)
        editor.show_value(getattr(getattr(self.build, name), field.name))
        editor.wanted.connect(lambda value: self._take(name, field, value))
        grid.add(field.name, field, editor)
        self.editors[field.name] = editor

    def _take(self, name: str, field: FieldDescription, value: Any) -> None:
        """A value that is not allowed is refused where it was typed."""
        record = getattr(self.build, name)
        values = {each: getattr(record, each) for each in type(record).model_fields}
        try:
            self.build = edits.change_build(self.build, **{name: values | {field.name: value}}).build
        except LoopsimError as error:
            self.editors[field.name].refuse(str(error))
        else:
            self.editors[field.name].show_value(value)

    def _on_accepted(self) -> None:
        """What is typed last counts too; a refusal keeps the page open."""
        self.begin.setFocus()
        if not any(editor.is_pending for editor in self.editors.values()):
            self.accept()

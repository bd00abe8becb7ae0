"""One editor for each shape of field: it shows a value, and says what the builder wants instead.

An editor knows nothing of builds. It emits `wanted` with the new value; whoever owns it tries the edit, and then
either shows the new value or calls `refuse` with the reason, which leaves what was typed where it is.
"""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app import figures
from app.measures import measures
from app.theme import STEP, Type, font
from app.typed import typed
from loopsim.fields import FieldDescription

__all__ = ["ONE_LINE", "ChoiceEditor", "FieldEditor", "NumberEditor", "QuietBox", "SwitchEditor", "TextEditor"]


class FieldEditor(QWidget):
    """Base of all editors: the widget, its unit, and the sentence of a refusal below them."""

    wanted = Signal(object)
    reached = Signal(object)  # the field, when the keyboard comes to it

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self.value: Any = None
        self.shows_value = False
        self.details: QWidget | None = None  # what stands below it over the whole width, where there is more
        self.refusal = QLabel(self, wordWrap=True, visible=False)
        self.refusal.setProperty("tone", "rust")
        self.refusal.setFont(font(Type.SMALL))
        self.understood = QLabel(self, visible=False)
        self.understood.setProperty("tone", "soft")
        self.understood.setFont(font(Type.SMALL))
        self.unit = measures.unit(field.unit) if field.shape == "number" else None
        self.unit_label = QLabel(self.unit.label if self.unit else "", self)
        self.unit_label.setProperty("tone", "soft")
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)

    def show_value(self, value: Any) -> None:
        """Show what the document holds."""
        self.value, self.shows_value = value, True
        self._set_refusal("")
        self._display(value)

    def offer(self, field: FieldDescription) -> None:
        """Offer what the field may be now: choices come and go with the build."""
        self.field = field

    def refuse(self, why: str) -> None:
        """Say why a value was not taken; what was typed stays."""
        self._set_refusal(why)

    def restore(self) -> None:
        """Go back to what the document holds."""
        self.show_value(self.value)

    @property
    def is_open(self) -> bool:
        """True while its details are wanted."""
        return False

    @property
    def is_pending(self) -> bool:
        """True while something is typed that the document has not taken."""
        return not self.refusal.isHidden()

    def _display(self, value: Any) -> None:
        raise NotImplementedError

    def _arrange(self, main: QWidget) -> None:
        row = QHBoxLayout()
        row.setSpacing(STEP)
        row.addWidget(main)
        row.addWidget(self.unit_label, 0, Qt.AlignmentFlag.AlignLeft)
        row.addStretch(1)
        self._column.addLayout(row)
        self._column.addWidget(self.understood)
        self._column.addWidget(self.refusal)
        self.setFocusProxy(main)
        main.setAccessibleName(self.field.label)
        main.setAccessibleDescription(self.field.help)
        main.setToolTip(f"{self.field.help}".strip())

    def _set_refusal(self, why: str) -> None:
        self.refusal.setText(why)
        self.refusal.setVisible(bool(why))

    def _say_understood(self, words: str) -> None:
        """Say how something was understood, where that does not go without saying."""
        self.understood.setText(words)
        self.understood.setVisible(bool(words))


class _Line(QLineEdit):
    """A line whose Esc takes back what was typed, and which leaves undo to the window when there is nothing to."""

    given_up = Signal()
    reached = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.pending: Callable[[], bool] = self.isModified

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and not self.pending():
            undo, redo = QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo
            if event.matches(undo) or event.matches(redo):
                event.ignore()
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.pending():
            self.given_up.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.reached.emit()


class TextEditor(FieldEditor):
    """A line of text."""

    width = 224

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.line = _Line(self)
        self.line.setFixedWidth(self.width)
        self.line.pending = lambda: self.is_pending or self.line.isModified()
        self.line.editingFinished.connect(self._on_finished)
        self.line.given_up.connect(self.restore)
        self.line.reached.connect(lambda: self.reached.emit(self.field))
        self._arrange(self.line)

    @property
    def is_pending(self) -> bool:
        return super().is_pending or self.line.isModified()

    def _display(self, value: Any) -> None:
        text = self._text_of(value)
        cursor = self.line.cursorPosition() if self.line.hasFocus() else 0
        self.line.setText(text)  # even the same one: it takes the line's own undo away
        self.line.setCursorPosition(cursor)
        self.line.setModified(False)

    def _set_refusal(self, why: str) -> None:
        super()._set_refusal(why)
        self.line.setProperty("refused", bool(why))
        self.line.style().polish(self.line)

    def _on_finished(self) -> None:
        if not self.line.isModified():
            return
        self.line.setModified(False)
        try:
            value, understood = self._value_of(self.line.text())
        except ValueError as error:
            self.refuse(str(error))
            return
        if value == self.value:
            self.restore()
        else:
            self.wanted.emit(value)
        self._say_understood("" if self.is_pending else understood)

    def _text_of(self, value: Any) -> str:
        return "" if value is None else str(value)

    def _value_of(self, text: str) -> tuple[Any, str]:
        """What was typed as a value, and how it was understood."""
        return text.strip() or (None if self.field.optional else ""), ""


class NumberEditor(TextEditor):
    """A number with its unit, aligned right: the unit of the builder's choice, or any that is typed with it."""

    width = 96

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.line.setAlignment(Qt.AlignmentFlag.AlignRight)

    def _text_of(self, value: Any) -> str:
        return "" if value is None else figures.in_unit(value, self.field.unit, self.unit)

    def _value_of(self, text: str) -> tuple[Any, str]:
        if self.field.optional and not text.strip():
            return None, ""
        if self.shows_value and text.strip() == self._text_of(self.value):
            return self.value, ""  # not to a digit less than it is
        return typed(text, self.field, self.unit)


class ChoiceEditor(FieldEditor):
    """One of a few words; another one may be typed where the field is open."""

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.box = QuietBox(self)
        self.line: _Line | None = None
        if field.is_open:
            self.line = _Line(self)
            self.line.pending = lambda: self.is_pending
            self.box.setEditable(True)
            self.box.setLineEdit(self.line)
            self.box.setCompleter(None)
            self.line.editingFinished.connect(self._on_typed)
            self.line.given_up.connect(self.restore)
            self.line.reached.connect(lambda: self.reached.emit(self.field))
        self.box.setMaximumWidth(280)
        self.box.activated.connect(self._on_activated)
        self.box.reached.connect(lambda: self.reached.emit(self.field))
        self.offer(field)
        self._arrange(self.box)

    def offer(self, field: FieldDescription) -> None:
        super().offer(field)
        self.values: list[str | None] = [*([None] if field.optional else []), *field.choices]
        words = [field.label_of(value) if value is None or field.labels else _spaced(value) for value in self.values]
        if [self.box.itemText(number) for number in range(self.box.count())] != words:
            self.box.clear()
            self.box.addItems(words)
        if self.shows_value:
            self._display(self.value)

    @property
    def is_pending(self) -> bool:
        return super().is_pending or (self.line is not None and self.line.isModified())

    def _display(self, value: Any) -> None:
        known = value in self.values
        self.box.setCurrentIndex(self.values.index(value) if known else -1)
        if self.line is not None:
            self.line.setText(self.box.currentText() if known else str(value))
            self.line.setModified(False)

    def _on_activated(self, number: int) -> None:
        if number < len(self.values) and self.values[number] != self.value:
            self.wanted.emit(self.values[number])

    def _on_typed(self) -> None:
        if self.line.isModified():
            self.line.setModified(False)
            value = self.field.value_of(self.line.text().strip())
            if value == self.value:
                self.restore()
            else:
                self.wanted.emit(value)


class SwitchEditor(FieldEditor):
    """Yes or no."""

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.box = QCheckBox(self)
        self.box.clicked.connect(lambda checked: self.wanted.emit(checked))
        self._arrange(self.box)

    def _display(self, value: Any) -> None:
        self.box.setChecked(bool(value))


class QuietBox(QComboBox):
    """A combo box that leaves the wheel to the sheet around it."""

    reached = Signal()

    def may_shrink_to(self, letters: int) -> None:
        """Give up the room of long choices where it is scarce, but for so many letters."""
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(letters)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.reached.emit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


def _spaced(word: str) -> str:
    return word.replace("_", " ")


# Shapes that fit into a line; "record" and "points" have their editors in modules that are made of these.
ONE_LINE: dict[str, Callable[[FieldDescription, QWidget | None], FieldEditor]] = {
    "number": NumberEditor,
    "text": TextEditor,
    "choice": ChoiceEditor,
    "switch": SwitchEditor,
}

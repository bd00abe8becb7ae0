"""A length that is typed while the hand is on the plan, without a field to click."""

from PySide6.QtCore import Qt

from app import figures
from app.measures import measures
from app.typed import typed
from loopsim.fields import FieldDescription

__all__ = ["TypedNumber"]

Key = Qt.Key
_DIGITS = {Key(Key.Key_0.value + digit): str(digit) for digit in range(10)}
_POINTS = (Key.Key_Period, Key.Key_Comma)
_OF_UNITS = {Key(ord(letter.upper())): letter for letter in "mcinft"} | {
    Key.Key_Slash: "/", Key.Key_Space: " ", Key.Key_QuoteDbl: '"', Key.Key_Apostrophe: "'",
}  # fmt: skip
_LENGTH = FieldDescription("length", "length", "mm", "length", "number", 0.0, "", least=0.0)


class TypedNumber:
    """Digits as they come, with a decimal point or comma, in the builder's unit of length or one typed with them."""

    def __init__(self) -> None:
        self.text = ""

    def key(self, key: Qt.Key) -> bool:
        """Take a key; True if it belongs to the number."""
        if key in _DIGITS:
            self.text += _DIGITS[key]
        elif key in _POINTS and "." not in self.text:
            self.text = (self.text or "0") + "."
        elif key in _OF_UNITS and self.text:
            self.text += _OF_UNITS[key]
        elif key == Key.Key_Backspace and self.text:
            self.text = self.text[:-1]
        else:
            return False
        return True

    @property
    def words(self) -> str:
        """What was typed, with its unit; where another one was typed, what is understood."""
        if not self._has_unit:
            return f"{self.text or '...'} {measures.unit('mm').label}"
        return self.text if self.refusal else f"{self.text.strip()}, {figures.length_mm(self._value())}"

    @property
    def refusal(self) -> str:
        """Why what was typed is no length; empty where it is one, or nothing was typed."""
        try:
            self._value()
        except ValueError as error:
            return str(error)
        return ""

    def take(self) -> float | None:
        """The length in millimetres, None if nothing was typed; the next one begins empty. Ask `refusal` before."""
        length = self._value() if self.text else None
        self.text = ""
        return length

    @staticmethod
    def begins_with(key: Qt.Key) -> bool:
        """True if a number can begin with this key."""
        return key in _DIGITS

    @property
    def _has_unit(self) -> bool:
        return not self.text.replace(".", "").isdecimal() and bool(self.text)

    def _value(self) -> float:
        return typed(self.text, _LENGTH, measures.unit("mm")).value if self.text else 0.0

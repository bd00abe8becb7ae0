"""A length that is typed while the hand is on the plan, without a field to click."""

from PySide6.QtCore import Qt

from app.measures import measures
from loopsim.units import UNITS, converted

__all__ = ["TypedNumber"]

_DIGITS = {Qt.Key(Qt.Key.Key_0.value + digit): str(digit) for digit in range(10)}
_POINTS = (Qt.Key.Key_Period, Qt.Key.Key_Comma)


class TypedNumber:
    """Digits as they come, with a decimal point or comma, in the builder's unit of length."""

    def __init__(self) -> None:
        self.text = ""

    def key(self, key: Qt.Key) -> bool:
        """Take a key; True if it belongs to the number."""
        if key in _DIGITS:
            self.text += _DIGITS[key]
        elif key in _POINTS and "." not in self.text:
            self.text = (self.text or "0") + "."
        elif key == Qt.Key.Key_Backspace and self.text:
            self.text = self.text[:-1]
        else:
            return False
        return True

    @property
    def words(self) -> str:
        """What was typed, with its unit."""
        return f"{self.text or '...'} {measures.unit('mm').label}"

    def take(self) -> float | None:
        """The length in millimetres, None if nothing was typed; the next one begins empty."""
        text, self.text = self.text, ""
        return converted(float(text), measures.unit("mm"), UNITS["mm"]) if text else None

    @staticmethod
    def begins_with(key: Qt.Key) -> bool:
        """True if a number can begin with this key."""
        return key in _DIGITS

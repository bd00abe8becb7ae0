"""A number that is typed while the hand is on the plan, without a field to click."""

from PySide6.QtCore import Qt

__all__ = ["TypedNumber"]

_DIGITS = {Qt.Key(Qt.Key.Key_0.value + digit): str(digit) for digit in range(10)}
_POINTS = (Qt.Key.Key_Period, Qt.Key.Key_Comma)


class TypedNumber:
    """Digits as they come, with a decimal point or comma."""

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

    def take(self) -> float | None:
        """The number, None if nothing was typed; the next one begins empty."""
        text, self.text = self.text, ""
        return float(text) if text else None

    @staticmethod
    def begins_with(key: Qt.Key) -> bool:
        """True if a number can begin with this key."""
        return key in _DIGITS

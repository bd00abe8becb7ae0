"""A box to choose from, behind the words that say what is chosen."""

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel

from app.theme import STEP

__all__ = ["chooser_row"]


def chooser_row(words: str, box: QComboBox) -> QHBoxLayout:
    """Words and box in a row, at its left end."""
    row = QHBoxLayout()
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(STEP)
    label = QLabel(words)
    label.setProperty("tone", "soft")
    label.setBuddy(box)
    row.addWidget(label)
    row.addWidget(box)
    row.addStretch(1)
    return row

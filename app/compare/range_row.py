"""A number of the machine, and the range through which it is run."""

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app import figures
from app.compare.numbers import heading_of
from app.field_editors import QuietBox
from app.measures import measures
from app.theme import STEP
from app.typed import typed
from loopsim.build import Build
from loopsim.studies import Parameter, Variation

__all__ = ["RangeRow"]

_LEAST_POINTS, _MOST_POINTS, _USUAL_POINTS = 2, 101, 9
_LETTERS = 9  # of a choice that are seen in any case
_USUAL_SPAN = 0.5  # either side of what a number is now, as a share of it


class RangeRow(QWidget):
    """Which number, from where to where, in how many points.

    Parameters
    ----------
    name : str
        What the number is to the study, for those who listen.
    none : str
        What stands for no number; empty where there has to be one.

    Signals
    -------
    wanted()
        Return was pressed.
    """

    wanted = Signal()

    def __init__(self, name: str, none: str = "") -> None:
        super().__init__()
        self._none = [none] if none else []
        self._parameters: tuple[Parameter, ...] = ()
        self.which = QuietBox(self)
        self.which.may_shrink_to(_LETTERS)
        self.which.setAccessibleName(name)
        self.which.addItems(self._none)
        self.first, self.last, self.count = (QLineEdit(self) for _ in range(3))
        self.count.setText(str(_USUAL_POINTS))
        self.range = QWidget(self)
        self._lay_out(name)
        self.which.currentIndexChanged.connect(lambda _: self._suggest())
        measures.changed.connect(self._on_units)
        self._suggest()

    @property
    def parameter(self) -> Parameter | None:
        """The number that is chosen, as it is in the layout it was offered from."""
        at = self.which.currentIndex() - len(self._none)
        return self._parameters[at] if 0 <= at < len(self._parameters) else None

    def offer(self, parameters: Sequence[Parameter]) -> None:
        """Offer these numbers; what was chosen and typed stays while it is among them with the same value."""
        if _seen(parameters) == _seen(self._parameters):
            return
        chosen = self.parameter.reference if self.parameter is not None else ""
        self._parameters = tuple(parameters)
        references = [*self._none, *(each.reference for each in parameters)]
        self.which.blockSignals(True)
        self.which.clear()
        self.which.addItems([*self._none, *map(heading_of, parameters)])
        self.which.setCurrentIndex(references.index(chosen) if chosen in references else 0)
        self.which.blockSignals(False)
        self._suggest()

    def _on_units(self, _: object) -> None:
        """In other units every number is called otherwise, and what was typed meant something else."""
        for number, each in enumerate(self._parameters, len(self._none)):
            self.which.setItemText(number, heading_of(each))
        self._suggest()

    def variation(self, build: Build) -> Variation:
        """What was typed.

        Raises
        ------
        ValueError, LoopsimError
            In a sentence, if it is no range, or the build does not allow one of its ends.
        """
        parameter = self.parameter
        if parameter is None:
            raise ValueError("choose a number to vary")
        field, unit = parameter.field, measures.unit(parameter.field.unit)
        first, last = (typed(editor.text(), field, unit).value for editor in (self.first, self.last))
        count = _count(self.count.text())
        if first == last:
            raise ValueError(
                f"{heading_of(parameter)}: from and to are both {self.first.text().strip()}, a range needs two ends"
            )
        for value in (first, last):
            parameter.put(build, value)
        return Variation(parameter.reference, tuple(np.linspace(first, last, count).tolist()))

    def _suggest(self) -> None:
        """A range around what the number is now."""
        found = self.parameter
        self.range.setVisible(found is not None)
        if found is None:
            return
        field, span = found.field, _USUAL_SPAN * abs(found.value) or 1.0
        least = [found.value - span, *([field.least] if field.least is not None else [])]
        most = [found.value + span, *([field.most] if field.most is not None else [])]
        for editor, value in ((self.first, max(least)), (self.last, min(most))):
            editor.setText(figures.in_unit(value, field.unit, measures.unit(field.unit)))

    def _lay_out(self, name: str) -> None:
        lower = QHBoxLayout(self.range)
        lower.setContentsMargins(0, 0, 0, 0)
        lower.setSpacing(STEP)
        for text, editor, what in (
            ("from", self.first, "first value"),
            ("to", self.last, "last value"),
            ("in", self.count, "points"),
        ):
            label = QLabel(text, self)
            label.setProperty("tone", "soft")
            editor.setAccessibleName(f"{what}, {name}")
            editor.setFixedWidth(56)
            editor.returnPressed.connect(self.wanted)
            lower.addWidget(label)
            lower.addWidget(editor)
        lower.addWidget(QLabel("points", self))
        lower.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP // 2)
        column.addWidget(self.which)
        column.addWidget(self.range)


def _seen(parameters: Sequence[Parameter]) -> list[tuple[str, str, float | None]]:
    return [(each.reference, heading_of(each), each.value) for each in parameters]


def _count(text: str) -> int:
    """How many points were typed."""
    count = int(text) if text.strip().isdecimal() else 0
    if not _LEAST_POINTS <= count <= _MOST_POINTS:
        raise ValueError(f"points are {text.strip() or 'not given'}, allowed are {_LEAST_POINTS} to {_MOST_POINTS}")
    return count

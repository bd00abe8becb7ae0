"""Tilting the machine: how far it can be held, the search, and the tilts that it finds."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QSpinBox, QVBoxLayout, QWidget

from app import figures
from app.document import Document
from app.fill.plans import Plans
from app.fill.tilt_search import TiltQuestion, TiltSearch
from app.theme import STEP, Type, font
from loopsim.network import LEVEL, Tilt
from loopsim.studies.fill import TiltPlan
from loopsim.studies.fill.drain import tilt_words

__all__ = ["TiltView", "tilt_sentences"]

_USUAL_DEG, _MOST_DEG = 20, 90


class TiltView(QWidget):
    """Starts and stops the search; what it finds goes into the fill plan.

    Signals
    -------
    failed(Exception)
    """

    failed = Signal(object)

    def __init__(self, document: Document, plans: Plans) -> None:
        super().__init__()
        self.document, self.plans = document, plans
        self.search = TiltSearch(parent=self)
        self.title = QLabel("Tilting", self)
        self.title.setFont(font(Type.PLAIN, bold=True))
        self.sideways, self.lengthways = _angle("sideways"), _angle("front, back")
        self.begin, self.stop = QPushButton("Search the tilts"), QPushButton("Stop")
        self.bar = QProgressBar(maximum=100, textVisible=False, maximumHeight=8)
        self.bar.setAccessibleName("tilts searched")
        self.words = QLabel(wordWrap=True)
        self._lay_out()
        self.begin.clicked.connect(self.start)
        self.stop.clicked.connect(self.search.stop)
        self.search.progressed.connect(lambda share: self.bar.setValue(round(100 * share)))
        self.search.found.connect(self._on_found)
        self.search.ended.connect(self._on_ended)
        document.build_changed.connect(self._on_changed)
        document.layout_changed.connect(self._on_changed)
        self._on_changed()

    def start(self) -> None:
        """Search within the angles that the machine can be held at."""
        most = Tilt(float(self.sideways.value()), float(self.lengthways.value()))
        self.bar.setValue(0)
        self.search.start(TiltQuestion(self.document.build, self.document.layout.name, most))
        self._show_working()

    def close_down(self) -> None:
        """Search nothing more."""
        self.search.close()

    def _on_found(self, found: TiltPlan) -> None:
        self.words.setText(figures.unbroken("\n".join(tilt_sentences(found))))
        self.plans.use_tilts(found if found.steps else None)

    def _on_ended(self, error: Exception | None) -> None:
        self._show_working()
        if error is not None:
            self.failed.emit(error)

    def _on_changed(self, *_: object) -> None:
        """Another sketch: what was found holds no more."""
        self.search.stop()
        self.words.setText("Which tilts, one after the other, let out most air while nothing runs.")
        self._show_working()

    def _show_working(self) -> None:
        self.begin.setEnabled(not self.search.is_working)
        for widget in (self.bar, self.stop):
            widget.setVisible(self.search.is_working)

    def _lay_out(self) -> None:
        angles, buttons = _row(QLabel("It can be held"), self.sideways, self.lengthways), _row(self.begin, self.stop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP, 0, 0)
        column.setSpacing(STEP // 2)
        column.addWidget(self.title)
        column.addLayout(angles)
        column.addWidget(self.words)
        column.addLayout(buttons)
        column.addWidget(self.bar)


def tilt_sentences(found: TiltPlan) -> list[str]:
    """The tilts as steps."""
    if not found.steps:
        return ["No tilt within these angles lets any air out."]
    said = []
    for number, step in enumerate(found.steps, start=1):
        held = tilt_words(step.tilt) if step.tilt != LEVEL else "level"
        spills = f"; first close {', '.join(step.spills)} or lower the level: it would run over" if step.spills else ""
        said.append(f"{number}. Hold it {held}: {figures.amount(step.freed, 'ml')} get out{spills}.")
    left, trapped = (figures.amount(each, "ml") for each in (found.left, found.trapped))
    return [*said, f"{left} of {trapped} stay whatever the tilt."]


def _row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(STEP)
    for widget in widgets:
        row.addWidget(widget)
    row.addStretch(1)
    return row


def _angle(suffix: str) -> QSpinBox:
    box = QSpinBox(minimum=0, maximum=_MOST_DEG, value=_USUAL_DEG, singleStep=5, suffix=f"° {suffix}")
    box.setAccessibleName(f"how far it can be held, {suffix}")
    return box

"""How far the catalogue is, and what can be done about it."""

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app.failing.catalogue import Catalogue
from app.failing.words import does, tally
from app.theme import STEP
from loopsim.studies.failing.results import Verdict

__all__ = ["ProgressRow"]


class ProgressRow(QWidget):
    """Of which load case the list speaks and how far it is; stop, go on, and pairs of failures on request."""

    def __init__(self, catalogue: Catalogue) -> None:
        super().__init__()
        self.catalogue = catalogue
        self.words = QLabel(self)
        self.words.setProperty("tone", "soft")
        self.stop = QPushButton("Stop", self)
        self.again = QPushButton("Work out all", self)
        self.pairs = QPushButton("Pairs too", self)
        self.pairs.setToolTip("Also every two single failures at once; takes a while, and can be stopped.")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(STEP)
        row.addWidget(self.words, 1)
        for button, action in (
            (self.stop, catalogue.stop),
            (self.again, catalogue.again),
            (self.pairs, catalogue.add_pairs),
        ):
            row.addWidget(button)
            button.clicked.connect(action)
        catalogue.changed.connect(self.refresh)
        catalogue.advanced.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Follow the catalogue."""
        found = self.catalogue
        self.words.setText(self._text())
        is_busy = found.is_working or found.is_timing
        self.stop.setVisible(is_busy)
        may_go_on = found.base is not None and not found.is_old and not is_busy
        self.again.setVisible(may_go_on and not (found.is_complete and found.is_timed))
        self.pairs.setVisible(may_go_on and found.is_complete and not found.pairs and len(found.cases) > 1)

    def _text(self) -> str:
        found = self.catalogue
        done, count = found.progress
        case = found.base.case.name if found.base is not None else ""
        if found.is_working:
            below = "; below, the sketch before" if found.is_old else ""
            return f"{case or 'Failures'}: {done} of {count} worked out{below}"
        if found.is_timing:
            return "{}: {} of {} times to a limit followed".format(case, *found.times_followed)
        if found.is_old:
            return f"{case} (sketch before)"
        if found.base is None:
            return ""
        said = tally(found)
        pairs = f"; {len(found.pairs)} pairs" if found.pairs else ""
        counts: tuple[tuple[int, Verdict], ...]
        counts = ((said.less, "holds with less load"), (said.dark, "dark"), (said.holds, "holds"))
        others = ", ".join(f"{number} {does(judged, number)}" for number, judged in counts if number)
        return f"{case}: {others or 'none holds'}{pairs}"

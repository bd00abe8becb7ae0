"""What draws attention to itself, most harmful first, each with the way to its place and its remedy as a button."""

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app import figures
from app.link_label import LinkLabel
from app.measures import measures
from app.tab_order import tab_in_order
from app.theme import STEP, Type, font, themes
from loopsim.studies import Finding

__all__ = ["WarningList"]

_MOST = 3  # that are shown at once
_DOES = {  # what a remedy's button says
    "reroute": "Lead it round",
    "lower": "Lower it",
    "on_floor": "Set it on the floor",
    "other_lie": "Lay it down",
    "move_inside": "Move it inside",
    "swap_ports": "Exchange the tubes",
    "turn_round": "Turn it round",
    "least_radius": "Widen the bends",
    "fitting_radius": "Narrow the bends",
    "elbow": "Make it an elbow",
    "lower_corners": "Lower its corners",
    "raise_corners": "Raise its corners",
    "take_out": "Take it out",
    "add_vessel": "Set in a reservoir",
}


class WarningList(QWidget):
    """A few lines; the others on request.

    Signals
    -------
    shown(Finding)
        Its place is to be shown.
    mended(Finding)
        Its remedy is to be carried out.
    """

    shown = Signal(object)
    mended = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("to look at")
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self.rows: list[_Row] = []
        for _ in range(_MOST):  # made now, so that Tab meets them in their place
            self._add_row()
        self.more = QPushButton(self, flat=True, visible=False)
        self.more.clicked.connect(self._on_more)
        self._findings: tuple[Finding, ...] = ()
        self._shows_all = False
        self._column.addWidget(self.more, 0, Qt.AlignmentFlag.AlignLeft)
        themes.changed.connect(self._tell_anew)
        measures.changed.connect(self._tell_anew)
        self.hide()

    def show_findings(self, findings: Sequence[Finding]) -> None:
        """Show these."""
        if tuple(findings) != self._findings:
            self._findings = tuple(findings)
            self._fill()

    def _on_more(self) -> None:
        self._shows_all = not self._shows_all
        self._fill()
        self.more.setFocus()

    def _fill(self) -> None:
        shown = self._findings if self._shows_all else self._findings[:_MOST]
        while len(self.rows) < len(shown):
            self._add_row()
        for number, row in enumerate(self.rows):
            row.show_finding(shown[number] if number < len(shown) else None)
        rest = len(self._findings) - _MOST
        self.more.setVisible(rest > 0)
        self.more.setText("Fewer" if self._shows_all else f"{rest} more")
        self.setVisible(bool(shown))

    def _add_row(self) -> None:
        row = _Row(self)
        row.label.linkActivated.connect(lambda _: self.shown.emit(row.finding))
        row.mend.clicked.connect(lambda: self.mended.emit(row.finding))
        if self.rows:
            tab_in_order(self.rows[-1].mend, row.label, row.mend)
        self.rows.append(row)
        self._column.insertWidget(len(self.rows) - 1, row)

    def _tell_anew(self, _: object) -> None:
        for row in self.rows:
            row.show_finding(row.finding)


class _Row(QWidget):
    """One finding: a sentence that leads to its place, what to do, and a button that does it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.finding: Finding | None = None
        self.label = LinkLabel(self)
        self.label.setFont(font(Type.SMALL))
        self.mend = QPushButton(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(STEP)
        row.addWidget(self.label, 1)
        row.addWidget(self.mend, 0, Qt.AlignmentFlag.AlignTop)

    def show_finding(self, finding: Finding | None) -> None:
        """Show this one; nothing for None."""
        self.finding = finding
        self.setVisible(finding is not None)
        if finding is not None:
            self.label.setText(_line(finding))
            self.mend.setVisible(finding.fix in _DOES)
            self.mend.setText(_DOES.get(finding.fix, ""))
            self.mend.setAccessibleDescription(figures.told(finding.text))


def _line(finding: Finding) -> str:
    theme = themes.current
    text, remedy = (escape(figures.unbroken(figures.capitalised(each))) for each in (finding.text, finding.remedy))
    link = f'<a href="place" style="color:{theme.amber_text.name()}">{text}.</a>'
    return f"{link} {remedy}." if remedy and finding.remedy not in finding.text else link

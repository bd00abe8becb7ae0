"""Alarm levels: proposed from the failures, and those that stand in the log."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app import figures
from app.answer_table import AnswerTable, Row
from app.bench_page import dim
from app.document import Document
from app.measures import measures
from app.tab_order import tab_in_order
from app.theme import STEP, Type, font
from loopsim.build import AlarmLevels, Build
from loopsim.build.edits import change_layout
from loopsim.studies import Alarms
from loopsim.units import from_si

__all__ = ["AlarmView", "levels_of"]

_HEADINGS = ("", "proposed:\nwarn", "proposed:\ncut", "in the log:\nwarn", "in the log:\ncut")
_HOW = (
    "Cut means: take the load's power away. Bubbles pass a flow sensor too, so let a flow alarm wait some seconds. "
    "Proposals follow from the failures above; try them on the finished machine."
)
_NOTE = "proposed from the failures of this layout"


def levels_of(alarms: Alarms, build: Build) -> AlarmLevels | None:
    """Proposed levels as they are kept: flows rounded to whole litres an hour, temperatures to half a degree."""
    if alarms.flow_cut is None or alarms.place is None:
        return None
    coolant = (alarms.coolant_warn, alarms.coolant_cut)
    warn_c, cut_c = (None if each is None else round(2 * each) / 2 for each in coolant)
    flow_warn, flow_cut = (max(round(from_si(each, "l_h")), 1) for each in (alarms.flow_warn, alarms.flow_cut))
    return AlarmLevels(
        read_at=build.part(alarms.place).name,
        flow_warn_l_h=flow_warn,
        flow_cut_l_h=flow_cut,
        coolant_warn_c=warn_c,
        coolant_cut_c=cut_c,
        note=_NOTE,
    )


class AlarmView(QWidget):
    """Both beside each other, and the button that writes the proposed ones into the log."""

    told = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.proposed: AlarmLevels | None = None
        self._is_old = False
        self.sentence = QLabel(self, wordWrap=True)
        self.table = AnswerTable(_HEADINGS, all_rows=True, is_fine=True)
        self.table.setAccessibleName("alarm levels")
        self.write = QPushButton("Write them into the log", self)
        self.clear = QPushButton("Take them out", self, flat=True)
        how = QLabel(_HOW, self, wordWrap=True)
        how.setProperty("tone", "soft")
        how.setFont(font(Type.SMALL))
        row = QHBoxLayout()
        row.setSpacing(STEP)
        for button in (self.write, self.clear):
            row.addWidget(button)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP // 2, STEP, 0)
        column.setSpacing(STEP)
        for widget in (self.sentence, self.table):
            column.addWidget(widget)
        column.addLayout(row)
        column.addWidget(how)
        column.addStretch(1)
        tab_in_order(self.table, self.write, self.clear)
        self.write.clicked.connect(lambda: self._keep(self.proposed))
        self.clear.clicked.connect(lambda: self._keep(None))
        document.build_changed.connect(self._show)
        document.layout_changed.connect(self._show)
        self._show()

    def show_alarms(self, alarms: Alarms | None, old: bool = False) -> None:
        """Show proposed levels; None while they are not worked out. `old` ones are dimmed, and not to be written."""
        self._is_old = old
        self.proposed = None if alarms is None else levels_of(alarms, self.document.build)
        waiting = "Levels follow once every failure is worked out."
        read = f"Read at {self.proposed.read_at}, where flow and coolant stand for the loop." if self.proposed else ""
        dim(self.sentence, old)
        self.sentence.setText(waiting if alarms is None else figures.unbroken(read or alarms.sentence))
        self._show()

    def _keep(self, levels: AlarmLevels | None) -> None:
        edit = change_layout(self.document.build, self.document.layout.name, alarms=levels)
        self.document.do(edit._replace(text="Write alarm levels" if levels is not None else "Take out alarm levels"))

    def _show(self, *_: object) -> None:
        kept = self.document.layout.alarms
        flow = (
            *_pair("below", "l_h", self.proposed, "flow_warn_l_h", "flow_cut_l_h"),
            *_pair("below", "l_h", kept, "flow_warn_l_h", "flow_cut_l_h"),
        )
        coolant = (
            *_pair("above", "c", self.proposed, "coolant_warn_c", "coolant_cut_c"),
            *_pair("above", "c", kept, "coolant_warn_c", "coolant_cut_c"),
        )
        self.table.show_rows((Row("", ("flow", *flow)), Row("", ("coolant", *coolant))))
        self.write.setEnabled(self.proposed is not None and self.proposed != kept and not self._is_old)
        self.clear.setVisible(kept is not None)


def _pair(side: str, unit: str, levels: AlarmLevels | None, *names: str) -> tuple[str, ...]:
    values = (None if levels is None else getattr(levels, name) for name in names)
    return tuple(figures.NONE if value is None else f"{side} {_level(value, unit)}" for value in values)


def _level(value: float, unit: str) -> str:
    """A level as it is kept, or in the builder's unit with the digits of a reading."""
    return f"{figures.plain(value)} {figures.label(unit)}" if measures.is_own(unit) else figures.shown(value, unit)

"""A table of points: rows to add, remove and paste, or a curve from a few numbers; below it where they come from."""

from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app.estimate_row import EstimateRow
from app.field_editors import ONE_LINE, FieldEditor
from app.field_grid import FieldGrid
from app.points_plot import PointsPlot
from app.points_table import CellError, PointsTable
from app.record_editor import RecordEditor, values_of
from app.theme import STEP, Type, font
from loopsim.curves import ESTIMATES, DataCurve, LiquidCurve
from loopsim.fields import FieldDescription, Record, describe

__all__ = ["PointsEditor"]


class PointsEditor(FieldEditor):
    """Editor of a tuple of records, or of a curve: a record that holds them under `points`."""

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.table = PointsTable(field.columns, self)
        self.note = QLabel(self, visible=False, wordWrap=True)
        self.note.setProperty("tone", "soft")
        self.note.setFont(font(Type.SMALL))
        self.estimate: EstimateRow | None = None  # made when it is asked for
        self.plot = PointsPlot(self)
        self.own = FieldGrid(self)
        self._asking: FieldEditor | None = None
        self._pending = False
        for widget in (self.table, self.note, self.refusal):
            self._column.addWidget(widget)
        self._column.addLayout(self._buttons())
        self._column.addWidget(self.plot)
        self._column.addWidget(self.own)
        self.setFocusProxy(self.table)
        self.table.setAccessibleName(field.label)
        self.table.setAccessibleDescription(field.help)
        self._listen()

    @property
    def is_pending(self) -> bool:
        return super().is_pending or self._pending

    def offer(self, field: FieldDescription) -> None:
        super().offer(field)
        self.table.offer(field.columns)

    def refuse(self, why: str) -> None:
        if self._asking is not None:
            self._asking.refuse(why)
        else:
            self._pending = True
            super().refuse(why)

    def paste(self) -> None:
        """Put rows from the clipboard in place of those from the current row on; of all, if there is none."""
        self._asking = None
        try:
            done = self.table.paste(max(self.table.currentRow(), 0))
        except ValueError as error:
            self.refuse(str(error))
            return
        is_curve = self.field.record is not None and issubclass(self.field.record, DataCurve)
        turned = f"sorted by {self.table.columns[0].label}" if is_curve and self.table.sort_rising() else ""
        self._on_typed(show_bad=True)
        self._say("; ".join(each for each in (done, turned, self.note.text()) if each))

    def add_row(self) -> None:
        """An empty row after the current one; it counts once it is complete."""
        self.table.insert_after_current()
        self._on_typed()

    def remove_row(self) -> None:
        """Take the current row away."""
        if self.table.currentRow() >= 0:
            self.table.drop_current()
            self._on_typed()

    def _listen(self) -> None:
        self.table.typed.connect(self._on_typed)
        self.table.pasted.connect(self.paste)
        self.table.given_up.connect(self.restore)
        self.table.reached.connect(lambda: self.reached.emit(self.field))
        self.table.unit_changed.connect(self._draw)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(STEP)
        for text, action in (("Add row", self.add_row), ("Remove row", self.remove_row), ("Paste rows", self.paste)):
            button = QPushButton(text, self, flat=True)
            button.clicked.connect(action)
            row.addWidget(button)
        self.estimating = QPushButton("Estimate", self, flat=True, checkable=True)
        self.estimating.setToolTip("fill the table from a few numbers")
        self.estimating.setVisible(self.field.record in ESTIMATES)
        self.estimating.toggled.connect(self._on_estimating)
        row.addWidget(self.estimating)
        row.addStretch(1)
        return row

    def _add_own(self, curve: Record) -> None:
        """The curve's fields beside its points, and those that say where it comes from."""
        for each in describe(type(curve)):
            if each.shape != "points":
                kind = RecordEditor if each.shape == "record" else ONE_LINE[each.shape]
                editor = self.own.add(each.name, each, kind(each, self.own))
                editor.wanted.connect(lambda value, n=each.name, e=editor: self._on_own(n, value, e))
                editor.reached.connect(self.reached)

    def _display(self, value: Any) -> None:
        self._asking, self._pending = None, False
        self._say("")
        curve = value if isinstance(value, Record) else None
        if isinstance(curve, LiquidCurve):
            self.table.density = curve.provenance.state.density
        self.table.show_records(curve.points if curve is not None else value or ())
        self.own.setVisible(curve is not None)
        if curve is not None:
            self._display_own(curve)
        self._draw()

    def _display_own(self, curve: Record) -> None:
        if not self.own.editors:
            self._add_own(curve)
        for name, editor in self.own.editors.items():
            editor.show_value(getattr(curve, name))

    def _draw(self) -> None:
        self.plot.show_curve(self.value if isinstance(self.value, DataCurve) else None, self.table)

    def _say(self, text: str) -> None:
        self.note.setText(text)
        self.note.setVisible(bool(text))

    def _on_own(self, name: str, value: Any, editor: FieldEditor) -> None:
        self._asking = editor
        self.wanted.emit({**values_of(self.value), name: value})

    def _on_estimating(self, wanted: bool) -> None:
        if self.estimate is None:
            self.estimate = EstimateRow(ESTIMATES[self.field.record], self)
            self.estimate.made.connect(self._on_estimate)
            self._column.insertWidget(self._column.indexOf(self.plot), self.estimate)
        self.estimate.setVisible(wanted)
        (self.estimate.box if wanted else self.estimating).setFocus()

    def _on_estimate(self, curve: DataCurve, title: str) -> None:
        self._asking = None
        self.wanted.emit(curve)
        if not self.is_pending:
            self.estimating.setChecked(False)
            self._say(f"Estimated from {title}: a guess, ±{100 * curve.relative_tolerance:g} %")

    def _on_typed(self, show_bad: bool = False) -> None:
        """Offer the rows once all of them are complete."""
        self._asking, self._pending = None, True
        self._set_refusal("")
        try:
            rows, missing = self.table.read()
        except CellError as error:
            if show_bad:
                self.table.setCurrentCell(error.row, error.at)
            self.refuse(str(error))
            return
        self._say(f"{missing}; Esc takes it back" if missing else "")
        if not missing:
            self.wanted.emit(self._whole(rows))

    def _whole(self, rows: list[dict[str, Any]]) -> Any:
        """The value that these rows make."""
        if isinstance(self.value, tuple):
            return rows
        if not rows and self.field.default is None:
            return None  # an optional curve without points is none
        return {**(values_of(self.value) if self.value is not None else {}), "points": rows}

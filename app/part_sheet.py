"""The part sheet: the data of what is selected, read and edited, field by field."""

from html import escape
from typing import Any

from pydantic import ValidationError
from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.document import Document
from app.field_editors import ONE_LINE, FieldEditor
from app.field_grid import FieldGrid
from app.link_label import LinkLabel
from app.measures import measures
from app.part_help import show_help
from app.points_editor import PointsEditor
from app.record_editor import RecordEditor
from app.scroll_page import ScrollPage
from app.subjects import Section, Subject, subject_of
from app.theme import STEP, Type, font
from loopsim.errors import LoopsimError
from loopsim.fields import FieldDescription
from loopsim.parts import Part

__all__ = ["PartSheet", "editor_for"]


def editor_for(field: FieldDescription, parent: QWidget | None = None) -> FieldEditor:
    """The editor of a field's shape."""
    return {**ONE_LINE, "record": RecordEditor, "points": PointsEditor}[field.shape](field, parent)


class PartSheet(QWidget):
    """Follows selection and build. Editors stay while the subject does, so that the keyboard stays where it is."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.subject: Subject | None = None
        self.grids: list[FieldGrid] = []
        self._is_stale = False
        self._help, self._hint = LinkLabel(self), QLabel(self, wordWrap=True)
        self._scroll = ScrollPage("data", self)
        for label in (self._help, self._hint):
            label.setProperty("tone", "soft")
            label.setFont(font(Type.SMALL))
        self._help.linkActivated.connect(self._on_more)
        self._hint.setMinimumHeight(2 * self._hint.fontMetrics().lineSpacing())
        self._hint.setAlignment(Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        for widget, stretch in ((self._help, 0), (self._scroll, 1), (self._hint, 0)):
            column.addWidget(widget, stretch)
        document.build_changed.connect(self._on_changed)
        document.layout_changed.connect(self._on_changed)
        document.selection_changed.connect(self._on_changed)
        measures.changed.connect(self._on_units)
        self._follow()

    def editor(self, name: str) -> FieldEditor:
        """The editor of a field by name; of several, the first. KeyError if the sheet has none."""
        return next(grid.editors[name] for grid in self.grids if name in grid.editors)

    def focus_first(self) -> None:
        """Put the keyboard on the first field."""
        self._follow()
        for grid in self.grids[:1]:
            next(iter(grid.editors.values())).setFocus(Qt.FocusReason.TabFocusReason)

    def _on_more(self, _: str) -> None:
        """The page of the kind of part, or of the tube, that the sheet is about."""
        build, layout = self.document.build, self.document.layout
        (chosen,) = self.document.selection
        run = layout.runs_by_id.get(chosen)
        show_help(build.part(chosen) if run is None else build.tube(run.tube), self)

    def _on_units(self, _: object) -> None:
        """In other units, every field is another one."""
        self.subject = None
        self._on_changed()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self._follow()

    def _on_changed(self, *_: object) -> None:
        """Out of sight, the sheet waits until it is looked at again: a drag has no time for it."""
        self._is_stale = not self.isVisible()
        if not self._is_stale:
            self._follow()

    def _follow(self) -> None:
        self._is_stale = False
        document = self.document
        subject = subject_of(document.build, document.layout.name, document.selection)
        if self.subject is None or subject.key != self.subject.key:
            self._build_sheet(subject)
        else:
            self._offer(subject)
        self._show_values()

    def _build_sheet(self, subject: Subject) -> None:
        self.subject, self.grids = subject, []
        more = "" if subject.key[0] in ("build", "several") else " <a href='more'>What its numbers mean</a>"
        self._help.setText(escape(subject.help) + more)
        self._hint.clear()
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, STEP, 0)
        column.setSpacing(STEP // 2)
        for section in subject.sections:
            column.addWidget(self._heading(section.title))
            column.addWidget(self._grid(section))
            column.addSpacing(STEP)
        column.addStretch(1)
        old = self._scroll.takeWidget()
        if old is not None:
            old.deleteLater()
        self._scroll.setWidget(page)
        page.setAutoFillBackground(False)

    def _offer(self, subject: Subject) -> None:
        """The same fields with what they may name now."""
        self.subject = subject
        for section, grid in zip(subject.sections, self.grids, strict=True):
            for field in section.fields:
                if field != grid.editors[field.name].field:
                    grid.editors[field.name].offer(field)

    def _heading(self, title: str) -> QLabel:
        label = QLabel(title)
        label.setFont(font(Type.PLAIN, bold=True))
        return label

    def _grid(self, section: Section) -> FieldGrid:
        grid = FieldGrid()
        for field in section.fields:
            editor = grid.add(field.name, field, editor_for(field, grid))
            editor.wanted.connect(lambda value, s=section, n=field.name, e=editor: self._on_wanted(s, n, value, e))
            editor.reached.connect(self._on_reached)
        self.grids.append(grid)
        return grid

    def _show_values(self) -> None:
        build = self.document.build
        for section, grid in zip(self.subject.sections, self.grids, strict=True):
            record = section.record(build)
            for name, editor in grid.editors.items():
                value = getattr(record, name)
                if value != editor.value or not editor.shows_value:
                    editor.show_value(value)
            grid.hide_rows(record.idle_fields if isinstance(record, Part) else ())

    def _on_wanted(self, section: Section, name: str, value: Any, editor: FieldEditor) -> None:
        try:
            edit = section.change(self.document.build, {name: value})
        except (LoopsimError, ValidationError) as error:
            editor.refuse(_at_the_field(str(error), editor.field))
            return
        editor.value = getattr(section.record(edit.build), name)
        self.document.do(edit)
        editor.restore()

    def _on_reached(self, field: FieldDescription) -> None:
        """The help of the field that the keyboard is on."""
        unit = measures.unit(field.unit) if field.shape == "number" else None
        allowed = f"; {field.allowed_in(unit)}" if field.shape == "number" else ""
        self._hint.setText(f"{field.label}{f' [{unit.label}]' if unit else ''}: {field.help}{allowed}")


def _at_the_field(sentence: str, field: FieldDescription) -> str:
    """A refusal without what is plain from where it stands: whose field it is, and how it is called in files."""
    _, found, rest = sentence.partition(f"{field.name} is ")
    return f"{field.label} is {rest}" if found else sentence

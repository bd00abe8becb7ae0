"""A few fields of the layout in view, beside what they are about."""

from collections.abc import Sequence
from typing import Any

from pydantic import ValidationError

from app.document import Document
from app.field_editors import ONE_LINE, FieldEditor
from app.field_grid import FieldGrid
from loopsim.build import Layout, edits
from loopsim.errors import LoopsimError
from loopsim.fields import describe

__all__ = ["LayoutFields"]


class LayoutFields(FieldGrid):
    """Editors of the layout's own fields; what is typed becomes an edit."""

    def __init__(self, document: Document, names: Sequence[str]) -> None:
        super().__init__()
        self.document = document
        for field in describe(Layout):
            if field.name in names:
                editor = self.add(field.name, field, ONE_LINE[field.shape](field, self))
                editor.wanted.connect(lambda value, n=field.name, e=editor: self._on_wanted(n, value, e))
        self.refresh()

    def refresh(self) -> None:
        """Show what the layout holds; what is being typed stays."""
        for name, editor in self.editors.items():
            value = getattr(self.document.layout, name)
            if not editor.shows_value or value != editor.value:
                editor.show_value(value)

    def _on_wanted(self, name: str, value: Any, editor: FieldEditor) -> None:
        try:
            edit = edits.change_layout(self.document.build, self.document.layout.name, **{name: value})
        except (LoopsimError, ValidationError) as error:
            editor.refuse(str(error))
            return
        editor.value = value
        self.document.do(edit)
        editor.restore()

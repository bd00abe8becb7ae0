"""What stands in the way of a clean fill or drain, each with its remedy."""

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Signal

from app import figures
from app.link_label import LinkLabel
from app.theme import Theme, themes
from loopsim.studies.fill import FillWarning

__all__ = ["WarningRows"]


class WarningRows(LinkLabel):
    """Sentences; the place of each is a link that selects it.

    Signals
    -------
    chosen(frozenset of str)
    """

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._warnings: tuple[FillWarning, ...] = ()
        self.linkActivated.connect(lambda item: self.chosen.emit(frozenset((item,))))
        themes.changed.connect(self._on_theme)

    def show_warnings(self, warnings: Sequence[FillWarning]) -> None:
        """Show these."""
        self._warnings = tuple(warnings)
        self._write()

    def _on_theme(self, _: Theme) -> None:
        self._write()

    def _write(self) -> None:
        self.setText("".join(_line(each, themes.current) for each in self._warnings))
        self.setVisible(bool(self._warnings))


def _line(warning: FillWarning, theme: Theme) -> str:
    text, remedy = (escape(figures.unbroken(each)) for each in (warning.text, warning.remedy))
    colour = theme.amber_text.name()
    if warning.at is not None:
        name = escape(figures.unbroken(warning.at.name))
        link = f'<a href="{escape(warning.at.item)}" style="color:{colour}">{name}</a>'
        text = link + text.removeprefix(name) if text.startswith(name) else f"{text} ({link})"
    else:
        text = text[:1].upper() + text[1:]
    remedy = remedy[:1].upper() + remedy[1:]
    return f'<p style="margin:0 0 6px 0"><span style="color:{colour}">! {text}.</span> {remedy}.</p>'

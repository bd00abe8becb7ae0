"""What all benches share: the answer as a sentence first, then the rest, then what the numbers rest on."""

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QSizePolicy, QSpacerItem, QVBoxLayout, QWidget

from app import figures, words
from app.answer import Answer
from app.document import Document
from app.link_label import LinkLabel
from app.scroll_page import ScrollPage
from app.theme import STEP, Theme, Type, font, themes

__all__ = ["BenchPage", "RestsOn", "dim", "scrolling"]


class BenchPage(QWidget):
    """A bench: headline, a line below it, and whatever the bench puts under `column`.

    Signals
    -------
    chosen(frozenset of str)
        Parts chosen on the bench, to be selected everywhere.
    opened(str)
        Id of a part whose data are asked for.
    """

    chosen = Signal(object)
    opened = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.headline = QLabel(self, wordWrap=True)
        self.headline.setFont(font(Type.LARGE, bold=True))
        self.line = QLabel(self, wordWrap=True)
        self.line.setProperty("tone", "soft")
        for label in (self.headline, self.line):
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(STEP)
        self.column.addWidget(self.headline)
        self.column.addWidget(self.line)
        self.column.addItem(_slack())

    def heightForWidth(self, width: int) -> int:
        """What it needs at least: more it shares out among its views, before the area around it scrolls."""
        return self.column.totalMinimumHeightForWidth(width)

    def show_answer(self, answer: Answer) -> None:
        """Show an answer."""
        raise NotImplementedError

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection."""

    @property
    def is_working(self) -> bool:
        """True while something that was asked for by itself is still worked out."""
        return False

    def let_go(self) -> None:
        """Work out nothing more: the window closes."""

    def say(self, headline: str, line: str, old: bool = False) -> None:
        """The answer as a sentence, and a line that explains it; `old` dims them."""
        dim(self.headline, old)
        self.headline.setText(figures.unbroken(headline))
        self.line.setText(figures.unbroken(line))
        self.line.setVisible(bool(line))

    def say_unsolved(self, answer: Answer) -> bool:
        """Say what to do next while the layout cannot be solved; True if so."""
        missing = words.unsolved(answer, self.document.build, self.document.layout)
        if missing is not None:
            self.say(*missing)
        return missing is not None


def _slack() -> QSpacerItem:
    """Keeps headline and line together at the top where nothing stands below them, and takes no room otherwise."""
    return QSpacerItem(0, 0, QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Expanding)


def dim(label: QLabel, old: bool) -> None:
    """Write a label in a soft tone while what it says is of an earlier sketch."""
    tone = "soft" if old else ""
    if label.property("tone") != tone:
        label.setProperty("tone", tone)
        label.style().polish(label)


def scrolling(page: QWidget, name: str) -> ScrollPage:
    """A page of a bench that scrolls in a window too low for it; `name` is that of the view."""
    area = ScrollPage(name)
    area.setWidget(page)
    page.setAutoFillBackground(False)
    return area


class RestsOn(LinkLabel):
    """What the numbers rest on; each part's name leads to its data, and how to measure them."""

    opened = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._doubts: Sequence[words.Doubt] = ()
        self._sources = ""
        self.setFont(font(Type.SMALL))
        self.linkActivated.connect(self.opened)
        themes.changed.connect(self._on_theme)

    def show_doubts(self, doubts: Sequence[words.Doubt], sources: str) -> None:
        """Show these doubts; what the numbers come from where there is none."""
        self._doubts, self._sources = doubts, sources
        self._write()

    def _on_theme(self, _: Theme) -> None:
        self._write()

    def _write(self) -> None:
        theme = themes.current
        lines = [_line(doubt, theme) for doubt in self._doubts]
        if not lines and self._sources:
            lines = [f'<span style="color:{theme.soft_ink.name()}">{escape(self._sources)}</span>']
        self.setText("<br>".join(lines))
        self.setVisible(bool(lines))


def _line(doubt: words.Doubt, theme: Theme) -> str:
    colour = theme.amber_text.name()
    links = ", ".join(
        f'<a href="{escape(part)}" style="color:{colour}">{escape(name)}</a>' for part, name in doubt.parts
    )
    return f'<span style="color:{colour}">{escape(doubt.why)}: {links}</span>'

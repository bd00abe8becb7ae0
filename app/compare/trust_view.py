"""How sure the comparison is: every curve, bore and load drawn within its tolerance, as bands side by side."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app import figures
from app.answer_table import AnswerTable, Row
from app.compare.on_request import OnRequest
from app.compare.subjects import Subject, is_same
from app.measures import measures
from app.theme import STEP, Type, font
from loopsim.errors import LoopsimError
from loopsim.studies.tolerance import Band, Tolerance, tolerance
from loopsim.studies.tolerance.words import label_of, shown
from loopsim.studies.words import listed
from loopsim.units import unit_of

__all__ = ["DRAWS", "TrustView"]

DRAWS = 10_000
_HEADINGS = ("layout", "flow\n{l_h}", "left to the\nlimit, {k}", "limits\nhold, %")
_OF_BANDS = ("every figure", "middle", "in 95\nof 100")
_NAMED = 2  # inputs of which most of the spread comes
_HOW = (
    f"{DRAWS:,} machines drawn, each with every curve, bore and load within its stated tolerance: in 95 of 100 of them "
    "the figures lie within these bands. Layouts whose bands overlap widely are not told apart by the data at hand."
)


class Drawn(NamedTuple):
    """A layout and what its draws say, or why there are none."""

    subject: Subject
    found: Tolerance | None
    problem: str = ""


def draw_all(subjects: tuple[Subject, ...]) -> Iterator[Drawn]:
    """The study that answers, layout by layout."""
    for subject in subjects:
        try:
            yield Drawn(subject, tolerance(subject.build, subject.layout, draws=DRAWS))
        except LoopsimError as error:
            yield Drawn(subject, None, str(error))


class TrustView(QWidget):
    """Bands of every layout on request, and what most of the spread comes from."""

    def __init__(self) -> None:
        super().__init__()
        self.subjects: tuple[Subject, ...] = ()
        self.drawn: dict[tuple[str, str], Drawn] = {}
        self.study = OnRequest(draw_all, "Draw within the tolerances", "The draw", self)
        self.table = AnswerTable(_HEADINGS, all_rows=True, is_fine=True)
        self.table.setAccessibleName("bands of the layouts")
        self.bands = AnswerTable(_OF_BANDS, all_rows=True, is_fine=True)
        self.bands.setAccessibleName("bands of every figure")
        self.sentences = QLabel(self, wordWrap=True)
        self.how = QLabel(_HOW, self, wordWrap=True)
        self.how.setProperty("tone", "soft")
        self.how.setFont(font(Type.SMALL))
        self._lay_out()
        self.study.wanted.connect(lambda: self.study.start(self.subjects))
        self.study.came.connect(self._on_came)
        self.study.changed.connect(self._show)

    def close_work(self) -> None:
        """Work out nothing more."""
        self.study.close()

    def offer(self, subjects: tuple[Subject, ...]) -> None:
        """The layouts that are compared now."""
        self.subjects = subjects
        self._show()

    def _on_came(self, _: object, drawn: Drawn) -> None:
        self.drawn[drawn.subject.key] = drawn
        self._show()

    def _show(self) -> None:
        drawn = [self.drawn[each.key] for each in self.subjects if each.key in self.drawn]
        now = {each.key: each for each in self.subjects}
        old = any(not is_same(each.subject, now[each.subject.key]) for each in drawn)
        self.table.show_rows((_row(each) for each in drawn), old)
        self.bands.show_rows((row for each in drawn for row in _band_rows(each, len(drawn) > 1)), old)
        self.sentences.setText(figures.unbroken("\n".join(_sentence(each) for each in drawn)))
        self.sentences.setEnabled(not old)
        self.study.button.setEnabled(bool(self.subjects))
        self.study.say("Drawing" if self.study.is_working else "(sketch before)" if old else "")

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(STEP)
        row.addWidget(self.study.button)
        row.addWidget(self.study.words, 1)
        row.addStretch(0)  # keeps the button small while nothing is said
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP // 2, STEP, 0)
        column.setSpacing(STEP)
        column.addLayout(row)
        for widget in (self.table, self.sentences, self.bands, self.how):
            column.addWidget(widget)
        column.addStretch(1)


def _row(drawn: Drawn) -> Row:
    found = drawn.found
    if found is None:
        return Row("", (drawn.subject.title, *[figures.NONE] * 3))
    bands = {band.key: band for band in found.bands}
    cells = (
        drawn.subject.title,
        _band(bands.get("flow_l_h")),
        _band(bands.get("margin_k")),
        figures.NONE if found.within is None else f"{100 * found.within:.0f}",
    )
    return Row("", cells, attention=found.within is not None and found.within < 0.5)


def _sentence(drawn: Drawn) -> str:
    """What most of the spread comes from, or why nothing was drawn."""
    found = drawn.found
    if found is None:
        return f"{drawn.subject.title}: {drawn.problem}"
    figure = "margin_k" if found.shares.get("margin_k") else "flow_l_h"
    first = [f"{each.input.name} ({100 * each.share:.0f} %)" for each in found.shares.get(figure, ())[:_NAMED]]
    what = "the margin" if figure == "margin_k" else "the flow"
    return f"{drawn.subject.title}: most of the spread of {what} comes from {listed(first)}." if first else ""


def _band_rows(drawn: Drawn, is_named: bool) -> Iterator[Row]:
    """A row for every figure of a layout, below the layout's name where there are several."""
    if drawn.found is None:
        return
    if is_named:
        yield Row("", (drawn.subject.title, "", ""))
    for band in drawn.found.bands:
        yield Row("", (_heading(band.key), _written(band.key, band.middle), _band(band)))


def _band(band: Band | None) -> str:
    return figures.NONE if band is None else f"{_written(band.key, band.low)} to {_written(band.key, band.high)}"


def _heading(key: str) -> str:
    return figures.heading(label_of(key), unit_of(key))


def _written(key: str, value: float) -> str:
    unit = unit_of(key)
    return shown(key, value) if measures.is_own(unit) else figures.number(value, unit)

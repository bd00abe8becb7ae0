"""The bench at which a part is described: its sheet, or the build's own."""

from PySide6.QtCore import Signal

from app import figures, words
from app.answer import Answer
from app.bench_page import BenchPage
from app.document import Document
from app.heat import heat_words
from app.part_sheet import PartSheet
from app.warning_list import WarningList
from loopsim.studies import Finding

__all__ = ["DrawBench"]


class DrawBench(BenchPage):
    """What is to be looked at, and the part sheet of what is selected, below a line on what the drawing still lacks.

    Signals
    -------
    finding_shown(Finding)
        Its place is to be shown on the plan.
    finding_mended(Finding)
        Its remedy is to be carried out.
    """

    finding_shown = Signal(object)
    finding_mended = Signal(object)

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.sheet, self.warnings = PartSheet(document), WarningList()
        self.column.addWidget(self.warnings)
        self.column.addWidget(self.sheet, 1)
        self.warnings.shown.connect(self.finding_shown)
        self.warnings.mended.connect(self.finding_mended)
        document.selection_changed.connect(self._on_changed)
        document.build_changed.connect(self._on_changed)
        self._answer: Answer | None = None
        self._on_changed()

    def show_answer(self, answer: Answer) -> None:
        self._answer = answer
        self._on_changed()

    def _on_changed(self, *_: object) -> None:
        self.say(self._title(), self._result() or self._open_ends())
        self.warnings.show_findings(self._found())

    def _title(self) -> str:
        build, layout, chosen = self.document.build, self.document.layout, self.document.selection
        if len(chosen) > 1:
            return f"{len(chosen)} things selected"
        for item in chosen:
            if item in layout.placements:
                return build.part(item).name
            return words.run_name(build, layout.run(item))
        return build.name

    def _result(self) -> str:
        """What flows through the selected part, and how warm it is."""
        answer = self._answer
        if answer is None or answer.point is None or len(self.document.selection) != 1:
            return ""
        (item,) = self.document.selection
        warm = heat_words.of_item(answer.in_view.point, item) if answer.in_view is not None else []
        return " ".join(
            [words.of_part(answer.point, item), *(f"{line[:1].upper()}{line[1:]}." for line in warm)]
        ).strip()

    def _found(self) -> list[Finding]:
        """What is to be looked at: of what is selected, or of the whole layout."""
        found = words.findings_of(self._answer) if self._answer is not None else []
        chosen = self.document.selection
        return [each for each in found if not chosen or chosen.intersection((each.part, *each.others))]

    def _open_ends(self) -> str:
        """What is still to be joined, without reproach."""
        if self._answer is None:
            return ""
        missing = words.unsolved(self._answer, self.document.build, self.document.layout)
        if missing is not None:
            return ". ".join(each for each in missing if each)
        return "; ".join(figures.told(each.text) for each in words.findings_of(self._answer, quiet=True))

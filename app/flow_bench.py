"""The bench on which the flow is read: operating point and pressure budget."""

from app import figures, words
from app.answer import Answer
from app.answer_table import AnswerTable, Row
from app.bench_page import BenchPage, RestsOn
from app.curve_panel import CurvePanel
from app.document import Document
from loopsim.studies import PartFlow

__all__ = ["FlowBench"]


class FlowBench(BenchPage):
    """What flows, and what eats the head."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.curves = CurvePanel(shows_stopped=False)
        self.table = AnswerTable(("part", "flow, L/h", "drop, kPa", "share, %", "data"), words=(0, 4), is_fine=True)
        self.rests_on = RestsOn()
        self.column.addWidget(self.curves, 3)
        self.column.addWidget(self.table, 4)
        self.column.addWidget(self.rests_on)
        self.table.chosen.connect(self.chosen)
        self.rests_on.opened.connect(self.opened)

    def show_answer(self, answer: Answer) -> None:
        if not self.say_unsolved(answer):
            self.say(words.flow_headline(answer), words.flow_line(answer))
        self.curves.show_answer(answer, self.document.build)
        budget = answer.point.budget if answer.point is not None else ()
        self.table.show_rows(_row(part) for part in budget)
        self.table.setVisible(bool(budget))
        self.rests_on.show_doubts(words.rests_on(answer), words.sources(answer))
        self.choose(self.document.selection)

    def choose(self, ids: frozenset[str]) -> None:
        self.table.choose(ids)
        self.curves.choose(ids)


def _row(part: PartFlow) -> Row:
    data = ", ".join(each for each in (part.provenance or "", "beyond" if part.beyond_data else "") if each)
    cells = (
        part.name,
        figures.flow_l_h(abs(part.flow)),
        figures.dp_kpa(abs(part.dp)),
        figures.percent(part.share),
        data or figures.NONE,
    )
    return Row(part.id, cells)

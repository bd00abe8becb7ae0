"""The bench on which failures are read: what stays when a pump stops."""

from app import figures, words
from app.answer import Answer
from app.answer_table import AnswerTable, Row
from app.bench_page import BenchPage, RestsOn
from app.curve_panel import CurvePanel
from app.document import Document
from loopsim.studies import FailureCase, Failures, PumpPlot

__all__ = ["FailuresBench"]


class FailuresBench(BenchPage):
    """Every pump stopped in turn: in a sentence, in the curves, in figures."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.curves = CurvePanel(shows_stopped=True)
        self.table = AnswerTable(("", "flow, L/h", "stays, %", "head, m", "back, L/h"), all_rows=True)
        self.rests_on = RestsOn()
        self._answer: Answer | None = None
        self.column.addWidget(self.curves, 1)
        self.column.addWidget(self.table)
        self.column.addWidget(self.rests_on)
        self.column.addStretch(0)
        self.table.chosen.connect(self.chosen)
        self.rests_on.opened.connect(self.opened)

    def show_answer(self, answer: Answer) -> None:
        self._answer = answer
        self.curves.show_answer(answer, self.document.build)
        rows = _rows(answer) if answer.failures is not None and answer.failures.base.loop_flow > 0 else []
        self.table.show_rows(rows, answer.curves_are_old)
        self.table.setVisible(bool(rows))
        self.rests_on.show_doubts(words.failures_rest_on(answer), words.sources(answer))
        self.choose(self.document.selection)

    def choose(self, ids: frozenset[str]) -> None:
        self.table.choose(ids)
        self.curves.choose(ids)
        answer = self._answer
        if answer is not None and not self.say_unsolved(answer):
            case = _case(answer.failures, ids)
            missing = "Being worked out" if answer.curves_are_old else "The failures could not be worked out"
            headline = words.failures_headline(answer) or missing
            self.say(headline, case.sentence if case is not None else "", answer.curves_are_old)


def _case(failures: Failures | None, ids: frozenset[str]) -> FailureCase | None:
    """The case of a selected pump, else the worst."""
    if failures is None:
        return None
    return next((case for case in failures.cases if case.stopped in ids), failures.worst)


def _rows(answer: Answer) -> list[Row]:
    failures = answer.failures
    base = failures.base
    heads = _heads(answer.plots)
    state = words.all_run(len(failures.cases))
    flow = figures.flow_l_h(base.loop_flow)
    first = Row("", (state, flow, "100", heads.get("", figures.NONE), figures.NONE))
    return [first, *(_row(case, base.loop_flow, heads) for case in failures.cases)]


def _row(case: FailureCase, all_run: float, heads: dict[str, str]) -> Row:
    cells = (
        case.title,
        figures.flow_l_h(case.share * all_run),
        figures.percent(case.share),
        heads.get(case.stopped, figures.NONE),
        figures.flow_l_h(case.back_flow) if case.back_flow > 0 else figures.NONE,
    )
    return Row(case.stopped, cells, attention=case.share < 0.005)


def _heads(plots: tuple[PumpPlot, ...]) -> dict[str, str]:
    """Head of the pumps together by the pump that is stopped, empty for none; only where one plot shows them all."""
    if len(plots) != 1:
        return {}
    (plot,) = plots
    return {"": figures.head_m(plot.head), **{case.stopped: figures.head_m(case.head) for case in plot.stopped}}

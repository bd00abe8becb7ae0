"""The heat budget: a balance of bars, the same as a table, and the supplies' load against their rating."""

from collections.abc import Iterator, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout

from app import figures
from app.answer import Answer, CaseHeat
from app.answer_table import AnswerTable, Row
from app.heat import heat_words
from app.heat.balance_chart import BalanceChart, Piece, lettered
from app.heat.bars import Bar, BarRows
from app.heat.view import HeatView
from app.theme import STEP
from loopsim.studies import SupplyLoad, heat_balance

__all__ = ["BudgetView"]


class BudgetView(HeatView):
    """All electrical power becomes heat; here is where, and where it goes."""

    def __init__(self) -> None:
        super().__init__()
        self.chart = BalanceChart()
        self.sides = tuple(AnswerTable((side, "W", "%"), all_rows=True, is_fine=True) for side in ("in", "out"))
        self.supplies = BarRows("supplies against their rating")
        self.add_all((self.chart,))
        row = QHBoxLayout()
        row.setSpacing(2 * STEP)
        for table, name in zip(self.sides, ("heat in", "heat out"), strict=True):
            table.setAccessibleName(name)
            table.chosen.connect(self.chosen)
            row.addWidget(table, 1, Qt.AlignmentFlag.AlignTop)
        self.column.addLayout(row)
        self.supplies_title = self.heading("Supplies")
        self.add_all((self.supplies,))
        self.column.addStretch(1)

    def show_case(self, answer: Answer, found: CaseHeat) -> None:
        balance = heat_balance(found.point)
        self.chart.show_balance(balance if balance.total > 0 else None, answer.heat_is_old)
        for table, pieces in zip(self.sides, lettered(balance), strict=True):
            table.show_rows(_rows(pieces), answer.heat_is_old)
        bars = [_bar(supply) for supply in found.point.supplies]
        self.supplies.show_bars(bars, 0.0, "W given; the stroke is the rating", answer.heat_is_old)
        self.supplies_title.setVisible(bool(bars))

    def mark(self, ids: frozenset[str]) -> None:
        self.chart.choose(ids)
        for table in self.sides:
            table.choose(ids)
        self.supplies.choose(ids)


def _rows(pieces: Sequence[Piece]) -> Iterator[Row]:
    for piece in pieces:
        cells = (f"{piece.letter}  {piece.line.name}", figures.watts(piece.line.heat), figures.percent(piece.share))
        yield Row(piece.line.item or "", cells, attention=piece.has_no_way)
    yield Row("", ("together", figures.watts(sum(piece.line.heat for piece in pieces)), ""))


def _bar(supply: SupplyLoad) -> Bar:
    attention = "rust" if supply.is_overloaded else ""
    return Bar(supply.id, supply.name, supply.load, heat_words.load_of(supply), supply.rating, attention=attention)

"""The air: fans against the resistance, and what passes through fans, radiators and spaces."""

from PySide6.QtWidgets import QLabel

from app import figures
from app.answer import Answer, CaseHeat
from app.answer_table import AnswerTable, Row
from app.curve_panel import CurvePanel
from app.heat.view import HeatView
from loopsim.studies import ExchangerHeat, FanFlow, SpaceAir

__all__ = ["AirView"]

_FANS = ("fan", "air\n{m3_h}", "pressure\n{pa}", "power\nW", "sound\ndB(A)", "state")
_RADIATORS = ("radiator", "heat\nW", "coolant\n{c}", "air\n{m3_h}", "air\n{c}", "of the\nmost, %")
_SPACES = ("space", "above room\n{pa}", "air\n{c}", "through\n{m3_h}", "past radi-\nators, %")


class AirView(HeatView):
    """The operating point of the fans, each of them stopped in turn, and the figures."""

    def __init__(self) -> None:
        super().__init__()
        self.curves = CurvePanel(shows_stopped=True)
        self.none = QLabel("No fan turns, so there is no fan curve to show.", wordWrap=True)
        self.none.setProperty("tone", "soft")
        self.fans = _table(_FANS, "fans", words=(0, 5))
        self.radiators = _table(_RADIATORS, "radiators")
        self.spaces = _table(_SPACES, "spaces")
        self.column.addWidget(self.none)
        self.column.addWidget(self.curves, 1)
        self.add_all((self.fans, self.radiators, self.spaces))
        self.column.addStretch(0)

    def show_case(self, answer: Answer, found: CaseHeat) -> None:
        point, old = found.point, answer.heat_is_old
        self.curves.show_air(found.air, old, point.point.build)
        self.none.setVisible(not found.air)
        cooled = [each for each in point.exchangers if each.is_air_cooled]
        for table, rows in (
            (self.fans, [_fan(each) for each in point.fans]),
            (self.radiators, [_radiator(each) for each in cooled]),
            (self.spaces, [_space(each) for each in point.spaces]),
        ):
            table.show_rows(rows, old)
            table.setVisible(bool(rows))

    def mark(self, ids: frozenset[str]) -> None:
        self.curves.choose(ids)
        self.fans.choose(ids)
        self.radiators.choose(ids)


def _table(headings: tuple[str, ...], name: str, words: tuple[int, ...] = (0,)) -> AnswerTable:
    table = AnswerTable(headings, words=words, all_rows=True, is_fine=True)
    table.setAccessibleName(name)
    return table


def _fan(fan: FanFlow) -> Row:
    cells = (
        fan.name,
        figures.number(fan.flow, "m3_h"),
        figures.number(fan.pressure, "pa"),
        figures.watts(fan.power),
        figures.NONE if fan.sound is None else f"{fan.sound:.0f}",
        fan.state,
    )
    return Row(fan.id, cells, attention=fan.state != "running" or fan.flow <= 0)


def _radiator(each: ExchangerHeat) -> Row:
    cells = (
        each.name,
        figures.watts(each.heat),
        _from_to(each.enters, each.leaves),
        figures.number(each.other_flow, "m3_h"),
        _from_to(each.other_enters, each.other_leaves),
        figures.percent(each.effectiveness),
    )
    return Row(each.part, cells, attention=each.heat < 0 or each.other_flow == 0)


def _from_to(enters: float | None, leaves: float | None) -> str:
    return f"{figures.number(enters, 'c')} → {figures.number(leaves, 'c')}"


def _space(space: SpaceAir) -> Row:
    cells = (
        space.name,
        figures.number(space.pressure, "pa"),
        figures.number(space.temperature, "c"),
        figures.number(space.passing, "m3_h"),
        figures.percent(space.escaping),
    )
    return Row("", cells, attention=space.temperature is None)

"""Temperatures: components against their limits, the coolant's staircase, the load cases side by side."""

from app import figures
from app.answer import Answer, CaseHeat
from app.answer_table import AnswerTable, Row
from app.heat import heat_words
from app.heat.bars import Bar, BarRows
from app.heat.staircase_plot import StaircasePlot
from app.heat.view import HeatView
from app.picker import Picker
from loopsim.studies import ComponentHeat, HeatPoint, Staircase, air_drawn_in, staircases

__all__ = ["TemperatureView"]

_CASES = ("load case", "warmest component", "margin\n{k}", "coolant\nrise, {k}", "air\n{m3_h}", "sound\ndB(A)")

_STROKES = "stroke: limit; whisker: band"


class TemperatureView(HeatView):
    """What a builder looks at first."""

    def __init__(self) -> None:
        super().__init__()
        self.components = BarRows("components against their limits")
        self.picker = Picker("circuit", self)
        self.stairs = StaircasePlot()
        self.cases = AnswerTable(_CASES, words=(0, 1), all_rows=True, is_fine=True)
        self.cases.setAccessibleName("load cases side by side")
        self.add_all((self.components,))
        self.stairs_title = self.heading("Coolant along the loop")
        self.add_all((self.picker, self.stairs))
        self.column.setStretchFactor(self.stairs, 1)
        self.cases_title = self.heading("Load cases")
        self.column.addWidget(self.cases)
        self.column.addStretch(0)
        self._all: tuple[Staircase, ...] = ()
        self._found: CaseHeat | None = None
        self.cases.chosen.connect(self._on_case)
        self.picker.currentChanged.connect(lambda _: self._show_stairs())

    def show_case(self, answer: Answer, found: CaseHeat) -> None:
        self._found = found
        point, old = found.point, answer.heat_is_old
        bars = [_bar(component, heat_words.half_band(component, found)) for component in point.components]
        caption = figures.in_units(f"{{c}}, from the room's {heat_words.degrees(point.room)} on; {_STROKES}")
        self.components.show_bars(bars, figures.in_own(point.room, "c"), caption, old)
        self.cases.show_rows((_row(each.point) for each in answer.heat), old)
        for widget in (self.cases, self.cases_title):
            widget.setVisible(len(answer.heat) > 1)

    def mark(self, ids: frozenset[str]) -> None:
        self.components.choose(ids)
        if self._found is not None:
            self._lead_through(self._found.point, ids)
            self.cases.choose(frozenset((self._found.point.case.name,)))

    def _lead_through(self, point: HeatPoint, ids: frozenset[str]) -> None:
        """The staircase through what is selected, where that is one thing of the solved layout."""
        layout = point.point.layout
        known = [item for item in ids if item in layout.placements or item in layout.runs_by_id]
        through = known[0] if len(known) == len(ids) == 1 else None
        self._all = staircases(point, through)
        self.picker.offer([stairs.steps[0].name for stairs in self._all])
        holding = (n for n, each in enumerate(self._all) if any(step.id == through for step in each.steps))
        self.picker.setCurrentIndex(next(holding, self.picker.at))
        self._show_stairs()

    def _show_stairs(self) -> None:
        at = self.picker.at
        old = self.answer is not None and self.answer.heat_is_old
        self.stairs.show_stairs(self._all[at] if at < len(self._all) else None, old)
        self.stairs.choose(self.ids)
        self.stairs_title.setVisible(bool(self._all))

    def _on_case(self, names: frozenset[str]) -> None:
        for name in names:
            self.case_chosen.emit(name)


def _bar(component: ComponentHeat, half: float) -> Bar:
    words = f"{heat_words.temperature(component)} · {heat_words.margin(component, half)}"
    return Bar(
        component.part,
        component.name if component.cooled_by == "coolant" else f"{component.name}, air around it",
        _shown(component.temperature),
        words,
        _shown(component.limit),
        figures.in_own(half, "k"),
        heat_words.needs_attention(component, half),
        component.cooled_by == "air",
    )


def _shown(temperature: float | None) -> float | None:
    return None if temperature is None else figures.in_own(temperature, "c")


def _row(point: HeatPoint) -> Row:
    warmest = point.warmest
    drawn_in = air_drawn_in(point)
    cells = (
        point.case.name,
        "–" if warmest is None else f"{warmest.name}, {heat_words.temperature(warmest)}",
        figures.number(warmest.margin if warmest is not None else None, "k"),
        figures.number(point.coolant_rise, "k"),
        figures.number(drawn_in, "m3_h") if drawn_in > 0 else figures.NONE,
        figures.NONE if point.sound is None else f"{point.sound:.0f}",
    )
    return Row(point.case.name, cells, attention=warmest is not None and not warmest.holds)

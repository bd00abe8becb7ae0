"""Figures with everything in order and after a failure, side by side."""

from collections.abc import Iterator

from app import figures
from app.answer_table import AnswerTable, Row
from app.heat import heat_words
from loopsim.studies import ComponentHeat, FailureOutcome, HeatPoint

__all__ = ["BeforeAfter"]

_HEADINGS = ("", "unit", "in order", "after it", "left to\nlimit, {k}")


class BeforeAfter(AnswerTable):
    """Flow of the loop and of each block, air of each fan, temperature of each component."""

    def __init__(self) -> None:
        super().__init__(_HEADINGS, is_fine=True)
        self.setAccessibleName("figures before and after the failure")

    def show_case(self, base: HeatPoint | None, case: FailureOutcome | None, old: bool) -> None:
        """Show a case beside the healthy machine; the healthy one alone without a case."""
        self.show_rows(() if base is None else _rows(base, case), old)


def _rows(base: HeatPoint, case: FailureOutcome | None) -> Iterator[Row]:
    after = case.heat if case is not None else base
    flows = (figures.number(flow, "l_h") for flow in (base.point.loop_flow, case and case.flow))
    yield Row("", ("Loop flow", figures.label("l_h"), *flows, figures.NONE))
    yield from _of_blocks(base, case)
    yield from _of_components(base, after if case is not None else None)
    yield from _of_fans(base, after if case is not None else None)


def _of_blocks(base: HeatPoint, case: FailureOutcome | None) -> Iterator[Row]:
    blocks = dict.fromkeys(each.part for each in base.components if each.cooled_by == "coolant")
    for block in blocks:
        name = f"{base.point.build.part(block).name}, flow"
        now = case.block_flows.get(block) if case is not None else None
        before, after = (figures.number(flow, "l_h") for flow in (abs(base.point.of(block).flow), now))
        yield Row(block, (name, figures.label("l_h"), before, after, figures.NONE))


def _of_components(base: HeatPoint, after: HeatPoint | None) -> Iterator[Row]:
    now = {(each.part, each.name): each for each in after.components} if after is not None else {}
    for each in base.components:
        other = now.get((each.part, each.name))
        shown = each if other is None else other
        cells = (each.name, figures.label("c"), _warm(each), figures.NONE if other is None else _warm(other))
        left = figures.number(shown.margin, "k")
        yield Row(each.part, (*cells, left), attention=not shown.holds)


def _of_fans(base: HeatPoint, after: HeatPoint | None) -> Iterator[Row]:
    now = {fan.id: fan.flow for fan in after.fans} if after is not None else {}
    for fan in base.fans:
        before, air = (figures.number(flow, "m3_h") for flow in (fan.flow, now.get(fan.id)))
        yield Row(fan.id, (fan.name, figures.label("m3_h"), before, air, figures.NONE))


def _warm(component: ComponentHeat) -> str:
    return heat_words.temperature(component).removesuffix(f" {figures.label('c')}")

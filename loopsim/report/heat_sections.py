"""Sections on heat: whether it stays cool, where the heat goes, what the air does."""

from collections.abc import Sequence

from loopsim.report.balance_svg import balance_svg
from loopsim.report.content import Block, Column, Figure, Paragraph, Section, Table
from loopsim.report.staircase_svg import staircase_svg
from loopsim.report.text import aligned, scientific, significant
from loopsim.studies import (
    ComponentHeat,
    ExchangerHeat,
    HeatBalance,
    HeatPoint,
    Staircase,
    air_drawn_in,
    heat_balance,
    heat_sentence,
    settled,
    staircases,
)
from loopsim.studies.tolerance.quick import quick_bands
from loopsim.units import from_si

__all__ = ["air", "balance", "sentence", "temperatures"]

_NOTHING_HEATED = Paragraph("Nothing is heated in this layout.")


def sentence(heat: HeatPoint) -> str:
    """The answer on heat, as a sentence of its own."""
    words = heat_sentence(heat, quick_bands(heat))
    return f"{words[:1].upper()}{words[1:]}."


def temperatures(shown: HeatPoint, cases: Sequence[HeatPoint]) -> Section:
    """Components against their limits, load cases side by side, the coolant along its stream."""
    if not shown.components:
        return Section("Heat", (_NOTHING_HEATED,))
    stairs = [_stairs_figure(each, number) for number, each in enumerate(staircases(shown), start=1)]
    return Section(
        "Heat",
        (Paragraph(sentence(shown)), _components(shown), _cases(cases), *stairs, *_remarks(shown)),
    )


def _components(of: HeatPoint) -> Table:
    columns = (
        Column("component"),
        Column("cooled by"),
        Column("heat", "W", number=True),
        Column("temperature", "°C", number=True),
        Column("band of its block", "±K", number=True),
        Column("limit", "°C", number=True),
        Column("margin", "K", number=True),
        Column("flow", "L/h", number=True),
        Column("least flow", "L/h", number=True),
    )
    return Table(columns, tuple(_component_row(each) for each in of.components), f"Components: {_case_words(of)}")


def _component_row(of: ComponentHeat) -> tuple[str, ...]:
    wet = of.cooled_by == "coolant"
    cooling = (
        significant(from_si(of.flow, "l_h")) if wet else "–",
        "–" if of.least_flow is None else significant(from_si(of.least_flow, "l_h")),
    )
    limit = "–" if of.limit is None else f"{of.limit:g}"
    margin = None if of.boils else of.margin
    return (
        of.name, of.cooled_by, significant(of.heat), "boils" if of.boils else _degrees(of.temperature),
        _degrees(of.tolerance or None), limit, _degrees(margin), *cooling,
    )  # fmt: skip


def _cases(cases: Sequence[HeatPoint]) -> Table:
    columns = (
        Column("load case"),
        Column("room", "°C", number=True),
        Column("load", "%", number=True),
        Column("flow", "L/h", number=True),
        Column("coolant rise", "K", number=True),
        Column("air drawn in", "m³/h", number=True),
        Column("sound", "dB(A)", number=True),
        Column("nearest to its limit"),
        Column("margin", "K", number=True),
    )
    return Table(columns, tuple(_case_row(each) for each in cases), "Load cases side by side")


def _case_row(of: HeatPoint) -> tuple[str, ...]:
    machine = (of.case.name, f"{of.room:g}", f"{of.case.load_percent:g}")
    flows = (significant(from_si(of.point.loop_flow, "l_h")), _degrees(of.coolant_rise))
    air_and_sound = (significant(from_si(air_drawn_in(of), "m3_h")), "–" if of.sound is None else f"{of.sound:.0f}")
    nearest = of.warmest
    if nearest is None:
        return (*machine, *flows, *air_and_sound, "–", "–")
    margin = "boils" if nearest.boils else _degrees(nearest.margin)
    return (*machine, *flows, *air_and_sound, nearest.name, margin)


def _stairs_figure(of: Staircase, number: int) -> Figure:
    low, high = of.coldest, of.warmest
    extremes = (
        f"Coldest after {low.name} with {low.leaves:.1f} °C, warmest after {high.name} with {high.leaves:.1f} °C, in a "
        f"room of {of.room:g} °C."
    )
    return Figure(
        "staircase" if number == 1 else f"staircase-{number}",
        f"The coolant along the main stream from {of.steps[0].name} on. {extremes}",
        f"Coolant temperature in degrees Celsius against distance in metres. {extremes}",
        staircase_svg(of),
    )


def _remarks(of: HeatPoint) -> tuple[Paragraph, ...]:
    texts = [
        "Temperatures are those in which the machine settles. The band is that of the block's own thermal resistance; "
        "the radiators' and the air's come on top. The least flow is the one at which a component would just hold its "
        "limit while the coolant enters as it does."
    ]
    if of.is_steady:
        texts.append(
            f"Flow, heat and air were solved together in {of.coupled.rounds} rounds; of the heat put in, a share of "
            f"{scientific(of.imbalance)} is not found again."
        )
    return tuple(Paragraph(text, "remark") for text in texts)


def balance(heat: HeatPoint) -> Section:
    """What comes in and what goes out, and the supplies' load."""
    found = heat_balance(heat)
    if not found.into:
        return Section("Heat balance", (_NOTHING_HEATED,))
    return Section(
        "Heat balance", (_balance_figure(found, heat), _balance_table(found), *_supplies(heat), *_left(found))
    )


def _balance_figure(of: HeatBalance, heat: HeatPoint) -> Figure:
    return Figure(
        "heat-balance",
        f"Heat in and out: {_case_words(heat)}. Each bar begins where the one above it ends; the upright line is what "
        "comes in.",
        f"Bars of {significant(of.total)} W that come in and {significant(of.total - of.left)} W that go out; the "
        "table below gives every one.",
        balance_svg(of),
    )


def _balance_table(of: HeatBalance) -> Table:
    sides = [("in", line) for line in of.into] + [("out", line) for line in of.out]
    watts = aligned([line.heat for _, line in sides], digits=4)
    rows = tuple((side, line.name, heat) for (side, line), heat in zip(sides, watts, strict=True))
    return Table((Column("side"), Column("what"), Column("heat", "W", number=True)), rows, "Heat in and out")


def _left(of: HeatBalance) -> tuple[Paragraph, ...]:
    if of.left < 1e-3 * of.total:
        return ()
    return (Paragraph(f"{significant(of.left)} W have no way out and warm the machine without end."),)


def _supplies(of: HeatPoint) -> tuple[Table, ...]:
    if not of.supplies:
        return ()
    columns = (
        Column("supply"),
        Column("stands"),
        Column("load", "W", number=True),
        Column("rating", "W", number=True),
        Column("load", "%", number=True),
        Column("loss", "W", number=True),
        Column("from the mains", "W", number=True),
    )
    rows = [
        (each.name, each.stands, f"{each.load:.0f}", f"{each.rating:g}", f"{100 * each.load / each.rating:.0f}",
         f"{each.loss:.1f}", f"{each.drawn:.0f}")
        for each in of.supplies
    ]  # fmt: skip
    return (Table(columns, tuple(rows), "Electrical supplies"),)


def air(heat: HeatPoint) -> Section:
    """Spaces, fans and radiators, and how loud it is."""
    blocks: list[Block] = [each for each in (_spaces(heat), _fans(heat), *_exchangers(heat)) if each.rows]
    if heat.sound is not None:
        blocks.append(
            Paragraph(
                f"Sound: about {heat.sound:.0f} dB(A) at 1 m with all that runs, an estimate: levels are added as "
                "those of sources out of step; walls and furniture reflect.",
                "remark",
            )
        )
    return Section("Air", tuple(blocks) or (Paragraph("No air is drawn in this layout."),))


def _spaces(of: HeatPoint) -> Table:
    columns = (
        Column("space"),
        Column("temperature", "°C", number=True),
        Column("over-pressure", "Pa", number=True),
        Column("air", "m³/h", number=True),
        Column("passes no radiator", "%", number=True),
    )
    rows = [
        (each.name, _degrees(each.temperature), f"{each.pressure:.1f}".replace("-", "−"),
         significant(from_si(each.passing, "m3_h")), f"{100 * each.escaping:.0f}")
        for each in of.spaces
    ]  # fmt: skip
    return Table(columns, tuple(rows), f"Air in the enclosure: {_case_words(of)}")


def _fans(of: HeatPoint) -> Table:
    columns = (
        Column("fan"),
        Column("state"),
        Column("air", "m³/h", number=True),
        Column("static pressure", "Pa", number=True),
        Column("power", "W", number=True),
        Column("sound at 1 m", "dB(A)", number=True),
    )
    fans = of.fans
    rows = zip(
        [fan.name for fan in fans],
        [fan.state for fan in fans],
        aligned(from_si(fan.flow, "m3_h") for fan in fans),
        aligned(fan.pressure for fan in fans),
        aligned(fan.power for fan in fans),
        aligned((fan.sound for fan in fans), digits=2),
        strict=True,
    )
    return Table(columns, tuple(rows), "Fans")


def _exchangers(of: HeatPoint) -> tuple[Table, Table]:
    """Radiators, and exchangers between two liquids."""
    radiators = [each for each in of.exchangers if each.is_air_cooled]
    others = [each for each in of.exchangers if not each.is_air_cooled]
    return (
        _exchanger_table(radiators, "Radiators", "air", "m³/h", "m3_h"),
        _exchanger_table(others, "Liquid exchangers", "second side", "L/h", "l_h"),
    )


def _exchanger_table(found: Sequence[ExchangerHeat], caption: str, side: str, unit: str, key: str) -> Table:
    columns = (
        Column("part"),
        Column("heat", "W", number=True),
        Column("coolant", "L/h", number=True),
        Column("enters", "°C", number=True),
        Column("leaves", "°C", number=True),
        Column(side, unit, number=True),
        Column("enters", "°C", number=True),
        Column("leaves", "°C", number=True),
        Column("effectiveness", "%", number=True),
    )
    rows = [
        (each.name, significant(each.heat), significant(from_si(each.flow, "l_h")), _degrees(settled(each.enters)),
         _degrees(settled(each.leaves)), significant(from_si(each.other_flow, key)),
         _degrees(settled(each.other_enters)), _degrees(settled(each.other_leaves)), f"{100 * each.effectiveness:.0f}")
        for each in found
    ]  # fmt: skip
    return Table(columns, tuple(rows), caption)


def _case_words(of: HeatPoint) -> str:
    return f"{of.case.name}, room at {of.room:g} °C"


def _degrees(value: float | None) -> str:
    """To a tenth of a degree; a dash for none."""
    return "–" if value is None else f"{value:.1f}".replace("-", "−")

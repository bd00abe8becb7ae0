"""Heat, air, supplies and sound as tables in a terminal."""

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from loopsim.cli.tables import bar, fixed, new_table
from loopsim.studies import HeatLine, HeatPoint, air_drawn_in, heat_balance, settled
from loopsim.units import from_si

__all__ = ["print_heat"]


def print_heat(out: Console, shown: HeatPoint, cases: Sequence[HeatPoint]) -> None:
    """One load case in full, and all of them side by side."""
    for each in _tables(shown):
        if each.row_count:
            out.print(each)
    _print_sound(out, shown)
    if len(cases) > 1:
        out.print(_cases(cases))
    out.print(Text(_closing(shown)))


def _closing(of: HeatPoint) -> str:
    """How well it closed, or what has no way out."""
    if not of.is_steady:
        return f"{heat_balance(of).left:.0f} W have no way out and warm the machine without end."
    return (
        f"Flow and heat solved together in {of.coupled.rounds} rounds; of the heat put in, a share of "
        f"{of.imbalance:.1e} is not found again."
    )


def _tables(of: HeatPoint) -> Iterator[Table]:
    yield _components(of)
    yield from _balance(of)
    yield _exchangers(of)
    yield _fans(of)
    yield _spaces(of)
    yield _supplies(of)


def _components(of: HeatPoint) -> Table:
    headings = ("heat W", "°C", "block ±K", "limit °C", "margin K", "flow L/h", "least L/h")
    made = new_table("Components", ("component", False), ("cooled by", False), *((each, True) for each in headings))
    for each in of.components:
        wet = each.cooled_by == "coolant"
        temperature = "boils" if each.boils else fixed(each.temperature, 1)
        margin = None if each.boils else each.margin
        numbers = (fixed(each.tolerance or None, 1), fixed(each.limit, 0), fixed(margin, 1))
        least = None if each.least_flow is None else from_si(each.least_flow, "l_h")
        flows = (fixed(from_si(each.flow, "l_h") if wet else None, 0), fixed(least, 0))
        made.add_row(Text(each.name), each.cooled_by, fixed(each.heat, 0), temperature, *numbers, *flows)
    return made


def _balance(of: HeatPoint) -> Iterator[Table]:
    balance = heat_balance(of)
    largest = max((line.heat for line in (*balance.into, *balance.out)), default=0.0)
    yield _side(f"Heat in, {balance.total:.1f} W", balance.into, largest)
    yield _side(f"Heat out, {balance.total - balance.left:.1f} W", balance.out, largest)


def _side(title: str, lines: Sequence[HeatLine], largest: float) -> Table:
    made = new_table(title, ("", False), ("W", True), ("", False))
    for line in lines:
        made.add_row(Text(line.name), fixed(line.heat, 1), bar(line.heat / largest))
    return made


def _exchangers(of: HeatPoint) -> Table:
    headings = ("heat W", "flow L/h", "enters °C", "leaves °C", "other side", "enters °C", "leaves °C", "effective %")
    made = new_table("Radiators and exchangers", ("part", False), *((each, True) for each in headings))
    for each in of.exchangers:
        unit = "m3_h" if each.is_air_cooled else "l_h"
        other = f"{from_si(each.other_flow, unit):.0f} {'m³/h' if each.is_air_cooled else 'L/h'}"
        wet = (fixed(from_si(each.flow, "l_h"), 0), fixed(settled(each.enters), 1), fixed(settled(each.leaves), 1))
        dry = (other, fixed(settled(each.other_enters), 1), fixed(settled(each.other_leaves), 1))
        made.add_row(Text(each.name), fixed(each.heat, 0), *wet, *dry, fixed(100 * each.effectiveness, 0))
    return made


def _fans(of: HeatPoint) -> Table:
    headings = ("air m³/h", "pressure Pa", "power W", "sound dB(A)")
    made = new_table("Fans", ("fan", False), ("state", False), *((each, True) for each in headings))
    for fan in of.fans:
        numbers = (fixed(from_si(fan.flow, "m3_h"), 1), fixed(fan.pressure, 1), fixed(fan.power, 1))
        made.add_row(Text(fan.name), fan.state, *numbers, fixed(fan.sound, 0))
    return made


def _spaces(of: HeatPoint) -> Table:
    headings = ("°C", "over-pressure Pa", "air m³/h", "passes no radiator %")
    made = new_table("Air in the enclosure", ("space", False), *((each, True) for each in headings))
    for space in of.spaces:
        air = (fixed(space.temperature, 1), fixed(space.pressure, 1), fixed(from_si(space.passing, "m3_h"), 1))
        made.add_row(Text(space.name), *air, fixed(100 * space.escaping, 0))
    return made


def _supplies(of: HeatPoint) -> Table:
    headings = ("load W", "rating W", "load %", "loss W", "from mains W")
    made = new_table("Supplies", ("supply", False), ("stands", False), *((each, True) for each in headings))
    for each in of.supplies:
        load = (fixed(each.load, 0), fixed(each.rating, 0), fixed(100 * each.load / each.rating, 0))
        made.add_row(Text(each.name), each.stands, *load, fixed(each.loss, 1), fixed(each.drawn, 0))
    return made


def _print_sound(out: Console, of: HeatPoint) -> None:
    if of.sound is not None:
        out.print(Text(f"Sound: about {of.sound:.0f} dB(A) at 1 m, an estimate."))


def _cases(cases: Sequence[HeatPoint]) -> Table:
    headings = ("room °C", "load %", "flow L/h", "coolant rise K", "air m³/h", "sound dB(A)")
    nearest = (("nearest to its limit", False), ("°C", True), ("margin K", True))
    made = new_table("Load cases", ("case", False), *((each, True) for each in headings), *nearest)
    for each in cases:
        machine = (fixed(each.room, 0), fixed(each.case.load_percent, 0))
        flows = (fixed(from_si(each.point.loop_flow, "l_h"), 0), fixed(each.coolant_rise, 1))
        air = (fixed(from_si(air_drawn_in(each), "m3_h"), 0), fixed(each.sound, 0))
        made.add_row(Text(each.case.name), *machine, *flows, *air, *_nearest(each))
    return made


def _nearest(of: HeatPoint) -> tuple[Text, str, str]:
    if of.warmest is None:
        return Text("-"), "-", "-"
    if of.warmest.boils:
        return Text(of.warmest.name), "boils", "-"
    return Text(of.warmest.name), fixed(of.warmest.temperature, 1), fixed(of.warmest.margin, 1)

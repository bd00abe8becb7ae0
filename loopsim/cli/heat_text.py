"""Heat, air, supplies and sound as tables in a terminal."""

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from loopsim.cli.tables import bar, fixed, label, new_table, numbers
from loopsim.studies import HeatLine, HeatPoint, air_drawn_in, heat_balance, settled

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
    columns = numbers("heat W", "{c}", "block ±{k}", "limit {c}", "margin {k}", "flow {l_h}", "least {l_h}")
    made = new_table("Components", ("component", False), ("cooled by", False), *columns)
    for each in of.components:
        wet = each.cooled_by == "coolant"
        temperature = "boils" if each.boils else fixed(each.temperature, 1, "c")
        margin = None if each.boils else each.margin
        against = (fixed(each.tolerance or None, 1, "k"), fixed(each.limit, 0, "c"), fixed(margin, 1, "k"))
        flows = (fixed(each.flow if wet else None, 0, "l_h"), fixed(each.least_flow, 0, "l_h"))
        made.add_row(Text(each.name), each.cooled_by, fixed(each.heat, 0), temperature, *against, *flows)
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
    sides = ("flow {l_h}", "enters {c}", "leaves {c}", "other side", "enters {c}", "leaves {c}")
    columns = numbers("heat W", *sides, "effective %")
    made = new_table("Radiators and exchangers", ("part", False), *columns)
    for each in of.exchangers:
        unit = "m3_h" if each.is_air_cooled else "l_h"
        other = f"{fixed(each.other_flow, 0, unit)} {label(unit)}"
        warm = (each.enters, each.leaves, each.other_enters, each.other_leaves)
        enters, leaves, *dry = (fixed(settled(at), 1, "c") for at in warm)
        wet, dry = (fixed(each.flow, 0, "l_h"), enters, leaves), [other, *dry]
        made.add_row(Text(each.name), fixed(each.heat, 0), *wet, *dry, fixed(100 * each.effectiveness, 0))
    return made


def _fans(of: HeatPoint) -> Table:
    columns = numbers("air {m3_h}", "pressure {pa}", "power W", "sound dB(A)")
    made = new_table("Fans", ("fan", False), ("state", False), *columns)
    for fan in of.fans:
        row = (fixed(fan.flow, 1, "m3_h"), fixed(fan.pressure, 1, "pa"), fixed(fan.power, 1))
        made.add_row(Text(fan.name), fan.state, *row, fixed(fan.sound, 0))
    return made


def _spaces(of: HeatPoint) -> Table:
    columns = numbers("{c}", "over-pressure {pa}", "air {m3_h}", "passes no radiator %")
    made = new_table("Air in the enclosure", ("space", False), *columns)
    for space in of.spaces:
        air = (fixed(space.temperature, 1, "c"), fixed(space.pressure, 1, "pa"), fixed(space.passing, 1, "m3_h"))
        made.add_row(Text(space.name), *air, fixed(100 * space.escaping, 0))
    return made


def _supplies(of: HeatPoint) -> Table:
    columns = numbers("load W", "rating W", "load %", "loss W", "from mains W")
    made = new_table("Supplies", ("supply", False), ("stands", False), *columns)
    for each in of.supplies:
        load = (fixed(each.load, 0), fixed(each.rating, 0), fixed(100 * each.load / each.rating, 0))
        made.add_row(Text(each.name), each.stands, *load, fixed(each.loss, 1), fixed(each.drawn, 0))
    return made


def _print_sound(out: Console, of: HeatPoint) -> None:
    if of.sound is not None:
        out.print(Text(f"Sound: about {of.sound:.0f} dB(A) at 1 m, an estimate."))


def _cases(cases: Sequence[HeatPoint]) -> Table:
    columns = numbers("room {c}", "load %", "flow {l_h}", "coolant rise {k}", "air {m3_h}", "sound dB(A)")
    nearest = (("nearest to its limit", False), *numbers("{c}", "margin {k}"))
    made = new_table("Load cases", ("case", False), *columns, *nearest)
    for each in cases:
        machine = (fixed(each.room, 0, "c"), fixed(each.case.load_percent, 0))
        flows = (fixed(each.point.loop_flow, 0, "l_h"), fixed(each.coolant_rise, 1, "k"))
        air = (fixed(air_drawn_in(each), 0, "m3_h"), fixed(each.sound, 0))
        made.add_row(Text(each.case.name), *machine, *flows, *air, *_nearest(each))
    return made


def _nearest(of: HeatPoint) -> tuple[Text, str, str]:
    if of.warmest is None:
        return Text("-"), "-", "-"
    if of.warmest.boils:
        return Text(of.warmest.name), "boils", "-"
    return Text(of.warmest.name), fixed(of.warmest.temperature, 1, "c"), fixed(of.warmest.margin, 1, "k")

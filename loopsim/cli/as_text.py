"""Answers as tables in a terminal."""

from collections.abc import Mapping, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from loopsim.build import Build
from loopsim.cli import heat_text
from loopsim.cli.tables import bar, console, fixed, new_table, numbers, print_findings, say
from loopsim.studies import (
    Budget,
    Finding,
    GradeLine,
    HeatPoint,
    OperatingPoint,
    budgets,
    grade_line,
    heat_sentence,
    measured_against,
    news_of_heat,
)
from loopsim.studies.sentence import marked, quantity
from loopsim.studies.tolerance.quick import quick_bands
from loopsim.units import from_si

__all__ = ["check", "solved"]

_LITTLE = 10.0  # L/h, below which a flow has a decimal


def solved(point: OperatingPoint, shown: HeatPoint, cases: Sequence[HeatPoint]) -> None:
    """Flow, pumps, pressure budget, grade line, heat and warnings of one layout."""
    out = console()
    _print_answer(out, point, shown)
    out.print(_pumps(point))
    for budget in budgets(point):
        out.print(_budget(budget))
    for line in grade_line(point):
        _print_grade_line(out, line)
    heat_text.print_heat(out, shown, cases)
    out.print(
        Text(
            f"Flow solved in {point.iterations} steps; largest imbalance {point.mass_imbalance:.1e} kg/s and "
            f"{point.pressure_imbalance:.1e} Pa. Worst data behind it: {point.worst_provenance or 'none'}."
        )
    )
    print_findings(out, (*news_of_heat(shown, cases, point), *point.findings))


def _print_answer(out: Console, point: OperatingPoint, shown: HeatPoint) -> None:
    """What was solved, its flow and its heat, a line each."""
    off = shown.coupled.thermal.air.stopped
    stopped = f", stopped: {', '.join(point.build.part(part).name for part in sorted(off))}" if off else ""
    where = point.build.part(point.loop_flow_at).name if point.loop_flow_at else ""
    out.print(Text(f"{point.build.name}, {point.layout.name}{stopped}"))
    bands = quick_bands(shown)
    digits = 1 if from_si(point.loop_flow, "l_h") < _LITTLE else 0
    flow = quantity(point.loop_flow, "l_h", digits, bands.get("flow_l_h", 0.0))
    say(out, f"Flow: {flow} at {where}" if where else "Nothing flows.")
    measured = measured_against(point)
    if measured is not None:
        say(out, f"Checked: {marked(measured.sentence)}{f' ({measured.note})' if measured.note else ''}")
    say(out, f"Heat: {marked(heat_sentence(shown, bands))}.")


def check(build: Build, found: Mapping[str, Sequence[Finding]]) -> None:
    """What each layout's drawing lacks."""
    out = console()
    out.print(Text(f"{build.name}: the file is in order."))
    for name, each in found.items():
        out.print(Text(f"{name}: {len(each) or 'nothing'} to look at"))
        print_findings(out, each)


def _pumps(point: OperatingPoint) -> Table:
    columns = numbers("speed %", "flow {l_h}", "head {m}", "power W", "efficiency %")
    table = new_table("Pumps", ("pump", False), ("state", False), *columns)
    for pump in point.pumps:
        row = (fixed(pump.speed * 100, 0), fixed(pump.flow, 0, "l_h"), fixed(pump.head, 2, "m"))
        power = (fixed(pump.power, 1), fixed(pump.efficiency * 100, 0))
        table.add_row(Text(pump.name), pump.state, *row, *power)
    return table


def _budget(budget: Budget) -> Table:
    columns = numbers("flow {l_h}", "drop {kpa}", "share %", "running %")
    of = f", {budget.circuit}" if budget.circuit else ""
    table = new_table(f"Pressure budget{of}", ("part", False), *columns, ("", False))
    for part, total in ((each.part, each.running) for each in budget.lines):
        row = (fixed(abs(part.flow), 0, "l_h"), fixed(abs(part.dp), 2, "kpa"))
        shares = (f"{part.share * 100:.1f}", f"{total * 100:.0f}")
        table.add_row(Text(part.name), *row, *shares, bar(part.share / budget.lines[0].part.share))
    return table


def _print_grade_line(out: Console, line: GradeLine) -> None:
    columns = numbers("distance {m}", "height {mm}", "head {m}", "gauge {kpa}", "absolute {kpa}")
    table = new_table(f"Grade line from {line.steps[0].name}", ("at", False), *columns)
    for point in line.points:
        place = (fixed(point.distance, 2, "m"), fixed(point.elevation, 0, "mm"))
        head, gauge = fixed(point.piezometric_head, 3, "m"), fixed(point.pressure, 2, "kpa")
        table.add_row(Text(point.name), *place, head, gauge, fixed(point.absolute, 2, "kpa"))
    out.print(table)
    say(out, f"  {marked(line.sentence)}")

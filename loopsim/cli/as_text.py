"""Answers as tables in a terminal."""

import sys
from collections.abc import Iterable, Mapping, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from loopsim.build import Build
from loopsim.studies import Budget, Failures, Finding, GradeLine, OperatingPoint, budgets, grade_line, measured_against
from loopsim.units import from_si

__all__ = ["check", "failures", "operating_point"]

_BAR = 12  # characters of the longest bar
_PAGE = 160  # characters of a line where nobody looks on: a file or another program


def operating_point(point: OperatingPoint) -> None:
    """Flow, pumps, pressure budget, grade line and warnings of one layout."""
    out = _console()
    stopped = f", stopped: {', '.join(sorted(point.stopped))}" if point.stopped else ""
    where = point.build.part(point.loop_flow_at).name if point.loop_flow_at else ""
    out.print(Text(f"{point.build.name}, {point.layout.name}{stopped}"))
    out.print(Text(f"Flow: {from_si(point.loop_flow, 'l_h'):.0f} L/h at {where}" if where else "Nothing flows."))
    measured = measured_against(point)
    if measured is not None:
        out.print(Text(f"Checked: {measured.sentence}{f' ({measured.note})' if measured.note else ''}"))
    out.print(_pumps(point))
    for budget in budgets(point):
        out.print(_budget(budget))
    for line in grade_line(point):
        _print_grade_line(out, line)
    out.print(
        Text(
            f"Solved in {point.iterations} steps; largest imbalance {point.mass_imbalance:.1e} kg/s and "
            f"{point.pressure_imbalance:.1e} Pa. Worst data behind it: {point.worst_provenance or 'none'}."
        )
    )
    _print_findings(out, point.findings)


def failures(found: Sequence[Failures]) -> None:
    """What is left with each pump stopped, layout by layout."""
    out = _console()
    for each in found:
        out.print(Text(f"{each.base.layout.name}: {from_si(each.base.loop_flow, 'l_h'):.0f} L/h with all running"))
        table = _table("", ("case", False), ("flow L/h", True), ("share %", True), ("back-flow L/h", True))
        if not each.cases:
            out.print(Text("  There is no pump that could stop."))
            continue
        for case in each.cases:
            place = each.base.loop_flow_at
            flow = abs(case.point.of(place).flow) if place else 0.0
            row = (from_si(flow, "l_h"), case.share * 100, from_si(case.back_flow, "l_h"))
            table.add_row(Text(case.title), *(f"{number:.0f}" for number in row))
        out.print(table)
        for case in each.cases:
            out.print(Text(f"  {case.sentence}"))


def check(build: Build, found: Mapping[str, Sequence[Finding]]) -> None:
    """What each layout's drawing lacks."""
    out = _console()
    out.print(Text(f"{build.name}: the file is in order."))
    for name, each in found.items():
        out.print(Text(f"{name}: {len(each) or 'nothing'} to look at"))
        _print_findings(out, each)


def _console() -> Console:
    return Console(soft_wrap=True, highlight=False, width=None if sys.stdout.isatty() else _PAGE)


def _pumps(point: OperatingPoint) -> Table:
    numbers = [(heading, True) for heading in ("speed %", "flow L/h", "head m", "power W", "efficiency %")]
    table = _table("Pumps", ("pump", False), ("state", False), *numbers)
    for pump in point.pumps:
        row = (_fixed(pump.speed * 100, 0), _fixed(from_si(pump.flow, "l_h"), 0), _fixed(pump.head, 2))
        power = (_fixed(pump.power, 1), _fixed(pump.efficiency * 100, 0))
        table.add_row(Text(pump.name), pump.state, *row, *power)
    return table


def _budget(budget: Budget) -> Table:
    numbers = [(heading, True) for heading in ("flow L/h", "drop kPa", "share %", "running %")]
    of = f", {budget.circuit}" if budget.circuit else ""
    table = _table(f"Pressure budget{of}", ("part", False), *numbers, ("", False))
    for part, total in ((each.part, each.running) for each in budget.lines):
        row = (_fixed(from_si(part.flow, "l_h"), 0), _fixed(from_si(part.dp, "kpa"), 2))
        shares = (f"{part.share * 100:.1f}", f"{total * 100:.0f}")
        table.add_row(Text(part.name), *row, *shares, _bar(part.share / budget.lines[0].part.share))
    return table


def _bar(share_of_largest: float) -> str:
    return "#" * max(1, round(_BAR * share_of_largest))


def _print_grade_line(out: Console, line: GradeLine) -> None:
    columns = ("distance m", "height mm", "head m", "gauge kPa", "absolute kPa")
    table = _table(f"Grade line from {line.steps[0].name}", ("at", False), *((each, True) for each in columns))
    for point in line.points:
        absolute = "-" if point.absolute is None else _fixed(from_si(point.absolute, "kpa"), 2)
        place = (_fixed(point.distance, 2), _fixed(from_si(point.elevation, "mm"), 0))
        head, gauge = _fixed(point.piezometric_head, 3), _fixed(from_si(point.pressure, "kpa"), 2)
        table.add_row(Text(point.name), *place, head, gauge, absolute)
    out.print(table)
    out.print(Text(f"  {line.sentence}"))


def _fixed(value: float, digits: int) -> str:
    """A number with fixed digits, and no minus before zero."""
    return f"{round(value, digits) + 0.0:.{digits}f}"


def _table(title: str, *columns: tuple[str, bool]) -> Table:
    table = Table(title=title or None, title_justify="left", box=None, pad_edge=False, title_style="bold")
    for heading, is_number in columns:
        table.add_column(heading, justify="right" if is_number else "left", no_wrap=True)
    return table


def _print_findings(out: Console, found: Iterable[Finding]) -> None:
    for each in found:
        out.print(Text(f"  {'note' if each.quiet else 'warning'}: {each.text}"))

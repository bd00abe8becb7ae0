"""Sections on where the pressure goes: the budget, and the grade line round each circuit."""

from loopsim.report.budget_svg import MOST_BARS, budget_svg
from loopsim.report.content import Block, Column, Figure, Paragraph, Section, Table
from loopsim.report.grade_line_svg import grade_line_svg
from loopsim.report.text import aligned, significant
from loopsim.report.words import Namer, data_words
from loopsim.studies import Budget, GradeLine, OperatingPoint, PartFlow, budgets, grade_line
from loopsim.units import from_si

__all__ = ["budget", "grade"]


def budget(point: OperatingPoint, name: Namer) -> Section:
    """What eats the pumps' work, largest first, with the running share."""
    found = budgets(point)
    if not found:
        return Section("Pressure budget", (Paragraph("Nothing flows, so nothing costs pressure."),))
    blocks = [block for number, each in enumerate(found, start=1) for block in _budget_blocks(each, name, number)]
    remark = Paragraph(
        "Shares are of the power that the running pumps give to the liquid (drop times flow), so that parts side by "
        "side add up too. Velocity and Reynolds number (Re) are those in the bore of a tube run.",
        "remark",
    )
    return Section("Pressure budget", (*blocks, remark))


def _budget_blocks(of: Budget, name: Namer, number: int) -> tuple[Block, ...]:
    names = [_name(each.part, name) for each in of.lines]
    circuit = f", circuit of {of.circuit}" if of.circuit else ""
    left_out = len(names) - MOST_BARS
    more = f" The {left_out} smallest stand in the table only." if left_out > 0 else ""
    figure = Figure(
        "budget" if number == 1 else f"budget-{number}",
        f"Pressure budget{circuit}: bars are each part's share, rings the running share.{more}",
        f"Bars, largest first{circuit}: {names[0]} takes {100 * of.lines[0].part.share:.0f} % of the pressure; the "
        "table below gives every share.",
        budget_svg([_with_ends(each.part, name) for each in of.lines], of.lines),
    )
    return figure, _budget_table(of, names, f"Largest first{circuit}")


def _name(part: PartFlow, name: Namer) -> str:
    """A run by its number on the plan, an exchanger's side by its own name."""
    return part.name if part.way else name.item(part.id)


def _with_ends(part: PartFlow, name: Namer) -> str:
    """The same, a run with what it joins: bars are read without the plan."""
    return f"{_name(part, name)}, {part.name}" if part.kind == "tube_run" else _name(part, name)


def _budget_table(of: Budget, names: list[str], caption: str) -> Table:
    columns = (
        Column("part"),
        Column("flow", "L/h", number=True),
        Column("drop", "kPa", number=True),
        Column("velocity", "m/s", number=True),
        Column("Re", number=True),
        Column("share", "%", number=True),
        Column("running", "%", number=True),
        Column("data"),
    )
    parts = [each.part for each in of.lines]
    rows = zip(
        names,
        aligned(abs(from_si(part.flow, "l_h")) for part in parts),
        aligned(abs(from_si(part.dp, "kpa")) for part in parts),
        aligned(abs(part.velocity) if part.velocity is not None else None for part in parts),
        ["–" if part.reynolds is None else significant(part.reynolds) for part in parts],
        aligned(100 * part.share for part in parts),
        [f"{100 * each.running:.1f}" for each in of.lines],
        [data_words(part.provenance, part.beyond_data) for part in parts],
        strict=True,
    )
    return Table(columns, tuple(rows), caption)


def grade(point: OperatingPoint) -> Section:
    """Head and pressure round each circuit, from what fixes the pressure back to it."""
    lines = grade_line(point)
    if not lines:
        return Section("Grade line", (Paragraph("Nothing flows, so there is no line to draw."),))
    blocks = [block for number, each in enumerate(lines, start=1) for block in _grade_blocks(each, number)]
    remark = Paragraph(
        "Static head is static gauge pressure over the weight of the coolant, plus height above the floor; total head "
        "adds what the liquid's speed is worth. Where streams part, the line follows the larger one. Pressures are "
        "those in the bore of each port; the absolute ones add the room's pressure.",
        "remark",
    )
    return Section("Grade line", (*blocks, remark))


def _grade_blocks(of: GradeLine, number: int) -> tuple[Block, ...]:
    start = of.steps[0].name
    pump = next((step.name for step in of.steps if step.is_running_pump), "")
    suction = f" Shaded: the suction side, from {start} to {pump}." if of.suction is not None else ""
    figure = Figure(
        "grade-line" if number == 1 else f"grade-line-{number}",
        f"Grade line from {start} along the flow and back, {of.length:.2f} m.{suction} {of.sentence}",
        f"Head in metres against distance in metres, from {start} on; static head reaches "
        f"{significant(float(of.piezometric_head.max()))} m. {of.sentence}",
        grade_line_svg(of),
    )
    return figure, _grade_table(of)


def _grade_table(of: GradeLine) -> Table:
    columns = (
        Column("at"),
        Column("distance", "m", number=True),
        Column("height", "mm", number=True),
        Column("static head", "m", number=True),
        Column("total head", "m", number=True),
        Column("gauge", "kPa", number=True),
        Column("absolute", "kPa", number=True),
    )
    points = of.points
    rows = zip(
        [point.name for point in points],
        [f"{point.distance:.2f}" for point in points],
        [f"{from_si(point.elevation, 'mm'):.0f}" for point in points],
        aligned(point.piezometric_head for point in points),
        aligned(point.total_head for point in points),
        aligned(from_si(point.pressure, "kpa") for point in points),
        ["–" if point.absolute is None else f"{from_si(point.absolute, 'kpa'):.1f}" for point in points],
        strict=True,
    )
    return Table(columns, tuple(rows), f"From {of.steps[0].name} along the flow")

"""Sections on what flows: the answer, the plan, the operating point, the curves, the failures."""

from loopsim.build import LoadCase
from loopsim.report.content import Column, Figure, Paragraph, Section, Table
from loopsim.report.curves_svg import curves_svg
from loopsim.report.heat_sections import sentence
from loopsim.report.plan_svg import plan_svg
from loopsim.report.text import aligned, scientific, significant
from loopsim.report.words import Namer, data_words
from loopsim.studies import FailureCase, Failures, HeatPoint, OperatingPoint, PumpPlot, measured_against
from loopsim.units import from_si

__all__ = ["answer", "curves", "failure_table", "operating", "plan"]


def answer(point: OperatingPoint, failures: Failures, heat: HeatPoint, name: Namer) -> Section:
    """The flow, the flow with the worst pump stopped, and whether it stays cool, in a sentence each."""
    worst = failures.worst
    where = f" at {name.item(point.loop_flow_at)}" if point.loop_flow_at else ""
    if not point.loop_flow > 0:
        return Section("The answer", (Paragraph("Nothing flows in this layout; the findings say why.", "answer"),))
    first = f"The flow is {_headline(point.loop_flow)}{where}."
    second = f" {_stopped_sentence(failures, worst)}" if worst else ""
    trust = f"The least certain data behind it: {data_words(point.worst_provenance)}."
    cool = (Paragraph(sentence(heat), "answer"),) if heat.components else ()
    return Section("The answer", (Paragraph(first + second, "answer"), *cool, Paragraph(trust, "remark")))


def _stopped_sentence(failures: Failures, worst: FailureCase) -> str:
    """What stays in the worst case; which pump that is, where it matters."""
    where = f" in the circuit of {worst.circuit}" if worst.circuit else ""
    left = f"{_headline(worst.flow)}{where} stays ({100 * worst.share:.0f} %)"
    if worst.share < 5e-4:
        left = f"no pump drives the flow{where}" if worst.is_only else f"nothing flows{where}"
    elif worst.is_only:
        left = f"no pump drives the flow{where}; warmth keeps {_headline(worst.flow)} ({100 * worst.share:.0f} %)"
    stopped = next(pump.name for pump in failures.base.pumps if pump.id == worst.stopped)
    if len(failures.cases) == 1:
        return f"If {stopped} stops, {left}."
    if max(case.share for case in failures.cases) - worst.share < 5e-4:
        return f"Whichever pump stops, {left}."
    return f"With one pump stopped, at worst {left}: that pump is {stopped}."


def _headline(flow: float) -> str:
    return f"{significant(from_si(flow, 'l_h'))} L/h"


def plan(point: OperatingPoint, name: Namer) -> Section:
    """The drawing, and the key to its run numbers."""
    layout = point.layout
    flows = {part.id: part.flow for part in point.parts}
    drawing = Figure(
        "plan",
        "Plan to scale, seen from above, front edge at the bottom. Numbers in rings are tube runs; arrows show the "
        "flow; h is a height above the floor in mm: of a part from underside to top, of a tube at its centre line.",
        f"Plan of layout {layout.name}: {len(layout.placed)} parts and {len(layout.runs)} tube runs in an enclosure of "
        f"{point.build.enclosure.length_mm:g} by {point.build.enclosure.width_mm:g} mm; the tables below list them.",
        plan_svg(point.build, layout, flows),
    )
    words = ("run", "in the file", "from", "to", "heights at ends and corners, mm")
    columns = tuple(Column(word) for word in words)
    rows = [
        (name.item(run.id), run.id, *name.ends(run), _heights(point.build.run_path(layout, run).heights_mm))
        for run in layout.runs
    ]
    return Section("Plan", (drawing, Table(columns, tuple(rows), "Tube runs")) if rows else (drawing,))


def _heights(heights_mm: list[float]) -> str:
    words = [f"{height:.4g}" for height in heights_mm]
    return f"{words[0]} throughout" if len(set(words)) == 1 else " → ".join(words)


def operating(point: OperatingPoint, name: Namer) -> Section:
    """Every pump at the operating point, the coolant, and the proof that the result closes."""
    pumps = (_pumps(point),) if point.pumps else ()
    return Section("Operating point", (*_measured(point), *pumps, _coolant(point), _proof(point, name)))


def _measured(point: OperatingPoint) -> tuple[Paragraph, ...]:
    """The flow read on the finished machine beside the predicted one, where there is one."""
    found = measured_against(point)
    if found is None:
        return ()
    how = f" How it was measured: {found.note.rstrip('.')}." if found.note else " How it was measured is not stated."
    return (Paragraph(f"{found.sentence[:1].upper()}{found.sentence[1:]}.{how}"),)


def _pumps(point: OperatingPoint) -> Table:
    columns = (
        Column("pump"),
        Column("flow", "L/h", number=True),
        Column("head", "m", number=True),
        Column("rise", "kPa", number=True),
        Column("state"),
        Column("speed", "%", number=True),
        Column("power", "W", number=True),
        Column("efficiency", "%", number=True),
        Column("data"),
    )
    numbers = zip(
        [pump.name for pump in point.pumps],
        aligned(from_si(pump.flow, "l_h") for pump in point.pumps),
        aligned(pump.head for pump in point.pumps),
        aligned(from_si(pump.dp, "kpa") for pump in point.pumps),
        [pump.state for pump in point.pumps],
        [f"{100 * pump.speed:.0f}" for pump in point.pumps],
        aligned(pump.power for pump in point.pumps),
        [f"{100 * pump.efficiency:.0f}" for pump in point.pumps],
        [data_words(pump.provenance, pump.beyond_data) for pump in point.pumps],
        strict=True,
    )
    return Table(columns, tuple(numbers), "Pumps")


def _coolant(point: OperatingPoint) -> Table:
    coolant = point.build.coolant
    state = coolant.state
    columns = (
        Column("coolant"),
        Column("temperature", "°C", number=True),
        Column("density", "kg/m³", number=True),
        Column("dynamic viscosity", "mPa s", number=True),
    )
    viscosity = significant(1e3 * state.viscosity)
    row = (coolant.medium.name, f"{coolant.temperature_c:g}", f"{state.density:.0f}", viscosity)
    return Table(columns, (row,), "Coolant")


def _proof(point: OperatingPoint, name: Namer) -> Paragraph:
    steps = "1 iteration" if point.iterations == 1 else f"{point.iterations} iterations"
    text = (
        f"The calculation closed in {steps}. What is left over: at most {scientific(point.mass_imbalance)} kg/s at any "
        f"junction, and at most {scientific(point.pressure_imbalance)} Pa round any loop."
    )
    if point.datum:
        places = ", ".join(_datum_words(place, name) for place in point.datum)
        text += f" No free surface fixes the pressure: it was set to 0 at {places}."
    return Paragraph(text, "remark")


def _datum_words(place: str, name: Namer) -> str:
    part_id, dot, _ = place.partition(".")
    if part_id not in name.layout.placements:
        return place
    return name.end(place) if dot else name.item(part_id)


def curves(plots: tuple[PumpPlot, ...]) -> Section:
    """One figure for each group of pumps."""
    if not plots:
        return Section("Curves", (Paragraph("No pump runs in a closed loop, so there are no curves to show."),))
    figures = tuple(_curve_figure(plot, number) for number, plot in enumerate(plots, start=1))
    reason = plots[0].why_single
    return Section("Curves", (*((Paragraph(f"One figure for each pump: {reason}."),) if reason else ()), *figures))


def _curve_figure(plot: PumpPlot, number: int) -> Figure:
    crossings = [f"all running {_at(plot.flow, plot.head)}"]
    crossings += [f"{case.name} stopped {_at(case.flow, case.head)}" for case in plot.stopped]
    return Figure(
        "curves" if number == 1 else f"curves-{number}",
        "Pump curves and system curve; marks are operating points. Dashed: beyond the data, an estimate. A thin line "
        "in the colour of the stopped cases is the system curve with that pump stopped, where it differs.",
        f"Head in metres against flow in litres per hour. Operating points: {'; '.join(crossings)}.",
        curves_svg(plot),
    )


def _at(flow: float, head: float) -> str:
    return f"{significant(from_si(flow, 'l_h'))} L/h at {significant(head)} m"


def failure_table(failures: Failures, case: LoadCase) -> Section:
    """Each pump stopped in turn, with the heat of a load case."""
    cases = failures.cases
    if not cases:
        return Section("If a pump stops", (Paragraph("This layout has no pump."),))
    columns = (
        Column("stopped"),
        Column("flow", "L/h", number=True),
        Column("stays", "%", number=True),
        Column("back through it", "L/h", number=True),
        Column("what happens"),
    )
    flows = [failures.base.loop_flow, *(case.flow for case in cases)]
    numbers = aligned(from_si(flow, "l_h") for flow in flows)
    back = aligned([None, *(from_si(case.back_flow, "l_h") or None for case in cases)])
    names = {pump.id: pump.name for pump in failures.base.pumps}
    rows = [("none", numbers[0], "100" if flows[0] > 0 else "–", "–", "All pumps run.")]
    rows += [
        (names[case.stopped], flow, f"{100 * case.share:.0f}", returned, case.sentence)
        for case, flow, returned in zip(cases, numbers[1:], back[1:], strict=True)
    ]
    caption = f"Every pump stopped in turn, with the coolant as warm as it gets then: {case.name}"
    return Section("If a pump stops", (Table(columns, tuple(rows), caption),))

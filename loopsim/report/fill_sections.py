"""Sections on filling, draining and testing for leaks."""

from collections.abc import Sequence
from math import isfinite

from loopsim.build import Build, Layout
from loopsim.errors import SketchError
from loopsim.report.content import Block, Column, Listing, Paragraph, Section, Table
from loopsim.report.text import significant
from loopsim.studies.fill import (
    LEAK_CAUTIONS,
    DrainPlan,
    FillPlan,
    FillWarning,
    drain_plan,
    fill_plan,
    leak_sheet,
)
from loopsim.studies.fill.drain_plan import drain_sums
from loopsim.studies.words import duration, listed
from loopsim.units import from_si, to_si

__all__ = ["draining", "filling", "leaks"]

_FILL_CAUTIONS = (
    "Electronics stay unpowered until the loop is full, tight and dry outside. Never run a pump dry. Glycol is harmful "
    "if swallowed; wear eye protection, wipe up what spills. No port is opened while liquid stands above it.",
)


def filling(build: Build, layout: Layout) -> Section:
    """The fill plan, what it expects, what stands in its way."""
    try:
        plan = fill_plan(build, layout.name)
    except SketchError as error:
        return Section("Filling", (Paragraph(f"No fill plan: {error}."),))
    blocks: list[Block] = [Paragraph(_fill_answer(plan)), Listing(_FILL_CAUTIONS), _fill_steps(plan, layout)]
    blocks += [Paragraph(text, "remark") for text in _fill_remarks(plan, layout)]
    blocks += [*_floodings(plan), *_starts(plan, build)]
    return Section("Filling", (*blocks, *_warnings(plan.warnings)))


def _fill_answer(plan: FillPlan) -> str:
    if not plan.is_complete:
        return (
            f"From {plan.opening.name} the loop cannot be filled as it is drawn: {_ml(plan.air_left)} mL of "
            f"{_ml(plan.capacity)} mL stay full of air. What to change stands below the steps."
        )
    return (
        f"Filled from {plan.opening.name}: {_ml(plan.poured)} mL are expected of {_ml(plan.capacity)} mL that the loop "
        f"holds; {_ml(plan.air_left)} to {_ml(plan.air_left_at_most)} mL of air are left inside. The vessel is topped "
        f"up {plan.top_ups} times; {_time_taken(plan)}."
    )


def _time_taken(plan: FillPlan) -> str:
    pumping = f", pumping {duration(plan.pumping)}" if plan.pumping > 0 else ""
    return f"pouring takes {duration(plan.pouring)}{pumping}"


def _fill_steps(plan: FillPlan, layout: Layout) -> Table:
    columns = (
        Column("step", number=True),
        Column("what to do", weight=1.0),
        Column("poured", "mL", number=True),
        Column("takes"),
        Column("done"),
    )
    rows = [
        (
            str(step.number),
            f"{step.sentence}.",
            _ml(step.volume) if step.volume else "–",
            _takes(step.seconds),
            _box(step.key in layout.filled_steps),
        )
        for step in plan.steps
    ]
    total = ("", "in all", _ml(plan.poured), duration(plan.pouring + plan.pumping), "")
    return Table(columns, tuple(rows), "Fill plan", total)


def _floodings(plan: FillPlan) -> tuple[Table, ...]:
    """From which level on gravity floods each pump."""
    columns = (
        Column("pump", weight=1.0),
        Column("flooded from a level of", "mm", number=True),
        Column("level above its inlet", "mm", number=True),
        Column("flooded"),
    )
    rows = [
        (each.name, _mm(each.level), _mm(each.head_on_inlet), "yes" if each.is_flooded else "no") for each in plan.pumps
    ]
    return (Table(columns, tuple(rows), f"Pumps that liquid poured in at {plan.opening.name} floods"),) if rows else ()


def _starts(plan: FillPlan, build: Build) -> tuple[Table, ...]:
    """Lift and lock head of the easiest way round, against the head of the pumps."""
    columns = (
        Column("pumps", weight=1.0),
        Column("lift of the front", "mm", number=True),
        Column("lock head", "mm", number=True),
        Column("shut-off head", "mm", number=True),
        Column("with gas, an estimate", "mm", number=True),
        Column("verdict"),
    )
    rows = [
        (
            listed([build.part(pump).name for pump in each.pumps]),
            *(_mm(head) for head in (each.lift, each.lock, each.shut_off, each.derated)),
            each.verdict,
        )
        for each in plan.starts
    ]
    return (Table(columns, tuple(rows), "Whether the pumps then get liquid round by themselves"),) if rows else ()


def _mm(length: float) -> str:
    return f"{from_si(length, 'mm'):.0f}" if isfinite(length) else "–"


def _box(is_done: bool) -> str:
    return "☑" if is_done else "☐"


def _takes(seconds: float | None) -> str:
    if seconds is None:
        return "not known"
    return duration(seconds) if seconds else "–"


def _fill_remarks(plan: FillPlan, layout: Layout) -> list[str]:
    remarks = [
        "Volumes follow from the heights, times from the neck of the opening or a steady hand and from the pumps' "
        "curves, less an estimate for gas. Bleeding time is not to be had from published data."
    ]
    if layout.poured_ml is not None:
        air = plan.air_inside(to_si(layout.poured_ml, "ml"))
        remarks.append(
            f"Measured: {significant(layout.poured_ml)} mL poured in all, so that {_ml(max(air, 0.0))} mL of air were "
            f"inside, with the vessel at its level as drawn; {_ml(plan.air_left)} mL were expected."
        )
    return remarks


def draining(build: Build, layout: Layout) -> Section:
    """The drain plan, and what stays."""
    try:
        plan = drain_plan(build, layout.name)
    except SketchError as error:
        return Section("Draining", (Paragraph(f"No drain plan: {error}."),))
    return Section("Draining", (Paragraph(_drain_answer(plan)), _drain_steps(plan, layout), *_warnings(plan.warnings)))


def _drain_answer(plan: DrainPlan) -> str:
    return f"By gravity {drain_sums(plan.drain)}. Have vessels for {_ml(plan.drain.collect)} mL."


def _drain_steps(plan: DrainPlan, layout: Layout) -> Table:
    columns = (
        Column("step", number=True),
        Column("what to do", weight=1.0),
        Column("runs off", "mL", number=True),
        Column("done"),
    )
    rows = [
        (
            str(step.number),
            f"{step.sentence}.",
            _ml(step.volume) if step.volume else "–",
            _box(step.key in layout.drained_steps),
        )
        for step in plan.steps
    ]
    return Table(columns, tuple(rows), "Drain plan")


def leaks(build: Build, layout: Layout) -> Section:
    """Cautions first, then the pressure to test with and what a test said."""
    sheet = leak_sheet(build, layout.name)
    record = (Paragraph("No leak test is noted yet."),) if sheet.record is None else _record(sheet.record.note)
    sentences = tuple(Paragraph(f"{each}.") for each in sheet.sentences)
    return Section("Leak test", (Listing(LEAK_CAUTIONS), *sentences, *record))


def _record(note: str) -> tuple[Paragraph, ...]:
    return (Paragraph(f"Note: {note.rstrip('.')}."),) if note.strip() else ()


def _warnings(warnings: Sequence[FillWarning]) -> tuple[Block, ...]:
    if not warnings:
        return ()
    columns = (Column("what stands in the way", weight=1.0), Column("remedy", weight=1.0))
    return (Table(columns, tuple((f"{each.text}.", f"{each.remedy}.") for each in warnings), "Worth a change"),)


def _ml(volume: float) -> str:
    return f"{from_si(volume, 'ml'):.0f}"

"""`loopsim fill`, `loopsim drain`, `loopsim leaktest`: how to fill, drain and test a layout, step by step."""

from collections.abc import Collection, Iterable
from math import isfinite
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.text import Text

from loopsim import build
from loopsim.build import LeakRecord, edits
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, File, LayoutName, print_answer
from loopsim.cli.tables import console, say
from loopsim.errors import PartDataError
from loopsim.studies.fill import (
    LEAK_CAUTIONS,
    DrainPlan,
    DrainPlanStep,
    FillPlan,
    FillStep,
    FillWarning,
    LeakSheet,
    LowPoint,
    PumpFlooding,
    StartUp,
    drain_plan,
    fill_plan,
    leak_sheet,
)
from loopsim.studies.fill.drain_plan import drain_sums
from loopsim.studies.sentence import figure, marked, quantity
from loopsim.studies.words import duration
from loopsim.units import from_si

__all__ = ["drain", "fill", "leaktest"]

FromPort = Annotated[
    str | None, typer.Option("--from", help="an opening: id of its part, or part/place; the usual one if not given")
]


def fill(file: File, layout: LayoutName = None, from_: FromPort = None, as_json_: AsJson = False) -> None:
    """Say step by step how to fill a layout without running a pump dry, with volumes and times."""
    loaded = build.load(file)
    plan, done = fill_plan(loaded, layout, from_), loaded.layout(layout).filled_steps
    print_answer(_fill_json(plan, done) if as_json_ else None, lambda: _fill_text(plan, done))


def drain(file: File, layout: LayoutName = None, from_: FromPort = None, as_json_: AsJson = False) -> None:
    """Say step by step how to drain a layout, what runs off and what stays."""
    loaded = build.load(file)
    plan, done = drain_plan(loaded, layout, [from_] if from_ else ()), loaded.layout(layout).drained_steps
    print_answer(_drain_json(plan, done) if as_json_ else None, lambda: _drain_text(plan, done))


def leaktest(
    file: File,
    layout: LayoutName = None,
    start_bar: Annotated[float | None, typer.Option(help="gauge pressure at the start")] = None,
    end_bar: Annotated[float | None, typer.Option(help="gauge pressure at the end")] = None,
    start_c: Annotated[float | None, typer.Option(help="temperature of the air inside at the start")] = None,
    end_c: Annotated[float | None, typer.Option(help="temperature of the air inside at the end")] = None,
    minutes: Annotated[float | None, typer.Option(help="between the readings")] = None,
    start_air_kpa: Annotated[
        float | None,
        typer.Option(help="absolute pressure of the room at the start; the build's if not given"),
    ] = None,
    end_air_kpa: Annotated[
        float | None,
        typer.Option(help="the same at the end, if the weather has changed; else as at the start"),
    ] = None,
    wet: Annotated[bool, typer.Option("--wet", help="coolant is inside")] = False,
    as_json_: AsJson = False,
) -> None:
    """Say with how much air to test a layout for leaks, and read a test; without readings that of the file."""
    loaded = build.load(file)
    given = {"start_bar": start_bar, "end_bar": end_bar, "start_c": start_c, "end_c": end_c}
    others = {
        "lasted_minutes": minutes,
        "is_wet": wet,
        "start_air_kpa": start_air_kpa,
        "end_air_kpa": end_air_kpa,
    }
    record = _record(loaded, layout, given, others)
    sheet = leak_sheet(loaded, layout, record)
    print_answer(_leak_json(sheet) if as_json_ else None, lambda: _leak_text(sheet))


def _record(
    loaded: build.Build, layout: str | None, given: dict[str, float | None], others: dict[str, float | bool | None]
) -> LeakRecord | None:
    """The readings typed in; all four or none."""
    missing = [f"--{name.replace('_', '-')}" for name, value in given.items() if value is None]
    if len(missing) == len(given) and not any(others.values()):
        return None
    if missing:
        raise PartDataError(f"a leak test takes four readings, {', '.join(missing)} not given")
    values = {**given, **others}
    name = loaded.layout(layout).name
    return edits.change_layout(loaded, name, leak_record=values).build.layout(name).leak_record


def _print_steps(out: Console, steps: Iterable[FillStep | DrainPlanStep], done: Collection[str]) -> None:
    for step in steps:
        say(out, f"{step.number:3d}. {marked(step.sentence)}.{' [done]' if step.key in done else ''}")


def _print_warnings(out: Console, warnings: Iterable[FillWarning]) -> None:
    for each in warnings:
        say(out, f"  warning: {marked(each.text)}. Remedy: {marked(each.remedy)}.")


def _fill_text(plan: FillPlan, done: Collection[str]) -> None:
    out = console()
    poured, capacity = quantity(plan.poured, "ml"), quantity(plan.capacity, "ml")
    say(out, f"Filling from {plan.opening.name}: {poured} of {capacity}")
    _print_steps(out, plan.steps, done)
    left = f"{figure(plan.air_left, 'ml')} to {quantity(plan.air_left_at_most, 'ml')}"
    takes = (("pouring", plan.pouring), ("pumping", plan.pumping))
    words = [*(f"{what} {duration(seconds)}" for what, seconds in takes if seconds > 0), f"{plan.top_ups} top-ups"]
    told = ", ".join(words)
    say(out, f"{told[:1].upper()}{told[1:]}; {left} of air are left inside.")
    for sentence in (*(each.sentence for each in plan.pumps), *(each.sentence for each in plan.starts)):
        say(out, f"  {marked(sentence)}.")
    if not plan.is_complete:
        out.print(Text("This plan does not fill the loop."))
    _print_warnings(out, plan.warnings)


def _drain_text(plan: DrainPlan, done: Collection[str]) -> None:
    out = console()
    say(out, f"Draining: {marked(drain_sums(plan.drain))}")
    _print_steps(out, plan.steps, done)
    _print_warnings(out, plan.warnings)


def _leak_text(sheet: LeakSheet) -> None:
    out = console()
    for each in LEAK_CAUTIONS:
        out.print(Text(f"  caution: {each}"))
    for each in sheet.sentences:
        say(out, f"{marked(each)}.")


def _fill_json(plan: FillPlan, done: Collection[str]) -> dict[str, Any]:
    """Times that no published data tell are null."""
    fall = plan.level_fall
    return {
        "from": plan.opening.place,
        "complete": plan.is_complete,
        "capacity_ml": _ml(plan.capacity),
        "poured_ml": _ml(plan.poured),
        "air_left_ml": [_ml(plan.air_left), _ml(plan.air_left_at_most)],
        "top_ups": plan.top_ups,
        "pouring_s": rounded(plan.pouring, 3),
        "pumping_s": rounded(plan.pumping, 3),
        "bleeding_s": plan.bleeding,
        "bleeding_common_practice_s": list(plan.bleeding_practice),
        "least_level_mm": None if plan.least_level != plan.least_level else _mm(plan.least_level),
        "mix": {
            "coolant": plan.mix.coolant,
            "volume_ml": _ml(plan.mix.volume),
            "water_ml": _ml(plan.mix.water),
            "glycol_ml": _ml(plan.mix.glycol),
            "water_kg": rounded(plan.mix.water_mass, 6),
            "glycol_kg": rounded(plan.mix.glycol_mass, 6),
            "temperature_c": plan.mix.temperature_c,
        },
        "pumps": [_pump(each) for each in plan.pumps],
        "starts": [_start(each) for each in plan.starts],
        "level_fall_mm": None if fall is None else rounded(from_si(fall.expected, "mm"), 4),
        "steps": [_step(step) | {"done": step.key in done} for step in plan.steps],
        "moments": [
            {
                "step": each.step,
                "time_s": rounded(each.time, 3),
                "levels_mm": {vessel: _mm(level) for vessel, level in each.levels.items()},
                "poured_ml": _ml(each.poured),
                "air_ml": _ml(each.air),
            }
            for each in plan.snapshots
        ],
        "warnings": _warnings_json(plan.warnings),
    }


def _step(step: FillStep) -> dict[str, Any]:
    return {
        "number": step.number,
        "action": step.action,
        "text": step.sentence,
        "opened": list(step.opened),
        "shut": list(step.shut),
        "running": list(step.running),
        "tilt_deg": list(step.tilt),
        "at": None if step.at is None else step.at.place,
        "volume_ml": _ml(step.volume),
        "time_s": None if step.seconds is None else rounded(step.seconds, 3),
        "level_mm": _mm(step.level),
    }


def _pump(found: PumpFlooding) -> dict[str, Any]:
    """A level that floods nothing is null."""
    return {
        "pump": found.pump,
        "floods_from_mm": _mm(found.level) if isfinite(found.level) else None,
        "flooded": found.is_flooded,
        "head_on_inlet_mm": _mm(found.head_on_inlet) if isfinite(found.head_on_inlet) else None,
        "hump_at": found.hump_at and found.hump_at.place,
        "hump_mm": _mm(found.hump),
    }


def _start(found: StartUp) -> dict[str, Any]:
    return {
        "pumps": list(found.pumps),
        "way": list(found.way),
        "lift_mm": _mm(found.lift),
        "lock_head_mm": _mm(found.lock),
        "humps": found.humps,
        "shut_off_head_mm": _mm(found.shut_off),
        "head_with_gas_mm": _mm(found.derated),
        "verdict": found.verdict,
    }


def _drain_json(plan: DrainPlan, done: Collection[str]) -> dict[str, Any]:
    return {
        "inside_ml": _ml(plan.drain.held),
        "drained_ml": _ml(plan.drain.drained),
        "blown_free_ml": _ml(plan.drain.blown_free),
        "stays_ml": _ml(plan.drain.stays),
        "collect_ml": _ml(plan.drain.collect),
        "low_points": [_low_point(each) for each in plan.drain.low_points],
        "steps": [
            {
                "number": step.number,
                "text": step.sentence,
                "at": None if step.at is None else step.at.place,
                "tilt_deg": list(step.tilt),
                "volume_ml": _ml(step.volume),
                "time_s": None if step.seconds is None else rounded(step.seconds, 3),
                "done": step.key in done,
            }
            for step in plan.steps
        ],
        "warnings": _warnings_json(plan.warnings),
    }


def _low_point(low: LowPoint) -> dict[str, Any]:
    return {
        "level_mm": _mm(low.level),
        "volume_ml": _ml(low.volume),
        "held": [
            {"at": each.at.place, "name": each.at.name, "ml": _ml(each.volume), "blown_free_ml": _ml(each.blown_free)}
            for each in low.held
        ],
    }


def _leak_json(sheet: LeakSheet) -> dict[str, Any]:
    result = sheet.result
    return {
        "test_pressure_bar": _bar(sheet.pressure),
        "weakest": sheet.weakest,
        "rating_bar": None if sheet.rating is None else _bar(sheet.rating),
        "lowest": None if sheet.lowest is None else sheet.lowest.place,
        "per_kelvin_bar": _bar(sheet.per_kelvin),
        "record": None if sheet.record is None else sheet.record.model_dump(mode="json", exclude_none=True),
        "result": None
        if result is None
        else {
            "expected_bar": _bar(result.expected),
            "by_temperature_bar": _bar(result.by_temperature),
            "by_vapour_bar": _bar(result.by_vapour),
            "by_barometer_bar": _bar(result.by_barometer),
            "unexplained_bar": _bar(result.unexplained),
            "allowed_bar": _bar(result.allowed),
            "leak_pa_m3_s": result.leak,
            "verdict": result.verdict,
        },
        "sentences": list(sheet.sentences),
        "cautions": list(LEAK_CAUTIONS),
    }


def _warnings_json(warnings: Iterable[FillWarning]) -> list[dict[str, Any]]:
    return [
        {"code": each.code, "at": each.at and each.at.place, "text": each.text, "remedy": each.remedy}
        for each in warnings
    ]


def _ml(volume: float) -> float:
    return float(rounded(from_si(volume, "ml"), 4))


def _mm(length: float) -> float:
    return float(rounded(from_si(length, "mm"), 4))


def _bar(pressure: float) -> float:
    return float(rounded(from_si(pressure, "bar"), 6))

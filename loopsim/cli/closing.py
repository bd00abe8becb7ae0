"""`loopsim swell` and `loopsim covers`: what a loop that is closed, and the plastic that closes it, must bear."""

from collections.abc import Sequence
from math import isfinite
from typing import Annotated, Any

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, File, LayoutName, print_answer
from loopsim.cli.tables import console, fixed, new_table, read, say
from loopsim.studies.fill import (
    COVER_CAUTIONS,
    SWELL_CAUTIONS,
    CircuitSwell,
    CoverAdvice,
    CoverCheck,
    standing_pressure,
    swell_sheet,
)
from loopsim.studies.fill import covers as advice_on
from loopsim.studies.sentence import marked, quantity
from loopsim.units import from_si, to_si

__all__ = ["covers", "swell"]


def swell(
    file: File,
    layout: LayoutName = None,
    hot_c: Annotated[
        float | None, typer.Option(help="hottest coolant; that of the load cases if not given", show_default=False)
    ] = None,
    as_json_: AsJson = False,
) -> None:
    """Say how far the coolant swells, whether vented levels hold it, and what a sealed loop must bear."""
    found = _swells(build.load(file), layout, hot_c)
    print_answer(_swell_json(found) if as_json_ else None, lambda: _swell_text(found))


def covers(
    file: File,
    layout: LayoutName = None,
    test_bar: Annotated[
        float | None, typer.Option(help="gauge pressure of the test; that of the leak test if not given", min=0.0)
    ] = None,
    as_json_: AsJson = False,
) -> None:
    """Advise on clear lids, walls, bolts, gaskets and threads under test pressure. No certificate."""
    loaded = build.load(file)
    pressure = None if test_bar is None else to_si(test_bar, "bar")
    found = advice_on(loaded, layout, pressure, standing_pressure(_swells(loaded, layout)))
    print_answer(_covers_json(found) if as_json_ else None, lambda: _covers_text(found))


def _swells(loaded: build.Build, layout: str | None, hot_c: float | None = None) -> tuple[CircuitSwell, ...]:
    heats = () if hot_c is not None else studies.heat_points(loaded, layout)
    return swell_sheet(studies.operating_point(loaded, layout), heats, hot_c)


def _swell_text(found: Sequence[CircuitSwell]) -> None:
    out = console()
    for each in SWELL_CAUTIONS:
        out.print(Text(f"  caution: {each}"))
    for circuit in found:
        out.print(Text(f"{circuit.name}: {circuit.verdict}"))
        for each in circuit.sentences:
            say(out, f"  {_capital(each)}.")


def _swell_json(found: Sequence[CircuitSwell]) -> dict[str, Any]:
    return {"circuits": [_circuit(each) for each in found], "cautions": list(SWELL_CAUTIONS)}


def _circuit(found: CircuitSwell) -> dict[str, Any]:
    """What would be without end is null."""
    return {
        "name": found.name,
        "coolant": found.coolant,
        "volume_ml": _ml(found.volume),
        "cold_c": found.cold_c,
        "hot_c": rounded(found.hot_c, 3),
        "swell_ml": _ml(found.swell),
        "levels": [
            {
                "vessel": each.vessel,
                "rises_mm": rounded(from_si(each.rise, "mm"), 4),
                "room_mm": rounded(from_si(each.room, "mm"), 4),
            }
            for each in found.rises
        ],
        "cushion": found.cushion,
        "gas_ml": _ml(found.gas),
        "sealed_cold_bar": _bar(found.cold),
        "sealed_hot_bar": _bar(found.hot),
        "most_bar": _bar(found.most),
        "weakest": found.weakest,
        "least_gas_ml": _ml(found.least_gas),
        "precharge_bar": _bar(found.precharge),
        "expansion_vessel_ml": _ml(found.vessel_size),
        "verdict": found.verdict,
        "sentences": list(found.sentences),
    }


def _covers_text(found: Sequence[CoverAdvice]) -> None:
    out = console()
    for each in COVER_CAUTIONS:
        out.print(Text(f"  caution: {each}"))
    if not found:
        out.print(Text("No reservoir and no channel plate stands in this layout."))
    for advice in found:
        _print_advice(advice)


def _print_advice(advice: CoverAdvice) -> None:
    out = console()
    guess = ", its sizes a guess" if advice.is_guess and advice.checks else ""
    title = f"{advice.name}, {advice.material}{guess}, at {quantity(advice.pressure, 'bar', 2)}"
    if not advice.checks:
        say(out, f"{title}: of {advice.material} nothing can be said.")
        return
    table = new_table(
        read(title), ("", False), ("found", True), ("asked for", False), ("margin", True), ("verdict", False)
    )
    for check in advice.checks:
        margin = fixed(check.margin, 1) if isfinite(check.margin) else "-"
        table.add_row(check.what, read(check.found), read(check.asked), margin, check.verdict)
    out.print(table)
    for check in advice.checks:
        remedy = f" Remedy: {marked(check.remedy)}." if check.remedy else ""
        say(out, f"  {_capital(check.sentence)}.{remedy}")
    for source in dict.fromkeys(check.source for check in advice.checks):
        out.print(Text(f"  source: {source}"))


def _capital(sentence: str) -> str:
    text = marked(sentence)
    return text[:1].upper() + text[1:]


def _covers_json(found: Sequence[CoverAdvice]) -> dict[str, Any]:
    return {
        "parts": [
            {
                "part": each.part,
                "name": each.name,
                "material": each.material,
                "test_bar": _bar(each.pressure),
                "standing_bar": _bar(each.standing),
                "is_guess": each.is_guess,
                "verdict": each.verdict if each.checks else None,
                "checks": [_check(check) for check in each.checks],
            }
            for each in found
        ],
        "cautions": list(COVER_CAUTIONS),
    }


def _check(check: CoverCheck) -> dict[str, Any]:
    return {
        "what": check.what,
        "found": check.found,
        "asked": check.asked,
        "margin": rounded(check.margin, 3) if isfinite(check.margin) else None,
        "verdict": check.verdict,
        "text": check.sentence,
        "remedy": check.remedy,
        "source": check.source,
    }


def _ml(volume: float) -> float | None:
    return float(rounded(from_si(volume, "ml"), 4)) if isfinite(volume) else None


def _bar(pressure: float) -> float | None:
    return float(rounded(from_si(pressure, "bar"), 6)) if isfinite(pressure) else None

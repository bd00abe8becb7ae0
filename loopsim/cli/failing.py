"""`loopsim failures`: what every failure of a layout leads to."""

from collections.abc import Sequence
from typing import Annotated, Any

import typer
from rich.text import Text

from loopsim import build, studies
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, print_answer
from loopsim.cli.tables import console, fixed, new_table, numbers, read, say
from loopsim.studies import Alarms, FailureCase, FailureOutcome, FailureOutcomes
from loopsim.studies.sentence import marked, quantity
from loopsim.studies.words import flow_decimals
from loopsim.units import from_si

__all__ = ["failures"]


def failures(
    file: File,
    layout: LayoutName = None,
    case: CaseName = None,
    pairs: Annotated[bool, typer.Option("--pairs", help="also every two failures at once")] = False,
    timed: Annotated[
        bool,
        typer.Option("--timed/--untimed", help="follow the time to the first limit; untimed, bounds by hand alone"),
    ] = True,
    as_json_: AsJson = False,
) -> None:
    """Let everything fail in turn and say what is left, with alarm levels; all layouts if none is named."""
    loaded = build.load(file)
    names = [layout] if layout else [each.name for each in loaded.layouts if each.placed or len(loaded.layouts) == 1]
    solved = [studies.failure_outcomes(loaded, name, case, pairs=pairs, timed=timed) for name in names]
    print_answer([_as_json(each) for each in solved] if as_json_ else None, lambda: _as_text(solved))


def _as_json(found: FailureOutcomes) -> dict[str, Any]:
    point, warmest = found.base.point, found.base.warmest
    return {
        "layout": point.layout.name,
        "case": found.base.case.name,
        "flow_l_h": _flow(point.loop_flow),
        "loop_flow_at": point.loop_flow_at,
        "margin_k": rounded(warmest.margin, 4) if warmest else None,
        "worst": found.worst and found.worst.failure.title,
        "survives_any": found.survives_any,
        "alarms": _alarms(found.alarms),
        "cases": [_case(each, studies.reason(point, each)) for each in found.outcomes],
    }


def _case(outcome: FailureOutcome, reason: FailureCase | None) -> dict[str, Any]:
    warmest, between = outcome.warmest, outcome.time_between
    return {
        "title": outcome.failure.title,
        "fails": [{"what": event.what, "item": event.item} for event in outcome.failure.events],
        "flow_l_h": _flow(outcome.flow),
        "share": rounded(outcome.share, 6),
        "share_between": reason and reason.share_between and [rounded(each, 6) for each in reason.share_between],
        "block_flows_l_h": {block: _flow(flow) for block, flow in outcome.block_flows.items()},
        "back_flows_l_h": {part: _flow(flow) for part, flow in outcome.back_flows.items()},
        "warmest": warmest and warmest.name,
        "temperature_c": rounded(warmest.temperature, 3) if warmest else None,
        "margin_k": rounded(outcome.margin, 4),
        "verdict": outcome.verdict,
        "load_w": rounded(outcome.load, 3),
        "without_power": list(outcome.dark),
        "bearable_load_w": rounded(outcome.bearable_load, 3),
        "time_s": rounded(outcome.time, 3),
        "time_between_s": between and [rounded(each, 3) if each < float("inf") else None for each in between],
        "sentence": outcome.sentence,
        "flow_sentence": reason and reason.sentence,
    }


def _alarms(alarms: Alarms) -> dict[str, Any]:
    flows = {"flow_warn_l_h": alarms.flow_warn, "flow_cut_l_h": alarms.flow_cut}
    return {
        "at": alarms.place,
        **{key: None if flow is None else _flow(flow) for key, flow in flows.items()},
        "coolant_warn_c": rounded(alarms.coolant_warn, 3),
        "coolant_cut_c": rounded(alarms.coolant_cut, 3),
        "sentence": alarms.sentence,
    }


def _as_text(solved: Sequence[FailureOutcomes]) -> None:
    for found in solved:
        _print_layout(found)


def _print_layout(found: FailureOutcomes) -> None:
    out, base = console(), found.base
    flow = quantity(base.point.loop_flow, "l_h")
    say(out, f"{base.point.layout.name}, {base.case.name}: {flow} with everything in order")
    columns = numbers("flow {l_h}", "share %", "margin {k}")
    table = new_table("", ("failure", False), *columns, ("warmest", False), ("verdict", False))
    for each in found.outcomes:
        flow = fixed(each.flow, flow_decimals(each.flow), "l_h")
        row = (flow, fixed(each.share * 100, 0), fixed(each.margin, 1, "k"))
        table.add_row(
            Text(read(each.failure.title)), *row, Text(each.warmest.name if each.warmest else "-"), each.verdict
        )
    out.print(table)
    for each in found.outcomes:
        reason = studies.reason(base.point, each)
        say(out, f"  {marked(each.sentence)}{f' {marked(reason.sentence)}' if reason else ''}")
    say(out, f"Alarms, proposed. {marked(found.alarms.sentence)}")


def _flow(flow: float) -> float:
    return float(rounded(from_si(flow, "l_h"), 6))

"""Answers as JSON: SI becomes the unit that each key names, rounded well below any data's tolerance."""

from collections.abc import Iterable, Sequence
from typing import Any

from loopsim.cli import heat_json
from loopsim.cli.rounding import rounded
from loopsim.studies import (
    Budget,
    BudgetLine,
    Finding,
    GradeLine,
    GradePoint,
    HeatPoint,
    MeasuredFlow,
    OperatingPoint,
    PartFlow,
    PumpFlow,
    Stretch,
    Unsteady,
    budgets,
    grade_line,
    measured_against,
    news_of_heat,
)
from loopsim.studies.harm import by_harm
from loopsim.units import from_si

__all__ = ["findings", "solved"]


def solved(point: OperatingPoint, shown: HeatPoint, cases: Sequence[HeatPoint]) -> dict[str, Any]:
    """One solved layout: its flow at the stated coolant temperature, its heat at a load case, all cases in a row each.

    Flows count positive from a part's first port to its second; `dp_kpa` is the pressure lost from the first to the
    second, for a pump the pressure gained. Under `heat`, flows are those at the temperatures found.
    """
    return {
        "build": point.build.name,
        "layout": point.layout.name,
        "solved": True,
        "stopped": sorted(shown.coupled.thermal.air.stopped),
        "iterations": point.iterations,
        "mass_imbalance_kg_s": point.mass_imbalance,
        "pressure_imbalance_pa": point.pressure_imbalance,
        "flow_l_h": _flow(point.loop_flow),
        "loop_flow_at": point.loop_flow_at,
        "measured": _measured(measured_against(point)),
        "pumps": [_pump(pump) for pump in point.pumps],
        "parts": [_part(part) for part in point.parts],
        "budget": [_budget(budget, line) for budget in budgets(point) for line in budget.lines],
        "grade_line": [_grade_line(line) for line in grade_line(point)],
        "pressures_kpa": {port: rounded(from_si(each, "kpa"), 6) for port, each in point.pressures.items()},
        "datum": list(point.datum),
        "worst_provenance": point.worst_provenance,
        "heat": heat_json.heat_point(shown),
        "load_cases": [heat_json.load_case(each) for each in cases],
        "warnings": findings((*news_of_heat(shown, cases, point), *point.findings)),
    }


def findings(found: Iterable[Finding]) -> list[dict[str, Any]]:
    """Warnings, and the quiet marks of a drawing in progress."""
    return [_finding(each) for each in by_harm(found)]


def _finding(found: Finding) -> dict[str, Any]:
    told: dict[str, Any] = {"code": found.code, "part": found.part, "text": found.text, "quiet": found.quiet}
    if found.remedy:
        told |= {"remedy": found.remedy, "fix": found.fix}
    if found.at is not None:
        told["at_mm"] = [rounded(value, 6) for value in found.at]
    if found.others:
        told["others"] = list(found.others)
    return told


def _measured(found: MeasuredFlow | None) -> dict[str, Any] | None:
    """The flow read on the finished machine, where there is one."""
    if found is None:
        return None
    return {
        "flow_l_h": _flow(found.measured),
        "predicted_flow_l_h": _flow(found.predicted),
        "deviation": rounded(found.deviation, 6),
        "at": found.at,
        "note": found.note,
        "sentence": found.sentence,
    }


def _pump(pump: PumpFlow) -> dict[str, Any]:
    return {
        "id": pump.id,
        "name": pump.name,
        "kind": pump.kind,
        "flow_l_h": _flow(pump.flow),
        "dp_kpa": rounded(from_si(pump.dp, "kpa"), 6),
        "head_m": rounded(pump.head, 6),
        "state": pump.state,
        "speed": pump.speed,
        "provenance": pump.provenance,
        "beyond_data": pump.beyond_data,
        "power_w": rounded(pump.power, 6),
        "power_provenance": pump.power_provenance,
        "efficiency": rounded(pump.efficiency, 6),
        "heat_to_coolant_w": rounded(pump.heat_to_coolant, 6),
        "heat_to_air_w": rounded(pump.heat_to_air, 6),
        "unsteady": _unsteady(pump.unsteady),
    }


def _unsteady(swing: Unsteady | None) -> dict[str, Any] | None:
    if swing is None:
        return None
    share = None if swing.share is None else [rounded(each, 6) for each in swing.share]
    return {"flow_l_h": [_flow(each) for each in swing.flow], "share": share}


def _part(part: PartFlow) -> dict[str, Any]:
    tube = {"velocity_m_s": part.velocity, "reynolds": part.reynolds, "regime": part.regime}
    return {
        "id": part.id,
        "name": part.name,
        "kind": part.kind,
        "flow_l_h": _flow(part.flow),
        "dp_kpa": rounded(from_si(part.dp, "kpa"), 6),
        "share": rounded(part.share, 6),
        "provenance": part.provenance,
        "beyond_data": part.beyond_data,
        **({key: rounded(value, 6) for key, value in tube.items()} if part.regime else {}),
    }


def _budget(budget: Budget, line: BudgetLine) -> dict[str, Any]:
    return {
        "circuit": budget.circuit,
        "id": line.part.id,
        "name": line.part.name,
        "dp_kpa": rounded(from_si(abs(line.part.dp), "kpa"), 6),
        "share": rounded(line.part.share, 6),
        "running_share": rounded(line.running, 6),
    }


def _grade_line(line: GradeLine) -> dict[str, Any]:
    """One circuit's line, port by port; `absolute_kpa` is null where no vessel gives the pressure a meaning."""
    return {
        "held_by": line.held_by,
        "length_m": rounded(line.length, 6),
        "density_kg_m3": rounded(line.density, 3),
        "items": [step.id for step in line.steps],
        "points": [_grade_point(point) for point in line.points],
        "suction": _stretch(line.suction) if line.suction else None,
        "below_atmosphere": [_stretch(stretch) for stretch in line.below_atmosphere],
        "sentence": line.sentence,
    }


def _grade_point(point: GradePoint) -> dict[str, Any]:
    absolute = None if point.absolute is None else from_si(point.absolute, "kpa")
    return {
        "port": point.port,
        "name": point.name,
        "distance_m": rounded(point.distance, 6),
        "elevation_mm": rounded(from_si(point.elevation, "mm"), 6),
        "piezometric_head_m": rounded(point.piezometric_head, 6),
        "total_head_m": rounded(point.total_head, 6),
        "gauge_kpa": rounded(from_si(point.pressure, "kpa"), 6),
        "absolute_kpa": rounded(absolute, 6),
    }


def _stretch(stretch: Stretch) -> dict[str, Any]:
    start, end = rounded(stretch.start, 6), rounded(stretch.end, 6)
    return {"from_m": start, "to_m": end, "items": list(stretch.steps)}


def _flow(flow: float) -> float:
    return float(rounded(from_si(flow, "l_h"), 6))

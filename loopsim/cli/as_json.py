"""Answers as JSON: SI becomes the unit that each key names, rounded well below any data's tolerance."""

from collections.abc import Iterable
from typing import Any

from loopsim.studies import (
    FailureCase,
    Failures,
    Finding,
    MeasuredFlow,
    OperatingPoint,
    PartFlow,
    PumpFlow,
    measured_against,
)
from loopsim.units import from_si

__all__ = ["failures", "findings", "operating_point"]


def operating_point(point: OperatingPoint) -> dict[str, Any]:
    """One solved layout.

    Flows count positive from a part's first port to its second; `dp_kpa` is the pressure lost from the first to the
    second, for a pump the pressure gained.
    """
    return {
        "build": point.build.name,
        "layout": point.layout.name,
        "solved": True,
        "stopped": sorted(point.stopped),
        "iterations": point.iterations,
        "mass_imbalance_kg_s": point.mass_imbalance,
        "pressure_imbalance_pa": point.pressure_imbalance,
        "flow_l_h": _flow(point.loop_flow),
        "loop_flow_at": point.loop_flow_at,
        "measured": _measured(measured_against(point)),
        "pumps": [_pump(pump) for pump in point.pumps],
        "parts": [_part(part) for part in point.parts],
        "pressures_kpa": {port: _rounded(from_si(each, "kpa"), 6) for port, each in point.pressures.items()},
        "datum": list(point.datum),
        "worst_provenance": point.worst_provenance,
        "warnings": findings(point.findings),
    }


def failures(found: Failures) -> dict[str, Any]:
    """One layout with every pump stopped in turn."""
    return {
        "layout": found.base.layout.name,
        "flow_l_h": _flow(found.base.loop_flow),
        "loop_flow_at": found.base.loop_flow_at,
        "cases": [_case(case, found.base.loop_flow_at) for case in found.cases],
    }


def findings(found: Iterable[Finding]) -> list[dict[str, Any]]:
    """Warnings, and the quiet marks of a drawing in progress."""
    return [{"code": each.code, "part": each.part, "text": each.text, "quiet": each.quiet} for each in found]


def _measured(found: MeasuredFlow | None) -> dict[str, Any] | None:
    """The flow read on the finished machine, where there is one."""
    if found is None:
        return None
    return {
        "flow_l_h": _flow(found.measured),
        "predicted_flow_l_h": _flow(found.predicted),
        "deviation": _rounded(found.deviation, 6),
        "at": found.at,
        "note": found.note,
        "sentence": found.sentence,
    }


def _case(case: FailureCase, place: str | None) -> dict[str, Any]:
    return {
        "stopped": case.stopped,
        "title": case.title,
        "flow_l_h": _flow(abs(case.point.of(place).flow) if place else 0.0),
        "share": _rounded(case.share, 6),
        "back_flow_l_h": _flow(case.back_flow),
        "sentence": case.sentence,
        "pumps": [_pump(pump) for pump in case.point.pumps],
    }


def _pump(pump: PumpFlow) -> dict[str, Any]:
    return {
        "id": pump.id,
        "name": pump.name,
        "kind": pump.kind,
        "flow_l_h": _flow(pump.flow),
        "dp_kpa": _rounded(from_si(pump.dp, "kpa"), 6),
        "head_m": _rounded(pump.head, 6),
        "state": pump.state,
        "speed": pump.speed,
        "provenance": pump.provenance,
        "beyond_data": pump.beyond_data,
    }


def _part(part: PartFlow) -> dict[str, Any]:
    tube = {"velocity_m_s": part.velocity, "reynolds": part.reynolds, "regime": part.regime}
    return {
        "id": part.id,
        "name": part.name,
        "kind": part.kind,
        "flow_l_h": _flow(part.flow),
        "dp_kpa": _rounded(from_si(part.dp, "kpa"), 6),
        "share": _rounded(part.share, 6),
        "provenance": part.provenance,
        "beyond_data": part.beyond_data,
        **({key: _rounded(value, 6) for key, value in tube.items()} if part.regime else {}),
    }


def _flow(flow: float) -> float:
    return float(_rounded(from_si(flow, "l_h"), 6))


def _rounded(value: Any, digits: int) -> Any:
    """Without the noise of the last digits, and without a minus before zero."""
    return round(value, digits) + 0.0 if isinstance(value, float) else value

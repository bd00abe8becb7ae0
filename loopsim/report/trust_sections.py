"""Sections on how far the report may be trusted: findings, cautions, data, what is left out."""

from collections.abc import Iterable
from typing import Any

from loopsim.build import Build, Layout
from loopsim.curves import (
    PROVENANCE_KINDS,
    AirDropCurve,
    DataCurve,
    DropCurve,
    ExchangerCurve,
    FanCurve,
    HeadCurve,
    Origin,
    PowerCurve,
    ProvenanceKind,
    RadiatorCurve,
    ResistanceCurve,
)
from loopsim.parts import Tube
from loopsim.report.cautions import CAUTIONS, LEFT_OUT
from loopsim.report.content import Column, Listing, Paragraph, Section, Table
from loopsim.report.inventory import CurveUse, PartClass, curve_uses, part_classes, stocks
from loopsim.report.text import significant
from loopsim.report.words import Namer, data_words, medium_words
from loopsim.studies import Failures, Finding, OperatingPoint
from loopsim.studies.harm import by_harm
from loopsim.studies.rounding import with_band

__all__ = ["cautions", "data", "finding_list", "left_out"]


def finding_list(findings: Iterable[Finding]) -> Section:
    """What the builder should look at; marks of a drawing in progress last."""
    found = sorted(by_harm(findings), key=lambda finding: finding.quiet)
    if not found:
        return Section("Findings", (Paragraph("Nothing was found to look at."),))
    return Section("Findings", (Listing(tuple(_with_remedy(finding) for finding in found)),))


def _with_remedy(finding: Finding) -> str:
    remedy = finding.remedy[:1].upper() + finding.remedy[1:]
    return f"{_sentence(finding.text)} {_sentence(remedy)}" if remedy else _sentence(finding.text)


def _sentence(text: str) -> str:
    """With a full stop; a first word that is a name keeps its small letter."""
    return text if text.endswith((".", "!", "?")) else f"{text}."


def cautions() -> Section:
    """What can hurt someone."""
    return Section("Cautions", (Listing(CAUTIONS),))


def left_out() -> Section:
    """What the model leaves out."""
    return Section("What the model leaves out", (Listing(LEFT_OUT),))


def data(build: Build, layout: Layout, failures: Failures, name: Namer) -> Section:
    """Every curve with its origin, and the worst kind of data behind each headline."""
    return Section("Where the data come from", (_headlines(failures, name), _curves(build, layout)))


def _headlines(failures: Failures, name: Namer) -> Table:
    base = failures.base
    where = f" at {name.item(base.loop_flow_at)}" if base.loop_flow_at else ""
    rows = [(f"flow{where}", data_words(_worst(base)))]
    rows += [(f"head of {pump.name}", data_words(pump.provenance, pump.beyond_data)) for pump in base.pumps]
    rows += [(f"flow with {case.title}", data_words(_worst(case.point))) for case in failures.cases]
    return Table((Column("result"), Column("least certain data behind it")), tuple(rows), "Headline results")


def _worst(point: OperatingPoint) -> ProvenanceKind | None:
    """Worst kind behind a point, the resistance of a standing impeller included."""
    kinds = [point.worst_provenance, *(pump.provenance for pump in point.pumps)]
    return max((kind for kind in kinds if kind), key=PROVENANCE_KINDS.index, default=None)


def _curves(build: Build, layout: Layout) -> Table:
    columns = (
        Column("part", weight=3.0),
        Column("curve", weight=2.5),
        Column("kind", weight=2.2),
        Column("source", weight=5.0),
        Column("date", weight=2.1),
        Column("medium", weight=2.6),
        Column("tolerance", "%", number=True, weight=2.1),
        Column("in numbers", weight=2.8),
    )
    rows = [_curve_row(use) for use in curve_uses(build, layout)]
    rows += [_single_row(alike) for alike in part_classes(build, layout) if hasattr(alike.parts[0], "provenance")]
    rows += [_tube_row(stock.tube) for stock in stocks(build, layout)]
    return Table(columns, tuple(rows), "Curves, single numbers and tubes")


def _curve_row(use: CurveUse) -> tuple[str, ...]:
    names, label = ", ".join(use.names), use.field.label
    if use.curve is None:
        return names, label, "a guess", "no data given: estimated", "–", "–", "–", "–"
    origin, curve = use.curve.provenance, use.curve
    return names, label, *_origin(origin), medium_words(origin), _band(curve.relative_tolerance), _in_numbers(curve)


def _single_row(alike: PartClass) -> tuple[str, ...]:
    """Parts that are known by single numbers, their provenance and band standing for all of them."""
    part: Any = alike.parts[0]
    origin, band = part.provenance, _band(part.relative_tolerance)
    return alike.names, "single numbers", *_origin(origin), medium_words(origin), band, "–"


def _tube_row(tube: Tube) -> tuple[str, ...]:
    band, bore = _band(tube.relative_tolerance), f"bore {tube.bore_mm:g} mm"
    return tube.name, "tube", *_origin(tube.provenance), "–", band, bore


def _band(share: float) -> str:
    """Half width of a band in per cent."""
    return f"±{100 * share:g}"


def _origin(provenance: Origin) -> tuple[str, str, str]:
    dated = provenance.dated.isoformat() if provenance.dated else "–"
    return data_words(provenance.kind), provenance.source or "–", dated


def _in_numbers(curve: DataCurve) -> str:
    """The telling point of a curve with its band: of a pump or fan the first, of others the last."""
    match curve:
        case HeadCurve(points=(first, *_)):
            value, unit, flow = first.head_m, "m", f"{first.flow_l_h:g} L/h"
        case FanCurve(points=(start, *_)):
            value, unit, flow = start.pressure_pa, "Pa", f"{start.air_m3_h:g} m³/h"
        case PowerCurve(points=(idle, *_)):
            value, unit, flow = idle.power_w, "W", f"{idle.flow_l_h:g} L/h"
        case DropCurve(points=(*_, last)):
            value, unit, flow = last.dp_kpa, "kPa", f"{last.flow_l_h:g} L/h"
        case AirDropCurve(points=(*_, end)):
            value, unit, flow = end.dp_pa, "Pa", f"{end.air_m3_h:g} m³/h"
        case ResistanceCurve(points=(*_, block)):
            value, unit, flow = block.resistance_k_w, "K/W", f"{block.flow_l_h:g} L/h"
        case RadiatorCurve(points=(*_, shed)):
            value, unit = shed.heat_w / shed.difference_k, "W/K"
            flow = f"{shed.flow_l_h:g} L/h and {shed.air_m3_h:.3g} m³/h of air"
        case ExchangerCurve(points=(*_, passed)):
            value, unit = passed.heat_w / passed.difference_k, "W/K"
            flow = f"{passed.primary_l_h:g} and {passed.secondary_l_h:g} L/h"
        case _:
            return "–"
    half = abs(value) * (curve.relative_tolerance or 0.0)
    return f"{with_band(value, half) if half else significant(value)} {unit} at {flow}"

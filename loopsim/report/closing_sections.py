"""Sections on what a closed loop must bear: swell of the coolant, and covers of clear plastic."""

from collections.abc import Sequence
from math import isfinite

from loopsim.report.content import Block, Column, Listing, Paragraph, Section, Table
from loopsim.studies import OperatingPoint
from loopsim.studies.fill import (
    COVER_CAUTIONS,
    SWELL_CAUTIONS,
    CircuitSwell,
    CoverAdvice,
    covers,
    standing_pressure,
)
from loopsim.units import from_si

__all__ = ["clear_plastic", "swelling"]


def swelling(circuits: Sequence[CircuitSwell]) -> Section:
    """How far each circuit swells, and what it would bear sealed."""
    blocks: list[Block] = [Listing(SWELL_CAUTIONS)]
    for circuit in circuits:
        blocks += [Paragraph(f"{circuit.name}: {circuit.verdict}.", "answer"), *_sentences(circuit)]
    return Section("Swell of the coolant", tuple(blocks))


def _sentences(circuit: CircuitSwell) -> list[Paragraph]:
    return [Paragraph(f"{each[:1].upper()}{each[1:]}.") for each in circuit.sentences]


def clear_plastic(point: OperatingPoint, circuits: Sequence[CircuitSwell]) -> tuple[Section, ...]:
    """Advice on home-made vessels and plates; no section where there are none."""
    found = covers(point.build, point.layout.name, standing=standing_pressure(circuits))
    judged = [each for each in found if each.checks]
    if not judged:
        return ()
    blocks: list[Block] = [Listing(COVER_CAUTIONS)]
    for advice in judged:
        blocks += [_table(advice), *_remedies(advice)]
    sources = dict.fromkeys(check.source for advice in judged for check in advice.checks)
    blocks += [Paragraph(f"Source: {each}.", "remark") for each in sources]
    return (Section("Clear plastic under pressure", tuple(blocks)),)


def _table(advice: CoverAdvice) -> Table:
    columns = (
        Column("what"),
        Column("found", number=True),
        Column("asked for"),
        Column("margin", number=True),
        Column("verdict"),
    )
    rows = tuple(
        (each.what, each.found, each.asked, f"{each.margin:.1f}" if isfinite(each.margin) else "–", each.verdict)
        for each in advice.checks
    )
    guess = ", sizes of its cover a guess" if advice.is_guess else ""
    at = f"{from_si(advice.pressure, 'bar'):.2f} bar"
    return Table(columns, rows, f"{advice.name}, {advice.material}, tested at {at}{guess}")


def _remedies(advice: CoverAdvice) -> list[Paragraph]:
    """What is not fine, in words, with what to do."""
    return [
        Paragraph(f"{each.sentence[:1].upper()}{each.sentence[1:]}. Remedy: {each.remedy}.")
        for each in advice.checks
        if each.remedy
    ]

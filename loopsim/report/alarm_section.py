"""Section on the alarm levels that the builder has settled on."""

from loopsim.build import AlarmLevels, Layout
from loopsim.report.content import Block, Column, Paragraph, Section, Table

__all__ = ["alarm_levels"]

_DELAY = "Bubbles pass a flow sensor too: let a flow alarm wait some seconds. Try every level on the finished machine."


def alarm_levels(layout: Layout) -> tuple[Section, ...]:
    """When to warn and when to cut; no section where nothing is settled."""
    settled = layout.alarms
    if settled is None:
        return ()
    blocks: tuple[Block, ...] = (_table(settled), *(_remark(each) for each in (settled.note, _DELAY) if each))
    return (Section("Alarm levels", blocks),)


def _table(settled: AlarmLevels) -> Table:
    where = f"Read at {settled.read_at}" if settled.read_at else "Alarm levels"
    columns = (Column("what"), Column("warn", number=True), Column("cut the load", number=True))
    rows = (
        ("flow", _level("below", settled.flow_warn_l_h, "L/h"), _level("below", settled.flow_cut_l_h, "L/h")),
        ("coolant", _level("above", settled.coolant_warn_c, "°C"), _level("above", settled.coolant_cut_c, "°C")),
    )
    return Table(columns, rows, where)


def _level(side: str, level: float | None, unit: str) -> str:
    return "–" if level is None else f"{side} {level:.4g} {unit}"


def _remark(text: str) -> Paragraph:
    return Paragraph(text, "remark")

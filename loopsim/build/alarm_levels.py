"""Alarm levels that a builder has settled on for a layout."""

from pydantic import model_validator

from loopsim.fields import Record, number, text

__all__ = ["AlarmLevels"]


class AlarmLevels(Record):
    """When the machine warns, and when it cuts the load's power; kept for whoever wires and services it."""

    read_at: str = text("read at", "where flow and coolant temperature are read", "")
    flow_warn_l_h: float | None = number("warn below", "flow; empty: none", None, above=0.0)
    flow_cut_l_h: float | None = number("cut below", "flow; empty: none", None, above=0.0)
    coolant_warn_c: float | None = number("warn above", "coolant; empty: none", None, least=-20.0, most=150.0)
    coolant_cut_c: float | None = number("cut above", "coolant; empty: none", None, least=-20.0, most=150.0)
    note: str = text("note", "from what they follow, and when they were tried on the machine", "")

    @model_validator(mode="after")
    def _warns_before_it_cuts(self) -> "AlarmLevels":
        flow, coolant = (self.flow_cut_l_h, self.flow_warn_l_h), (self.coolant_warn_c, self.coolant_cut_c)
        for what, unit, (low, high) in (("flow", "L/h", flow), ("coolant", "°C", coolant)):
            if low is not None and high is not None and low > high:
                cut, warn = (low, high) if what == "flow" else (high, low)
                raise ValueError(f"{what}: the warning comes before the cut, got {warn:g} and {cut:g} {unit}")
        return self

"""The figures by which machines are judged, each with its unit and which way is better."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from loopsim.studies.heat.results import HeatPoint
from loopsim.units import UNITS, unit_of

__all__ = ["FIGURES", "Better", "Figure", "figures_of"]

Better = Literal["more", "less", ""]


@dataclass(frozen=True, slots=True)
class Figure:
    """One number read from a solved machine.

    Attributes
    ----------
    key : str
        Ends in the unit in which front ends show it: ``"flow_l_h"``.
    label : str
    better : str
        ``"more"``, ``"less"``, or empty.
    read : callable
        ``read(heat) -> float or None``: the value in SI; None where there is none.
    """

    key: str
    label: str
    better: Better
    read: Callable[[HeatPoint], float | None]

    @property
    def unit(self) -> str:
        """An ending from `loopsim.units.UNITS`, empty for a number without one."""
        return unit_of(self.key) or ""

    @property
    def heading(self) -> str:
        """Label and unit: ``"flow, L/h"``."""
        return f"{self.label}, {UNITS[self.unit].label}" if self.unit else self.label


def _highest_pressure(heat: HeatPoint) -> float | None:
    return max(heat.point.pressures.values(), default=None)


def _suction(heat: HeatPoint) -> float | None:
    return min((each.pressure for each in heat.point.suctions), default=None)


def _margin(heat: HeatPoint) -> float | None:
    return None if heat.warmest is None else heat.warmest.margin


def _pump_power(heat: HeatPoint) -> float:
    return sum(pump.power for pump in heat.point.pumps)


FIGURES: tuple[Figure, ...] = (
    Figure("flow_l_h", "flow", "more", lambda heat: heat.point.loop_flow),
    Figure("margin_k", "margin of the warmest", "more", _margin),
    Figure("coolant_rise_k", "coolant above the room", "less", lambda heat: heat.coolant_rise),
    Figure("highest_pressure_kpa", "highest pressure", "less", _highest_pressure),
    Figure("suction_kpa", "lowest at a pump's inlet, absolute", "more", _suction),
    Figure("sound_dba", "sound at 1 m", "less", lambda heat: heat.sound),
    Figure("pump_power_w", "power of the pumps", "less", _pump_power),
    Figure("mains_w", "power from the mains", "less", lambda heat: heat.budget.electrical),
)


def figures_of(heat: HeatPoint) -> dict[str, float | None]:
    """Every figure of a solved machine by its key, and each component's temperature, all SI or degrees Celsius."""
    components = {f"{each.name}, temperature_c": each.temperature for each in heat.components}
    return {**{figure.key: figure.read(heat) for figure in FIGURES}, **components}

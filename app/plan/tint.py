"""What the plan's tubes and parts are coloured by, on a map whose steps look alike to every eye."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import pyqtgraph as pg
from PySide6.QtGui import QColor

from app import figures
from app.answer import Answer
from app.theme import LIGHT
from loopsim.parts import Pump, part_of
from loopsim.studies import HeatPoint, OperatingPoint, settled

__all__ = ["Quantity", "Tint", "arrow_colour", "colour_at", "tint_of"]

_MAP = "cividis"  # perceptually uniform, and the same to most colour-blind eyes (Nunez, Anderton, Renslow 2018)
_LEAST_SPAN = {"c": 0.5, "kpa": 100.0, "m_s": 0.05, "percent": 0.01}  # values nearer than this share nearly one colour
_BRIGHT = 0.22  # luminance from which arrows are dark: there dark and light stand out alike


class Quantity(StrEnum):
    """By what the plan is coloured."""

    PLAIN = "plain"
    TEMPERATURE = "temperature"
    PRESSURE = "pressure"
    VELOCITY = "velocity"
    FLOW_KEPT = "flow left"


@dataclass(frozen=True)
class Tint:
    """Values of tubes and parts, and what they are shown as.

    Attributes
    ----------
    values : mapping of str to float
        By id of the part or tube run, in SI, temperatures in degrees Celsius.
    unit : str
        In which SI shows them: an ending from `loopsim.units.UNITS`.
    words : mapping of str to str
        Further words beside a part: the temperature of what sits on a block.
    is_old : bool
        True while the values belong to an earlier sketch.
    caption : str
        What the values are, where their unit alone does not say it.
    span : tuple of float
        Values that are always on the map; empty if only those shown need be.
    """

    values: Mapping[str, float]
    unit: str
    words: Mapping[str, str]
    is_old: bool = False
    caption: str = ""
    span: tuple[float, ...] = ()

    @property
    def ends(self) -> tuple[float, float]:
        """Lowest and highest value on the map."""
        values = [*self.values.values(), *self.span]
        low, high = min(values), max(values)
        spare = max(0.0, _LEAST_SPAN[self.unit] - (high - low)) / 2
        return low - spare, high + spare

    def colour(self, item: str) -> QColor | None:
        """Colour of a part or tube run; None where it has no value."""
        if item not in self.values:
            return None
        low, high = self.ends
        return colour_at((self.values[item] - low) / (high - low))

    def text(self, item: str) -> str:
        """The value in words; empty where there is none."""
        return figures.amount(self.values[item], self.unit) if item in self.values else ""

    def figure(self, value: float) -> str:
        """A value without its unit."""
        return figures.number(value, self.unit)


@lru_cache(maxsize=256)
def _mapped(step: int) -> QColor:
    return QColor(*(int(each) for each in pg.colormap.get(_MAP).map([step / 255.0], mode="byte")[0]))


def colour_at(share: float) -> QColor:
    """Colour of the map at a share of its length, 0 to 1."""
    return QColor(_mapped(round(255 * min(max(share, 0.0), 1.0))))


def arrow_colour(ground: QColor) -> QColor:
    """A colour that stands out on a colour of the map."""
    return LIGHT.ink if _luminance(ground) > _BRIGHT else LIGHT.paper


def _luminance(colour: QColor) -> float:
    """Relative luminance, 0 to 1 (IEC 61966-2-1, with its curve taken as a power of 2.2)."""
    red, green, blue = (channel**2.2 for channel in colour.getRgbF()[:3])
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def tint_of(answer: Answer | None, quantity: Quantity) -> Tint | None:
    """What the plan shows of an answer; None where it is plain, or nothing is known."""
    if answer is None or answer.point is None or quantity in (Quantity.PLAIN, Quantity.FLOW_KEPT):
        return None
    if quantity is Quantity.TEMPERATURE:
        found = answer.in_view
        made = None if found is None else _temperatures(answer.point, found.point, answer.heat_is_old)
    elif quantity is Quantity.PRESSURE:
        made = _pressures(answer.point)
    else:
        made = _velocities(answer.point)
    return made if made is not None and made.values else None


def _temperatures(now: OperatingPoint, heat: HeatPoint, is_old: bool) -> Tint:
    """Mean temperature in tubes; in parts, that of the coolant where it leaves."""
    runs, placements = now.layout.runs_by_id, now.layout.placements
    streams = heat.streams.items()
    values = {item: (enters + leaves) / 2 if item in runs else leaves for item, (enters, leaves) in streams}
    values.update((place, at) for place, at in heat.ports.items() if place in placements)
    kept = {item: at for item, at in values.items() if settled(at) is not None and (item in runs or item in placements)}
    warm: dict[str, str] = {}
    for each in heat.components:  # the least margin comes first
        if each.temperature is not None and each.part in placements:
            warm.setdefault(each.part, figures.amount(each.temperature, "c"))
    return Tint(kept, "c", warm, is_old)


def _pressures(point: OperatingPoint) -> Tint:
    """Gauge pressure, the mean of both ends of a tube and of a part's ports."""
    at = point.pressures
    values = {run.id: (at[run.start] + at[run.end]) / 2 for run in point.layout.runs}
    ports: dict[str, list[float]] = {}
    for port, pressure in at.items():
        ports.setdefault(part_of(port), []).append(pressure)
    for part, pressures in ports.items():
        if not isinstance(point.build.part(part), Pump):  # between suction and delivery nothing is said by a mean
            values[part] = sum(pressures) / len(pressures)
    return Tint(values, "kpa", {})


def _velocities(point: OperatingPoint) -> Tint:
    """Mean velocity in tubes."""
    return Tint({part.id: abs(part.velocity) for part in point.parts if part.velocity is not None}, "m_s", {})

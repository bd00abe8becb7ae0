"""Where heat comes from and where it goes, line by line: both sides of one balance."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loopsim.studies.heat.results import HeatPoint

__all__ = ["HeatBalance", "HeatLine", "heat_balance"]

_NOTHING = 1e-6  # [W]


@dataclass(frozen=True, slots=True)
class HeatLine:
    """One line of the balance.

    Attributes
    ----------
    item : str or None
        Id of the part that gives or takes it; None where it is no single part.
    name : str
    heat : float
        Above 0 [W].
    """

    item: str | None
    name: str
    heat: float


@dataclass(frozen=True)
class HeatBalance:
    """Heat in and heat out, largest first on each side, all [W].

    Attributes
    ----------
    into : tuple of HeatLine
        What parts draw, what supplies lose, and what warm air gives to the coolant where a radiator works backwards.
    out : tuple of HeatLine
        By each radiator, with the air of the enclosure past the radiators' own share, and outside of it.
    """

    into: tuple[HeatLine, ...]
    out: tuple[HeatLine, ...]

    @property
    def total(self) -> float:
        """All that comes in [W]."""
        return sum(line.heat for line in self.into)

    @property
    def left(self) -> float:
        """What has no way out, and warms the machine [W]; 0 within rounding where the layout is steady."""
        return self.total - sum(line.heat for line in self.out)


def heat_balance(heat: HeatPoint) -> HeatBalance:
    """The heat budget of a layout at one load case, as two sides that add up to the same.

    Parameters
    ----------
    heat : HeatPoint
    """
    return HeatBalance(_largest_first(_into(heat)), _largest_first(_out(heat)))


def _into(heat: HeatPoint) -> Iterator[HeatLine]:
    for component in heat.components:
        yield HeatLine(component.part, component.name, component.heat)
    for pump in heat.point.pumps:
        yield HeatLine(pump.id, pump.name, pump.power)
    for fan in heat.fans:
        yield HeatLine(fan.id, fan.name, fan.power)
    for supply in heat.supplies:
        yield HeatLine(supply.id, f"{supply.name} loss", supply.loss)
    for each in heat.exchangers:
        if each.is_air_cooled:
            yield HeatLine(each.part, f"{each.name}, from warmer air", -each.heat)


def _out(heat: HeatPoint) -> Iterator[HeatLine]:
    for each in heat.exchangers:
        if each.is_air_cooled:
            yield HeatLine(each.part, each.name, each.heat)
    yield HeatLine(None, "enclosure air", heat.budget.into_air if _air_moves(heat) else 0.0)
    yield HeatLine(None, "outside", heat.budget.outside)


def _air_moves(heat: HeatPoint) -> bool:
    return all(space.temperature is not None for space in heat.spaces)


def _largest_first(lines: Iterable[HeatLine]) -> tuple[HeatLine, ...]:
    return tuple(sorted((line for line in lines if line.heat > _NOTHING), key=lambda line: -line.heat))

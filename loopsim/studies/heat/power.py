"""Electrical power: what each part draws, what hangs on which supply, and what the supplies lose."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from loopsim.build import Build, Layout
from loopsim.parts import Supply

__all__ = ["SupplyLoad", "supply_loads"]


@dataclass(frozen=True, slots=True)
class SupplyLoad:
    """What one supply gives and loses.

    Attributes
    ----------
    id, name : str
    load : float
        Power that it gives [W].
    rating : float
        [W]
    loss : float
        Heat of its own [W].
    stands : str
        ``"inside"`` or ``"outside"``.
    """

    id: str
    name: str
    load: float
    rating: float
    loss: float
    stands: str

    @property
    def drawn(self) -> float:
        """Power that it takes from the mains [W]."""
        return self.load + self.loss

    @property
    def is_overloaded(self) -> bool:
        """True if it gives more than it is rated for."""
        return self.load > self.rating


def supply_loads(build: Build, layout: Layout, drawn: Mapping[str, float]) -> tuple[SupplyLoad, ...]:
    """The supplies of a layout; several that feed one part share its load alike.

    Parameters
    ----------
    build : Build
    layout : Layout
    drawn : mapping of str to float
        Electrical power of each part by id [W].
    """
    supplies = [part for part_id in layout.placements if isinstance(part := build.part(part_id), Supply)]
    feeders: dict[str, int] = {}
    for supply in supplies:
        for fed in supply.feeds:
            feeders[fed.part] = feeders.get(fed.part, 0) + 1
    return tuple(_load(supply, lambda part: drawn.get(part, 0.0) / feeders[part]) for supply in supplies)


def _load(supply: Supply, share_of: Callable[[str], float]) -> SupplyLoad:
    load = sum(share_of(fed.part) for fed in supply.feeds)
    return SupplyLoad(supply.id, supply.name, load, supply.rating_w, supply.loss_w(load), supply.stands)

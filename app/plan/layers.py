"""Layers of the plan: what of it belongs together, to be dimmed while something else is drawn."""

from typing import Literal

from loopsim.parts import Part, Supply

__all__ = ["DIMMED", "LAYERS", "Layer", "layer_of"]

Layer = Literal["liquid", "air", "power", "notes"]
LAYERS: tuple[Layer, ...] = ("liquid", "air", "power", "notes")
DIMMED = 0.25  # opacity of a dimmed layer


def layer_of(part: Part) -> Layer:
    """Where a part belongs: what has ports to the liquid, supplies to power, all that is left to the air."""
    if part.ports:
        return "liquid"
    return "power" if isinstance(part, Supply) else "air"

"""Bleed port."""

from typing import ClassVar, Literal

from loopsim.fields import number
from loopsim.parts.fitting import CappedTee

__all__ = ["BleedPort"]


class BleedPort(CappedTee):
    """A capped tee through which trapped air is let out."""

    title: ClassVar = "bleed port"
    symbol: ClassVar = "bleed_port"
    help: ClassVar = (
        "A tee in the line with a small cap or screw on top, to let air out; place it at a high point. Opened below "
        "ambient pressure it draws air in instead. Its loss is that of a tee run straight through, a guess; it hardly "
        "matters."
    )

    kind: Literal["bleed_port"] = "bleed_port"
    height_mm: float = number("height", "of the outline", 28.0, above=0.0)
    opening_height_mm: float = number(
        "opening height", "of the opening under the cap, above the underside", 24.0, least=0.0
    )

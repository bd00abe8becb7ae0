"""Where the pointer is."""

from typing import NamedTuple

from PySide6.QtCore import QPointF

from app.plan.coordinates import snapped, to_mm

__all__ = ["Pointer"]


class Pointer(NamedTuple):
    """Where the pointer is, and the keys that go with it."""

    point: QPointF  # of the scene
    pixel: QPointF  # of the view
    is_free: bool = False  # Alt
    is_adding: bool = False  # Shift

    @property
    def mm(self) -> tuple[float, float]:
        """The place in the plan."""
        return to_mm(self.point)

    @property
    def on_grid(self) -> tuple[float, float]:
        """The nearest place on the grid; with Alt, to a tenth of a millimetre."""
        x, y = self.mm
        return snapped(x, self.is_free), snapped(y, self.is_free)

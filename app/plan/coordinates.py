"""From the plan's millimetres to the scene and back: x to the right, y away from the front edge, which is up."""

from PySide6.QtCore import QPointF

__all__ = ["GRID_MM", "HANDLE_PX", "snapped", "to_mm", "to_scene"]

GRID_MM = 5.0
HANDLE_PX = 24.0  # from a part's edge to the handle that turns it
_FINEST_MM = 0.1  # what is placed freely is still written with one decimal


def to_scene(x_mm: float, y_mm: float) -> QPointF:
    """A point of the plan in the scene, whose y runs down."""
    return QPointF(x_mm, -y_mm)


def to_mm(point: QPointF) -> tuple[float, float]:
    """A point of the scene in the plan [mm]."""
    return point.x(), -point.y()


def snapped(value_mm: float, free: bool = False) -> float:
    """The nearest line of the 5 mm grid; if `free`, only rounded to a tenth of a millimetre."""
    step = _FINEST_MM if free else GRID_MM
    return round(round(value_mm / step) * step, 1)

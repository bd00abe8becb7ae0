"""Where keys lead the pointer of a gesture: by grid lines, and from port to port."""

from PySide6.QtCore import QPointF, Qt

from app.plan.commands import ARROWS
from app.plan.coordinates import GRID_MM
from app.plan.gesture import Gesture
from app.plan.handles import ports_of
from app.plan.surface import Surface

__all__ = ["steered"]

_FAST = 10.0  # grid lines at once with Shift
_TO_PORT = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}
_HERE_MM = 0.5  # nearer to a port than this, the pointer is on it


def steered(plan: Surface, gesture: Gesture, point: QPointF, key: Qt.Key, shift: bool) -> QPointF | None:
    """The point of the scene to which a key leads from another; None if it leads nowhere."""
    if key in ARROWS and gesture.follows_clicks:
        x, y = ARROWS[key]
        return point + QPointF(x, -y) * GRID_MM * (_FAST if shift else 1.0)
    if key in _TO_PORT and gesture.seeks_ports:
        return _next_port(plan, gesture, point, _TO_PORT[key])
    return None


def _next_port(plan: Surface, gesture: Gesture, point: QPointF, step: int) -> QPointF:
    """The port after the one here, or before it; the point itself where there is none."""
    points = [port for _, port in ports_of(plan.scene(), only_open=not gesture.seeks_all_ports)]
    if not points:
        return point
    away = [(port - point).manhattanLength() for port in points]
    here = away.index(min(away)) if min(away) < _HERE_MM else -1 if step > 0 else 0
    return points[(here + step) % len(points)]

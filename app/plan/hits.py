"""What a hand would mean at a point of the plan, or by an area."""

from PySide6.QtCore import QPointF, QRectF, Qt

from app.plan.handles import Hit, corners_of, ends_of, ports_of, turn_handle
from app.plan.run_item import RunItem
from app.plan.scene import PlanScene

__all__ = ["hit_at", "ids_within", "port_at", "run_at"]

_PORT_PX, _PORT_OUT_PX, _TUBE_PX, _HANDLE_PX = 7.0, 2.5, 4.0, 7.0


def hit_at(scene: PlanScene, point: QPointF, pixel: float) -> Hit | None:
    """What a hand would mean at a point; `pixel` is the size of one pixel [mm]."""
    on_top = _handle_at(scene, point, pixel) or port_at(scene, point, pixel) or _part_at(scene, point)
    run_id = "" if on_top else run_at(scene, point, pixel)
    return Hit("run", run_id) if run_id else on_top


def port_at(
    scene: PlanScene, point: QPointF, pixel: float, only_open: bool = True, reach_px: float = _PORT_PX
) -> Hit | None:
    """The nearest port within reach; the reach lies a little outside of the part."""
    found = []
    for hit, at in ports_of(scene, only_open):
        outwards = at - scene.parts[hit.id].pos()
        length = max(1e-9, (outwards.x() ** 2 + outwards.y() ** 2) ** 0.5)
        middle = at + outwards * (_PORT_OUT_PX * pixel / length)
        found.append((_distance(middle, point), hit))
    nearest = min(found, default=None, key=lambda each: each[0])
    return nearest[1] if nearest and nearest[0] <= reach_px * pixel else None


def run_at(scene: PlanScene, point: QPointF, pixel: float) -> str:
    """Id of the run at a point, whatever lies over it; empty if there is none."""
    runs = {} if "liquid" in scene.dimmed else scene.runs
    reach = {key: max(item.outer_mm / 2, _TUBE_PX * pixel) for key, item in runs.items()}
    near = [(item.distance_mm(point), key) for key, item in runs.items()]
    distance, run_id = min(near, default=(0.0, ""))
    return run_id if run_id and distance <= reach[run_id] else ""


def ids_within(scene: PlanScene, area: QRectF) -> frozenset[str]:
    """Parts that an area touches, and runs that lie wholly in it."""
    seen = {key: item for key, item in scene.parts.items() if not scene.is_dimmed(item)}
    parts = (key for key, item in seen.items() if item.outline().boundingRect().intersects(area))
    runs = (key for key, item in scene.runs.items() if area.contains(_line_box(item)))
    return frozenset((*parts, *runs))


def _handle_at(scene: PlanScene, point: QPointF, pixel: float) -> Hit | None:
    turn = turn_handle(scene, pixel)
    if turn is not None and _distance(turn[1], point) <= _HANDLE_PX * pixel:
        return turn[0]
    for item, index, at in corners_of(scene):
        if _distance(at, point) <= _HANDLE_PX * pixel:
            return Hit("corner", item.run_id, corner=index)
    return next((hit for hit, at in ends_of(scene) if _distance(at, point) <= _HANDLE_PX * pixel), None)


def _part_at(scene: PlanScene, point: QPointF) -> Hit | None:
    for part_id, item in reversed(scene.parts.items()):
        if not scene.is_dimmed(item) and item.outline().containsPoint(point, Qt.FillRule.OddEvenFill):
            return Hit("part", part_id)
    return None


def _line_box(item: RunItem) -> QRectF:
    xs, ys = [spot.x_mm for spot in item.line], [-spot.y_mm for spot in item.line]
    return QRectF(min(xs), min(ys), max(max(xs) - min(xs), 1e-6), max(max(ys) - min(ys), 1e-6))


def _distance(a: QPointF, b: QPointF) -> float:
    return ((a.x() - b.x()) ** 2 + (a.y() - b.y()) ** 2) ** 0.5

"""What can be taken hold of in the plan, and where: ports, corners and ends of selected runs, the handle that turns."""

from collections.abc import Iterator
from typing import Literal, NamedTuple

from PySide6.QtCore import QPointF

from app.plan.coordinates import HANDLE_PX, to_scene
from app.plan.run_item import RunItem
from app.plan.scene import PlanScene

__all__ = ["Hit", "corners_of", "ends_of", "ports_of", "turn_handle"]


class Hit(NamedTuple):
    """What lies at a point: a handle of what is selected, an open port, a part, or a run."""

    kind: Literal["corner", "end", "turn", "port", "part", "run"]
    id: str  # of the part or run
    corner: int = -1
    port: str = ""
    end: Literal["", "start", "end"] = ""

    @property
    def reference(self) -> str:
        """The port as ``"part.port"``."""
        return f"{self.id}.{self.port}"

    @property
    def port_words(self) -> str:
        """The port's name as it is said."""
        return self.port.replace("_", " ")


def corners_of(scene: PlanScene) -> Iterator[tuple[RunItem, int, QPointF]]:
    """Corners of the selected runs: the run, the corner's number, its point."""
    for item in scene.runs.values():
        if item.is_selected:
            for index, corner in enumerate(item.run.corners):
                yield item, index, to_scene(corner.x_mm, corner.y_mm)


def ends_of(scene: PlanScene) -> Iterator[tuple[Hit, QPointF]]:
    """Both ends of the selected runs, with their points."""
    for item in scene.runs.values():
        if item.is_selected:
            first, last = item.path.spots[0], item.path.spots[-1]
            yield Hit("end", item.run_id, end="start"), to_scene(*first[:2])
            yield Hit("end", item.run_id, end="end"), to_scene(*last[:2])


def turn_handle(scene: PlanScene, pixel: float) -> tuple[Hit, QPointF, QPointF] | None:
    """The handle by which the one selected part is turned: its point, and that of the edge it belongs to."""
    if len(scene.selection) != 1:
        return None
    item = scene.parts.get(next(iter(scene.selection)))
    if item is None or item.placement.locked:
        return None
    edge = item.box().top()
    at, foot = (item.in_scene(QPointF(0.0, y)) for y in (edge - HANDLE_PX * pixel, edge))
    return Hit("turn", item.part_id), at, foot


def ports_of(scene: PlanScene, only_open: bool = True) -> Iterator[tuple[Hit, QPointF]]:
    """Ports with their points."""
    for item in scene.parts.values():
        for port in item.part.ports.values() if not scene.is_dimmed(item) else ():
            if not only_open or port.name in item.open_ports:
                yield Hit("port", item.part_id, port=port.name), item.port_point(port)

"""Arrows of air at what it passes through, and the spaces in words: open arrows, as liquid has filled ones."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPolygonF

from app import figures
from app.plan.part_item import PartItem, pen
from app.theme import Theme
from loopsim.build import Enclosure
from loopsim.parts import Fan, Radiator
from loopsim.studies import AirFlow, SpaceAir

__all__ = ["AirArrow", "air_arrows", "space_words"]

ROOM = "room"
_LONG, _HALF, _GAP = 18.0, 4.5, 3.0  # length, half its width, distance from the part [px]


@dataclass(frozen=True)
class AirArrow:
    """One arrow: where its middle lies beside a part, and which way it points, in pixels of the zoomed scene."""

    part: str
    middle: QPointF
    angle: float
    flow: float

    @property
    def box(self) -> QRectF:
        """What it covers."""
        reach = _LONG / 2 + 1
        return QRectF(self.middle.x() - reach, self.middle.y() - reach, 2 * reach, 2 * reach)

    def paint(self, painter: QPainter, theme: Theme) -> None:
        """Two strokes for the shaft's end, and an open head."""
        along = QPointF(math.cos(self.angle), math.sin(self.angle))
        across = QPointF(-along.y(), along.x())
        tip, tail = self.middle + along * (_LONG / 2), self.middle - along * (_LONG / 2)
        neck = tip - along * (1.6 * _HALF)
        outline = [
            tip, neck + across * _HALF, neck + across * (_HALF / 2.2), tail + across * (_HALF / 2.2),
            tail - across * (_HALF / 2.2), neck - across * (_HALF / 2.2), neck - across * _HALF,
        ]  # fmt: skip
        painter.setPen(pen(theme.ink, 1.1))
        painter.setBrush(theme.paper)
        painter.drawPolygon(QPolygonF(outline))


def air_arrows(
    parts: dict[str, PartItem], flows: Sequence[AirFlow], enclosure: Enclosure, scale: float
) -> Iterator[AirArrow]:
    """An arrow for every part through which air goes.

    It stands where air comes in from the room, else where it goes out. Through a fan air goes along the part's own x;
    through the fins of a radiator, a filter or a grille across its thin side.
    """
    for each in flows:
        if each.flow > 0 and each.part in parts:
            item = parts[each.part]
            angle = _angle(item, each, enclosure)
            half = _half_extent(item, angle) * scale + _GAP + _LONG / 2
            side = -1.0 if each.source == ROOM else 1.0
            middle = item.pos() * scale + QPointF(math.cos(angle), math.sin(angle)) * half * side
            yield AirArrow(each.part, middle, angle, each.flow)


def _angle(item: PartItem, air: AirFlow, enclosure: Enclosure) -> float:
    """Which way the air goes, in the scene, whose y runs down [rad]."""
    own = -math.radians(item.placement.rotation_deg)
    if isinstance(item.part, Fan):
        return own if air.is_forward else own + math.pi
    outline = item.placement.outline_of(item.part)
    goes_across = isinstance(item.part, Radiator) or outline.length_mm > outline.width_mm
    axis = own + (math.pi / 2 if goes_across else 0.0)
    from_middle = item.pos() - QPointF(enclosure.length_mm / 2, -enclosure.width_mm / 2)
    points_out = math.cos(axis) * from_middle.x() + math.sin(axis) * from_middle.y() >= 0
    return axis if points_out == (air.source != ROOM) else axis + math.pi


def _half_extent(item: PartItem, angle: float) -> float:
    """Half of a part's size along a direction [mm]."""
    turned = angle + math.radians(item.placement.rotation_deg)
    along, across = abs(math.cos(turned)), abs(math.sin(turned))
    outline = item.placement.outline_of(item.part)
    return (along * outline.length_mm + across * outline.width_mm) / 2


def space_words(spaces: Sequence[SpaceAir], is_old: bool) -> str:
    """The spaces on one line: how warm, how far above the room's pressure, how much passes."""
    said = []
    for space in spaces:
        pressure = f"{'+' if space.pressure > 0 else ''}{figures.amount(space.pressure, 'pa')}"
        warm = "warms without end" if space.temperature is None else figures.amount(space.temperature, "c")
        said.append(f"{space.name} {warm}, {pressure}, {figures.amount(space.passing, 'm3_h')}")
    return "  ·  ".join(said) + ("  (sketch before)" if said and is_old else "")

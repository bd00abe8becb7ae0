"""A part in the plan: its outline at true size, its symbol, its ports."""

from collections.abc import Callable
from functools import lru_cache

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF, QTransform

from app.plan.coordinates import to_scene
from app.plan.kept_item import KeptItem
from app.symbols import paint_symbol
from app.theme import Theme
from loopsim.build import Placement
from loopsim.geometry import Lie
from loopsim.parts import Part, Port

__all__ = ["PartItem", "paint_body", "pen", "pixel_mm", "symbol_mm"]

_SYMBOL_SHARE = 0.62  # of the outline's shorter side
_MARGIN_MM = 40.0  # around the outline, for marks of a constant size on the screen
_FIN_MM = 12.0
_RING_PX = 3.5
_TINT_PX = 5.0


class PartItem(KeptItem):
    """Shows one placed part; keeps nothing but what it was last told to show."""

    def __init__(self, part_id: str, theme: Theme) -> None:
        super().__init__()
        self.part_id, self.theme = part_id, theme
        self.part: Part | None = None
        self.placement: Placement | None = None
        self.open_ports: frozenset[str] = frozenset()
        self.plugged_ports: frozenset[str] = frozenset()  # of the open ones
        self._port_points: dict[str, QPointF] = {}  # in the scene
        self._box = QRectF()  # its outline as it lies, about its middle
        self._turn = QTransform()
        self._outline, self._bounds = QPolygonF(), QRectF()
        self.is_selected = self.is_stopped = False
        self.tint: QColor | None = None  # None: plain
        self.hovered_port = ""
        self.setZValue(20.0)

    def show_part(self, part: Part, placement: Placement) -> None:
        """Show a part where it stands."""
        self.prepareGeometryChange()
        self.part, self.placement = part, placement
        self._box = outline_rect(part, placement.lie)
        self._turn = QTransform().rotate(-placement.rotation_deg)
        self._bounds = self._turn.mapRect(self._box.adjusted(-_MARGIN_MM, -_MARGIN_MM, _MARGIN_MM, _MARGIN_MM))
        self.setPos(to_scene(placement.x_mm, placement.y_mm))
        self._outline = self._turn.map(QPolygonF(self._box)).translated(self.pos())
        place = placement.place_of(part)
        self._port_points = {port.name: to_scene(*place.spot(port.spot)[:2]) for port in part.ports.values()}
        self.update()

    def outline(self) -> QPolygonF:
        """Its outline in the scene."""
        return self._outline

    def in_scene(self, point: QPointF) -> QPointF:
        """Where a point, given from the part's middle as it lies, is in the scene."""
        return self.pos() + self._turn.map(point)

    def port_point(self, port: Port) -> QPointF:
        """Where a port is in the scene."""
        return self._port_points[port.name]

    def boundingRect(self) -> QRectF:
        return self._bounds

    def paint(self, painter: QPainter, *_: object) -> None:
        painter.save()
        painter.setTransform(self._turn, combine=True)
        self._paint_turned(painter, pixel_mm(painter))
        painter.restore()
        for name in self.open_ports:
            self._ring(painter, self.part.ports[name], pixel_mm(painter))

    def _paint_turned(self, painter: QPainter, pixel: float) -> None:
        paint_body(painter, self.part, self.theme, lie=self.placement.lie, mirrored=self.placement.mirrored)
        if self.tint is not None:
            self._paint_tint(painter, pixel)
        if self.is_stopped:
            self._frame(painter, pen(self.theme.amber, 2.0, Qt.PenStyle.DashLine), 5.0 * pixel)
        if self.is_selected:
            self._frame(painter, pen(self.theme.ink, 1.2), (8.5 if self.is_stopped else 4.0) * pixel)

    def box(self) -> QRectF:
        """Its outline as it lies, about its middle."""
        return QRectF(self._box)

    def _paint_tint(self, painter: QPainter, pixel: float) -> None:
        """A broad line inside the outline, so that symbol and words keep their ground."""
        wide = min(_TINT_PX * pixel, min(self.box().width(), self.box().height()) / 5)
        painter.setPen(QPen(self.tint, wide, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.MiterJoin))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        inner = wide / 2 + pixel
        painter.drawRect(self.box().adjusted(inner, inner, -inner, -inner))

    def _frame(self, painter: QPainter, with_pen: QPen, distance: float) -> None:
        painter.setPen(with_pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        box = self.box().adjusted(-distance, -distance, distance, distance)
        painter.drawRoundedRect(box, distance, distance)

    def _ring(self, painter: QPainter, port: Port, pixel: float) -> None:
        """An open port: hollow, quiet; filled while the pointer is on it; with a stroke across it where plugged."""
        is_hovered = port.name == self.hovered_port
        painter.setPen(pen(self.theme.liquid if is_hovered else self.theme.soft_ink, 1.5))
        painter.setBrush(self.theme.liquid if is_hovered else self.theme.paper)
        radius = max(port.bore_mm / 2, (_RING_PX + 1.5 * is_hovered) * pixel)
        at = self._port_points[port.name] - self.pos()
        painter.drawEllipse(at, radius, radius)
        if port.name in self.plugged_ports and not is_hovered:
            across = QPointF(radius, radius) * 0.7
            painter.drawLine(at - across, at + across)


def paint_body(
    painter: QPainter,
    part: Part,
    theme: Theme,
    ink: QColor | None = None,
    lie: Lie = "flat",
    mirrored: bool = False,
) -> None:
    """Draw a part, as it lies, about its middle: outline, what is typical of its kind, symbol."""
    ink = ink or theme.ink
    box = outline_rect(part, lie)
    painter.setPen(pen(ink, 1.5))
    painter.setBrush(theme.paper)
    corner = min(3.0, box.width() / 8, box.height() / 8)
    painter.drawRoundedRect(box, corner, corner)
    painter.save()
    if mirrored:
        painter.scale(1.0, -1.0)
    if lie == "flat":
        _INSIDES.get(part.symbol, _plain)(painter, part, theme, ink)
    else:
        _symbol(painter, part, ink, box)
    painter.restore()


def outline_rect(part: Part, lie: Lie = "flat") -> QRectF:
    """The outline about the part's middle, as it lies."""
    lying = part.outline.lying(lie)
    return QRectF(-lying.length_mm / 2, -lying.width_mm / 2, lying.length_mm, lying.width_mm)


def symbol_mm(part: Part, lie: Lie = "flat") -> float | None:
    """Side of the symbol in the part's middle; None where more is drawn round it, so that words must keep off."""
    box = outline_rect(part, lie)
    return None if part.symbol in _LINED else _SYMBOL_SHARE * min(box.width(), box.height())


def pen(colour: QColor, width_px: float, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
    """A pen of constant width on the screen."""
    return QPen(_pen(colour.rgba(), width_px, style))


@lru_cache(maxsize=128)
def _pen(colour: int, width_px: float, style: Qt.PenStyle) -> QPen:
    made = QPen(QColor.fromRgba(colour), width_px, style)
    made.setCosmetic(True)
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    return made


def pixel_mm(painter: QPainter) -> float:
    """How many millimetres one pixel of the screen shows."""
    transform = painter.worldTransform()
    return 1.0 / max(1e-9, (transform.m11() ** 2 + transform.m12() ** 2) ** 0.5)


def _plain(painter: QPainter, part: Part, theme: Theme, ink: QColor) -> None:  # noqa: ARG001
    _symbol(painter, part, ink, outline_rect(part))


def _symbol(painter: QPainter, part: Part, ink: QColor, box: QRectF) -> None:
    side = _SYMBOL_SHARE * min(box.width(), box.height())
    paint_symbol(painter, part.symbol, ink, QRectF(-side / 2, -side / 2, side, side))


def _fins(painter: QPainter, part: Part, theme: Theme, ink: QColor) -> None:
    """Fins between two end tanks, as fine as the zoom allows, the symbol on a free field in the middle."""
    spacing = _FIN_MM
    while spacing < 5.0 * pixel_mm(painter):
        spacing *= 2
    half, tank, field = part.length_mm / 2, min(14.0, part.length_mm / 8), 0.42 * part.width_mm
    edge = part.width_mm / 2 - min(4.0, part.width_mm / 8)
    count = int((half - tank) / spacing)
    places = [number * spacing for number in range(-count, count + 1) if abs(number * spacing) > field]
    painter.setPen(pen(theme.rule, 1.0))
    painter.drawLines([QLineF(x, -edge, x, edge) for x in places])
    painter.setPen(pen(ink, 1.0))
    painter.drawLines([QLineF(x, -part.width_mm / 2, x, part.width_mm / 2) for x in (tank - half, half - tank)])
    _plain(painter, part, theme, ink)


def _liquid(painter: QPainter, part: Part, theme: Theme, ink: QColor) -> None:
    """Liquid between the walls."""
    wall = getattr(part, "wall_mm", 0.0)
    inner = outline_rect(part).adjusted(wall, wall, -wall, -wall)
    if inner.isValid():
        tint = QColor(theme.liquid)
        tint.setAlphaF(0.14)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(tint)
        painter.drawRect(inner)
    _plain(painter, part, theme, ink)


def _legs(painter: QPainter, part: Part, theme: Theme, ink: QColor) -> None:
    """Every leg from its port to the middle: the symbol of a tee or cross, at true size."""
    for port in part.ports.values():
        painter.setPen(QPen(theme.tube, port.bore_mm, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
        painter.drawLine(to_scene(port.spot.x_mm, port.spot.y_mm), QPointF(0.0, 0.0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    radius = 0.2 * min(part.length_mm, part.width_mm)
    painter.drawEllipse(QPointF(0.0, 0.0), radius, radius)


_INSIDES: dict[str, Callable[[QPainter, Part, Theme, QColor], None]] = {
    "radiator": _fins,
    "reservoir": _liquid,
    "cross": _legs,
    "tee": _legs,
}
_LINED = frozenset({"radiator", "cross", "tee"})  # whose inside is full of lines

"""What lies over what in the plan: kept up to date pair by pair, and drawn."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QGraphicsScene

from app.plan.coordinates import to_scene
from app.plan.crossings import GAP, Crossing, Tube, crossings_of, passes_over
from app.plan.part_item import PartItem, pen
from app.plan.run_item import RunItem, line_path, tube_pen
from app.theme import Theme
from loopsim.geometry import Spot

__all__ = ["Overlaps"]

_OVER_RUNS, _OVER_PARTS = 12.0, 22.0  # z of the pieces of tube that are drawn once more


class Overlaps:
    """The crossings of all runs, and the stretches that lie over parts.

    Attributes
    ----------
    crossings : list of Crossing
    """

    def __init__(self, scene: QGraphicsScene, theme: Theme) -> None:
        self.crossings: list[Crossing] = []
        self._tubes: dict[str, Tube] = {}
        self._found: dict[tuple[str, str], list[Crossing]] = {}  # of the pairs that have any
        self._passes: dict[tuple[str, str], list[tuple[Spot, ...]]] = {}  # the same of runs and parts
        self._items = (_PiecesItem(theme, _OVER_RUNS), _PiecesItem(theme, _OVER_PARTS))
        for item in self._items:
            scene.addItem(item)

    def update(
        self, runs: Mapping[str, RunItem], parts: Mapping[str, PartItem], changed: frozenset[str], moved: frozenset[str]
    ) -> None:
        """Look again at every pair with a changed run or a moved part in it."""
        self._tubes = {
            key: self._tubes[key] if key in self._tubes and key not in changed else Tube(key, item.line, item.outer_mm)
            for key, item in runs.items()
        }
        self._find_crossings(changed)
        self._find_passes(parts, changed, moved)
        crossed: dict[str, list[QPointF]] = {}
        for each in self.crossings:
            for key in (each.upper, each.lower):
                crossed.setdefault(key, []).append(to_scene(*each.at))
        for key, item in runs.items():
            item.keep_clear(crossed.get(key, []))

    def show_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        for item in self._items:
            item.theme = theme
            item.update()

    def show_tint(self, colours: Mapping[str, QColor]) -> None:
        """Draw the tubes of these runs in these colours, all others plain."""
        for item in self._items:
            item.colours = colours
            item.update()

    def _find_crossings(self, changed: frozenset[str]) -> None:
        runs_stay = self._tubes.keys() - changed
        stay = {pair: found for pair, found in self._found.items() if runs_stay.issuperset(pair)}
        pairs = {(min(pair), max(pair)) for pair in product(changed, self._tubes) if pair[0] != pair[1]}
        self._found = stay | {pair: found for pair in pairs if (found := self._crossings(*pair))}
        self.crossings = [each for pair in sorted(self._found) for each in self._found[pair]]
        apart = [each for each in self.crossings if not each.meet]
        over = [_Piece(each.piece, each.outer_mm, each.height_mm, each.upper) for each in apart]
        rings = [(to_scene(*each.at), each.outer_mm) for each in self.crossings if each.meet]
        self._items[0].show_pieces(over, rings)

    def _crossings(self, one: str, other: str) -> list[Crossing]:
        return crossings_of(self._tubes[one], self._tubes[other])

    def _passes_of(self, run_id: str, part_id: str, parts: Mapping[str, PartItem]) -> list[tuple[Spot, ...]]:
        item = parts[part_id]
        return passes_over(self._tubes[run_id], item.part, item.placement)

    def _find_passes(self, parts: Mapping[str, PartItem], changed: frozenset[str], moved: frozenset[str]) -> None:
        runs_stay, parts_stay = self._tubes.keys() - changed, parts.keys() - moved
        stay = {(a, b): found for (a, b), found in self._passes.items() if a in runs_stay and b in parts_stay}
        pairs = {*product(changed, parts), *product(self._tubes, moved)}
        self._passes = stay | {pair: found for pair in pairs if (found := self._passes_of(*pair, parts))}
        over = [
            _Piece(line, self._tubes[run_id].outer_mm, line[0].height_mm, run_id)
            for (run_id, _), lines in self._passes.items()
            for line in lines
        ]
        self._items[1].show_pieces(over, ())


class _Piece(NamedTuple):
    """A stretch of tube that is drawn once more, above what it passes over."""

    line: tuple[Spot, ...]
    outer_mm: float
    height_mm: float
    run_id: str


class _PiecesItem(QGraphicsItem):
    """Draws pieces of tube with a gap of paper on both sides, and rings where tubes meet."""

    def __init__(self, theme: Theme, z: float) -> None:
        super().__init__()
        self.theme = theme
        self.colours: Mapping[str, QColor] = {}
        self._pieces: list[tuple[QPainterPath, float, str]] = []
        self._rings: list[tuple[QPointF, float]] = []
        self._bounds = QRectF()
        self.setZValue(z)

    def show_pieces(self, pieces: Iterable[_Piece], rings: Sequence[tuple[QPointF, float]]) -> None:
        """Show these, the lower ones first."""
        self.prepareGeometryChange()
        ordered = sorted(pieces, key=lambda piece: piece.height_mm)
        self._pieces = [(_piece_path(piece.line), piece.outer_mm, piece.run_id) for piece in ordered]
        self._rings = list(rings)
        self._bounds = self._area()
        self.update()

    def boundingRect(self) -> QRectF:
        return self._bounds

    def _area(self) -> QRectF:
        area = QRectF()
        for path, outer, _ in self._pieces:
            area = area.united(path.controlPointRect().adjusted(-outer, -outer, outer, outer))
        for at, radius in self._rings:
            area = area.united(QRectF(at.x() - 2 * radius, at.y() - 2 * radius, 4 * radius, 4 * radius))
        return area

    def paint(self, painter: QPainter, *_: object) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for path, outer, run_id in self._pieces:
            painter.strokePath(path, tube_pen(self.theme.paper, outer * (1 + 2 * GAP)))
            tube = tube_pen(self.colours.get(run_id, self.theme.tube), outer)
            tube.setCapStyle(Qt.PenCapStyle.SquareCap)  # a little longer than the gap, or its ends would show as hairs
            painter.strokePath(path, tube)
        painter.setPen(pen(self.theme.amber, 2.0))
        for at, radius in self._rings:
            painter.drawEllipse(at, radius, radius)


@lru_cache(maxsize=512)
def _piece_path(line: tuple[Spot, ...]) -> QPainterPath:
    """The same pieces come again with every move of something else."""
    return line_path(line)

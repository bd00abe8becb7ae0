"""Heat in and heat out as two bars of one length, cut into what each part gives or takes."""

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app import figures
from app.focus_mark import paint_focus_mark
from app.key_steps import stepped
from app.theme import Theme, Type, font, themes
from loopsim.studies import HeatBalance, HeatLine

__all__ = ["BalanceChart", "lettered"]

_BAR, _GAP, _LEFT, _TOP = 30.0, 10.0, 32.0, 4.0  # [px]
_OLD = 0.4
_SHADES = (0.14, 0.26)  # opacity of neighbours, so that each ends where it can be seen
_SOME = 1e-3  # share of all heat below which nothing is left over
_NO_WAY_OUT = "no way out"


class Piece(NamedTuple):
    """A line of the balance, its letter, and its place in its bar from 0 to 1."""

    letter: str
    line: HeatLine
    start: float
    end: float

    @property
    def share(self) -> float:
        """Of all heat, 0 to 1."""
        return self.end - self.start

    @property
    def words(self) -> str:
        """What it is, and its heat."""
        return f"{self.line.name}: {figures.watts(self.line.heat)} W"

    @property
    def has_no_way(self) -> bool:
        """True for what stays in the machine and warms it."""
        return self.line.name == _NO_WAY_OUT


def lettered(balance: HeatBalance) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """Both sides with a letter for each line, what has no way out last."""
    left = [HeatLine(None, _NO_WAY_OUT, balance.left)] if balance.left > 1e-3 * max(balance.total, 1e-9) else []
    into, out = (
        _placed(balance.into, balance.total, 0),
        _placed((*balance.out, *left), balance.total, len(balance.into)),
    )
    return into, out


def _placed(lines: Sequence[HeatLine], total: float, first: int) -> tuple[Piece, ...]:
    pieces, at = [], 0.0
    for number, line in enumerate(lines):
        share = line.heat / total if total > 0 else 0.0
        pieces.append(Piece(_letter(first + number), line, at, at + share))
        at += share
    return tuple(pieces)


def _letter(number: int) -> str:
    """``a`` to ``z``, then ``aa``, ``ab``, ..."""
    return (_letter(number // 26 - 1) if number >= 26 else "") + chr(ord("a") + number % 26)


class BalanceChart(QWidget):
    """The two bars; the letters lead to the table below. A click chooses a part, arrow keys the next one."""

    chosen = Signal(object)  # frozenset of ids

    def __init__(self) -> None:
        super().__init__()
        self.sides: tuple[tuple[Piece, ...], tuple[Piece, ...]] = ((), ())
        self.ids: frozenset[str] = frozenset()
        self._old = False
        self.setAccessibleName("heat in and out")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(self.sizeHint().height())
        themes.changed.connect(self._on_theme)

    def show_balance(self, balance: HeatBalance | None, old: bool = False) -> None:
        """Show a balance, or nothing; `old` dims it."""
        self.sides, self._old = ((), ()) if balance is None else lettered(balance), old
        self.setVisible(balance is not None)
        self.setAccessibleDescription("; ".join(piece.words for side in self.sides for piece in side))
        self.update()

    def choose(self, ids: frozenset[str]) -> None:
        """Bring out what is selected."""
        if ids != self.ids:
            self.ids = ids
            self.update()

    def sizeHint(self) -> QSize:
        return QSize(420, int(_TOP + 2 * _BAR + _GAP + 4))

    def box_of(self, side: int, piece: Piece) -> QRectF:
        """Where a piece of the upper (0) or lower (1) bar lies."""
        wide = self.width() - _LEFT - 2
        top = _TOP + side * (_BAR + _GAP)
        return QRectF(_LEFT + piece.start * wide, top, piece.share * wide, _BAR)

    def piece_at(self, point: QPointF) -> Piece | None:
        """The piece under a point."""
        boxes = ((self.box_of(side, piece), piece) for side in (0, 1) for piece in self.sides[side])
        return next((piece for box, piece in boxes if box.contains(point)), None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        piece = self.piece_at(event.position())
        item = piece.line.item if piece is not None else None
        self.chosen.emit(frozenset((item,)) if item is not None else frozenset())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        pieces = {piece.line.item: piece for side in self.sides for piece in side if piece.line.item is not None}
        found = stepped(event.key(), list(pieces), self.ids)
        if found is None:
            super().keyPressEvent(event)
        else:
            self.chosen.emit(frozenset((found,)))

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            piece = self.piece_at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), piece.words if piece is not None else "", self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        painter, theme = QPainter(self), themes.current
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        painter.setOpacity(_OLD if self._old else 1.0)
        for side, (name, colour) in enumerate((("in", theme.rust), ("out", theme.liquid))):
            top = _TOP + side * (_BAR + _GAP)
            painter.setPen(theme.ink)
            box = QRectF(0, top, _LEFT - 6, _BAR)
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, name)
            for number, piece in enumerate(self.sides[side]):
                self._paint_piece(painter, theme, self.box_of(side, piece), piece, _shaded(colour, number))
        paint_focus_mark(painter, self)

    def _paint_piece(self, painter: QPainter, theme: Theme, box: QRectF, piece: Piece, ground: QColor) -> None:
        painter.setPen(QPen(theme.ink if piece.line.item in self.ids else theme.soft_ink, 1.0))
        painter.setBrush(ground)
        if piece.has_no_way:
            painter.setBrush(theme.rust)
        painter.drawRect(box)
        metrics = QFontMetricsF(painter.font())
        if piece.line.item in self.ids:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(theme.ink, 2.5))
            painter.drawRect(box.adjusted(1, 1, -1, -1))
        if box.width() > metrics.horizontalAdvance(piece.letter) + 4:
            painter.setPen(theme.paper if piece.has_no_way else theme.ink)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, piece.letter)

    def _on_theme(self, _: Theme) -> None:
        self.update()


def _shaded(colour: QColor, number: int) -> QColor:
    shade = QColor(colour)
    shade.setAlphaF(_SHADES[number % 2])
    return shade

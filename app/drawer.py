"""The drawer: every kind of part, to be clicked or dragged into the plan."""

from html import escape

from PySide6.QtCore import QMimeData, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QDrag, QKeyEvent, QMouseEvent, QPainter, QPixmap
from PySide6.QtWidgets import QApplication, QFrame, QScrollArea, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from app.symbols import paint_symbol, symbol_icon
from app.theme import STEP, Theme, Type, font, theme
from loopsim.parts import KINDS, Part, TubeRun

__all__ = ["KIND_MIME", "TUBE_RUN", "Drawer", "kind_in", "mime_of"]

KIND_MIME = "application/x-loopsim-kind"
TUBE_RUN = "tube_run"

_SYMBOL_PX = 22
_DRAGGED_PX = 48
_SHEET = """
QToolButton {{ border: 1px solid transparent; border-radius: 4px; padding: 3px 4px; color: {ink}; }}
QToolButton:hover, QToolButton:pressed {{ background: {chosen}; }}
QToolButton:focus {{ border-color: {liquid}; }}
"""


class Drawer(QScrollArea):
    """A narrow column: one button for each kind, its symbol with its word beside it; it scrolls where it must.

    Signals
    -------
    kind_chosen(str)
        A kind of `loopsim.parts.KINDS`, or ``"tube_run"``.
    """

    kind_chosen = Signal(str)

    def __init__(self, of: Theme | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("drawer")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        shelf = QWidget()
        shelf.setObjectName("shelf")
        self.buttons = {kind: self._button(kind, record) for kind, record in {**KINDS, TUBE_RUN: TubeRun}.items()}
        column = QVBoxLayout(shelf)
        column.setContentsMargins(STEP // 2, STEP, STEP, STEP)
        column.setSpacing(0)
        for button in self.buttons.values():
            column.addWidget(button)
        column.addStretch(1)
        self.setWidget(shelf)
        self.setFixedWidth(shelf.sizeHint().width() + 2 * STEP)
        self.set_theme(of or theme())

    def set_theme(self, of: Theme) -> None:
        """Draw the symbols in a theme's ink."""
        for button in self.buttons.values():
            button.wear(of)
        self.setStyleSheet(_SHEET.format(chosen=of.chosen.name(), liquid=of.liquid.name(), ink=of.ink.name()))

    def _button(self, kind: str, record: type[Part] | type[TubeRun]) -> "_KindButton":
        button = _KindButton(kind, record, self)
        button.clicked.connect(lambda: self.kind_chosen.emit(kind))
        return button


class _KindButton(QToolButton):
    """One kind; a drag takes it along."""

    def __init__(self, kind: str, record: type[Part] | type[TubeRun], parent: QWidget) -> None:
        super().__init__(parent)
        self.kind, self._symbol = kind, record.symbol
        self._pressed_at: QPoint | None = None
        self.setText(record.title)
        self.setToolTip(f"<p>{escape(record.help)}</p>")
        self.setAccessibleName(f"Place a {record.title}" if kind != TUBE_RUN else "Draw a tube run")
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.setIconSize(QSize(_SYMBOL_PX + STEP, _SYMBOL_PX))
        self.setAutoRaise(True)
        self.setFont(font(Type.SMALL))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def wear(self, of: Theme) -> None:
        """Take on a theme's ink; tube runs are in the colour of liquid, as in the plan."""
        self._ink = of.liquid if self.kind == TUBE_RUN else of.ink
        self.setIcon(symbol_icon(self._symbol, self._ink, (16, 24, _SYMBOL_PX, 48)))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed_at = event.position().toPoint()
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        away = event.position().toPoint() - self._pressed_at if self._pressed_at else QPoint()
        if self.kind != TUBE_RUN and away.manhattanLength() >= QApplication.startDragDistance():
            self._pressed_at = None
            self.setDown(False)
            self._drag()
        else:
            super().mouseMoveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go along the column; Return chooses, as the space bar does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.focusNextPrevChild(event.key() == Qt.Key.Key_Down)
        else:
            super().keyPressEvent(event)

    def _drag(self) -> None:
        drag = QDrag(self)
        drag.setMimeData(mime_of(self.kind))
        drag.setPixmap(self._picture())
        drag.exec(Qt.DropAction.CopyAction)

    def _picture(self) -> QPixmap:
        picture = QPixmap(_DRAGGED_PX, _DRAGGED_PX)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        paint_symbol(painter, self._symbol, self._ink, QRectF(picture.rect()))
        painter.end()
        return picture


def mime_of(kind: str) -> QMimeData:
    """A kind on its way to the plan."""
    data = QMimeData()
    data.setData(KIND_MIME, kind.encode())
    return data


def kind_in(data: QMimeData) -> str | None:
    """The kind of part that is being dragged; None if it is something else."""
    kind = bytes(data.data(KIND_MIME).data()).decode(errors="replace")
    return kind if kind in KINDS else None

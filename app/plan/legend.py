"""By what the plan is coloured: the choice, and the map with its ends."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QWidget

from app import figures
from app.field_editors import QuietBox
from app.plan.colour_bar import paint_colour_bar
from app.plan.tint import Quantity, Tint
from app.theme import STEP, Type, font, themes

__all__ = ["Legend"]

_BY_BENCH = "colour by bench"
_BAR, _HIGH = 84.0, 10.0  # length and height of the map [px]


class Legend(QWidget):
    """A small choice in the corner of the plan. At first the bench in view decides; that of heat asks for temperature.

    Signals
    -------
    chosen(Quantity)
        What the plan is to be coloured by.
    """

    chosen = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.box = QuietBox(self)
        self.box.setAccessibleName("colour of the plan")
        self.box.setToolTip("By what tubes and parts are coloured; arrows and words say the same.")
        self.box.addItems([_BY_BENCH, *(str(each) for each in Quantity)])
        self.box.setFont(font(Type.SMALL))
        self.box.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToContents)
        self.map = _Map(self)
        self._of_bench = Quantity.PLAIN
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(STEP)
        for widget in (self.map, self.box):
            self._row.addWidget(widget, 0, Qt.AlignmentFlag.AlignRight)
        self.box.currentIndexChanged.connect(lambda _: self.chosen.emit(self.quantity))

    @property
    def quantity(self) -> Quantity:
        """What the plan is coloured by now."""
        text = self.box.currentText()
        return self._of_bench if text == _BY_BENCH else Quantity(text)

    @property
    def choice(self) -> Quantity | None:
        """What the builder has chosen; None while the bench decides."""
        return None if self.box.currentIndex() == 0 else self.quantity

    def stand_at(self, right: int, top: int, room: int) -> None:
        """In a corner; the map beside the choice, or below it where the room across is too little."""
        self._row.setDirection(QBoxLayout.Direction.LeftToRight)
        if self._row.sizeHint().width() > room:
            self._row.setDirection(QBoxLayout.Direction.BottomToTop)
        size = self._row.sizeHint()
        self.setGeometry(right - size.width(), top, size.width(), size.height())

    def choose_next(self) -> None:
        """Choose what comes next, after the last one the bench's again."""
        self.box.setCurrentIndex((self.box.currentIndex() + 1) % self.box.count())

    def choose(self, quantity: Quantity | None) -> None:
        """Choose a quantity, or leave it to the bench in view."""
        self.box.setCurrentText(_BY_BENCH if quantity is None else str(quantity))

    def follow_bench(self, quantity: Quantity) -> None:
        """The bench in view asks for a quantity; what the builder chose stays."""
        self._of_bench = quantity
        self.chosen.emit(self.quantity)

    def show_tint(self, tint: Tint | None) -> None:
        """Show the map of a tint; none where there is no tint."""
        self.map.show_tint(tint)


class _Map(QWidget):
    """The map between its lowest and highest value."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.tint: Tint | None = None
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)

    def show_tint(self, tint: Tint | None) -> None:
        self.tint = tint
        self.setVisible(tint is not None)
        self.setAccessibleDescription(" to ".join(self.words()))
        self.setFixedWidth(self.sizeHint().width())
        self.update()

    def words(self) -> tuple[str, str]:
        """What stands left and right of the map."""
        if self.tint is None:
            return "", ""
        low, high = (self.tint.figure(end) for end in self.tint.ends)
        said = [high, figures.label(self.tint.unit)]
        said += [self.tint.caption] * bool(self.tint.caption) + ["(sketch before)"] * self.tint.is_old
        return low, " ".join(said)

    def sizeHint(self) -> QSize:
        metrics = QFontMetricsF(font(Type.SMALL))
        return QSize(int(_BAR + 20 + sum(map(metrics.horizontalAdvance, self.words()))), 24)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        theme, painter = themes.current, QPainter(self)
        painter.setFont(font(Type.SMALL))
        painter.fillRect(self.rect(), theme.paper)
        low, high = self.words()
        metrics = QFontMetricsF(painter.font())
        bar = QRectF(metrics.horizontalAdvance(low) + 8, (self.height() - _HIGH) / 2, _BAR, _HIGH)
        painter.setPen(theme.ink)
        middle = self.rect()
        painter.drawText(middle, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, low)
        painter.drawText(middle.adjusted(int(bar.right()) + 6, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, high)
        paint_colour_bar(painter, theme, bar)

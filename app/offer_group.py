"""Groups of buttons in the drawer: a kind above its usual sizes, or what is on the shelf."""

from collections.abc import Iterator, Sequence

from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.offer_button import SYMBOL_PX, WIDEST_PX, OfferButton
from app.offers import Offer
from app.theme import STEP

__all__ = ["OfferGroup"]

_INDENT = STEP + STEP // 2  # of the sizes below their kind
_ROOM = SYMBOL_PX + STEP + WIDEST_PX - _INDENT  # for a row of sizes


class OfferGroup(QWidget):
    """Buttons below one another, and below them the small ones of sizes, side by side as far as they fit."""

    def __init__(self, plain: Sequence[Offer], sizes: Sequence[Offer]) -> None:
        super().__init__()
        self.buttons: list[OfferButton] = []
        self.sizes: list[OfferButton] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.refill(plain)
        if sizes:
            self.sizes = [OfferButton(offer, self, is_size=True) for offer in sizes]
            self._column.addLayout(self._grid())

    def __iter__(self) -> Iterator[OfferButton]:
        yield from (*self.buttons, *self.sizes)

    def refill(self, plain: Sequence[Offer]) -> None:
        """Offer other things."""
        for button in self.buttons:
            button.hide()
            button.deleteLater()
        self.buttons = [OfferButton(offer, self) for offer in plain]
        for number, button in enumerate(self.buttons):
            self._column.insertWidget(number, button)

    def show_found(self, words: str) -> None:
        """Show what answers a search; the plain button stays as heading over sizes that do."""
        for size in self.sizes:
            size.setVisible(size.offer.rank(words) is not None)
        has_size = any(size.isVisibleTo(self) for size in self.sizes)
        for button in self.buttons:
            button.setVisible(has_size or button.offer.rank(words) is not None)
        self.setVisible(any(button.isVisibleTo(self) for button in self))

    def _grid(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setContentsMargins(_INDENT, 0, 0, STEP // 2)
        grid.setSpacing(STEP // 2)
        widest = STEP + max(size.fontMetrics().horizontalAdvance(size.text()) for size in self.sizes)
        columns = max(1, (_ROOM + grid.spacing()) // (widest + grid.spacing()))
        for number, size in enumerate(self.sizes):
            grid.addWidget(size, number // columns, number % columns)
        return grid

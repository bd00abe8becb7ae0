"""The drawer: what can be placed, to be searched, clicked, or dragged into the plan."""

from collections.abc import Iterator

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.offer_button import SYMBOL_PX, WIDEST_PX, OfferButton
from app.offer_group import OfferGroup
from app.offers import Offer, kinds_offered, shelf_offered
from app.search_line import SearchLine
from app.shelf import OpenShelf
from app.theme import STEP, Theme, Type, font, theme
from loopsim.build.shelf import Shelf
from loopsim.parts import FAMILIES, Part

__all__ = ["Drawer"]

_SHEET = """
QToolButton {{ border: 1px solid transparent; border-radius: 4px; padding: 3px 4px; color: {ink}; }}
QToolButton[sized="true"] {{ border-color: {rule}; color: {soft_ink}; padding: 2px 3px; }}
QToolButton:hover, QToolButton:pressed {{ background: {chosen}; color: {ink}; }}
QToolButton[first="true"] {{ background: {chosen}; color: {ink}; }}
QToolButton:focus {{ border-color: {liquid}; }}
"""


class Drawer(QWidget):
    """A narrow column: a search field, the shelf, then every kind by family, with its usual sizes below it.

    Tab stops at one button, that which had the keyboard last; arrow keys go from each to the next.

    Signals
    -------
    part_chosen(Part)
        A specimen of which a copy is to be placed.
    run_chosen(Tube or None)
        A run is to be drawn, of this tube or of the one used last.
    """

    part_chosen = Signal(object)
    run_chosen = Signal(object)

    def __init__(self, shelf: OpenShelf, of: Theme | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("drawer")
        self.shelf, self._theme = shelf, of or theme()
        self.search = SearchLine(self)
        self.kinds = {name: OfferGroup([kind.plain], kind.classes) for name, kind in kinds_offered().items()}
        self.kept = OfferGroup([], ())
        self.back = QPushButton(self, flat=True, visible=False)
        self.back.setFont(font(Type.SMALL))
        self.nothing = _soft("Nothing here by these words.")
        self._on_shelf = _soft("on your shelf")
        self._families = {family: _soft(family) for family in FAMILIES}
        self._scroll = self._lay_out()
        self.search.textChanged.connect(self._on_searched)
        self.search.entered.connect(self._on_entered)
        self.search.left_down.connect(self._on_left_down)
        self.back.clicked.connect(shelf.put_back)
        shelf.changed.connect(self._on_shelf_changed)
        for group in self.kinds.values():
            self._connect(group)
        self._on_shelf_changed(shelf.shelf)

    @property
    def buttons(self) -> dict[str, OfferButton]:
        """The button of each kind as it comes, by the kind's word in files."""
        return {name: group.buttons[0] for name, group in self.kinds.items()}

    def class_button(self, kind: str, of: str) -> OfferButton:
        """The button of one usual size of a kind."""
        return next(button for button in self.kinds[kind].sizes if button.offer.label == of)

    def kept_button(self, name: str) -> OfferButton:
        """The button of an item of the shelf."""
        return next(button for button in self.kept.buttons if button.offer.label == name)

    def focus_search(self) -> None:
        """Put the keyboard into the search field, ready for other words; a drawer put away comes back for that."""
        self.show()
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    def set_theme(self, of: Theme) -> None:
        """Draw the symbols in a theme's ink."""
        self._theme = of
        for button in self._all():
            button.wear(of)
        colours = {name: getattr(of, name).name() for name in ("chosen", "liquid", "ink", "soft_ink", "rule")}
        self._scroll.setStyleSheet(_SHEET.format(**colours))

    def _lay_out(self) -> QScrollArea:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(STEP // 2, 0, STEP, STEP)
        column.setSpacing(0)
        for widget in (self._on_shelf, self.kept, self.back, *self._kinds_by_family(), self.nothing):
            column.addWidget(widget)
        column.setAlignment(self.back, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        scroll = QScrollArea(self, widgetResizable=True)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # it follows the button that has the keyboard
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(inside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, STEP, 0, 0)
        whole.setSpacing(STEP)
        row = QVBoxLayout()
        row.setContentsMargins(STEP, 0, STEP, 0)
        row.addWidget(self.search)
        whole.addLayout(row)
        whole.addWidget(scroll, 1)
        self.setFixedWidth(SYMBOL_PX + WIDEST_PX + 6 * STEP)
        return scroll

    def _kinds_by_family(self) -> Iterator[QWidget]:
        family = ""
        for name, kind in kinds_offered().items():
            if kind.family != family:
                family = kind.family
                yield self._families[family]
            yield self.kinds[name]

    def _all(self) -> Iterator[OfferButton]:
        for group in (self.kept, *self.kinds.values()):
            yield from group

    def _connect(self, group: OfferGroup) -> None:
        for button in group:
            button.chosen.connect(self._on_chosen)
            button.taken_off.connect(self.shelf.take_off)
            button.passed.connect(lambda by, button=button: self._on_passed(button, by))
            button.reached.connect(lambda button=button: self._let_tab_stop_at(button))

    def _on_chosen(self, offer: Offer) -> None:
        """What was searched for is in the hand: everything is shown again."""
        self.search.clear()
        signal = self.part_chosen if isinstance(offer.specimen, Part) else self.run_chosen
        signal.emit(offer.specimen)

    def _on_shelf_changed(self, shelf: Shelf) -> None:
        had_keyboard = any(button.hasFocus() for button in self.kept)
        self.kept.refill(shelf_offered(shelf))
        self._connect(self.kept)
        self.set_theme(self._theme)
        gone = self.shelf.taken_off
        back = f"Put {gone.name} back" if gone is not None else ""
        room = WIDEST_PX + SYMBOL_PX
        self.back.setText(self.back.fontMetrics().elidedText(back, Qt.TextElideMode.ElideMiddle, room))
        self.back.setToolTip(back)
        self._on_searched(self.search.text())
        if had_keyboard:
            (self.back if gone is not None else self.search).setFocus(Qt.FocusReason.OtherFocusReason)

    def _on_searched(self, words: str) -> None:
        """Show what answers the search, and which of it Enter would choose."""
        for group in (self.kept, *self.kinds.values()):
            group.show_found(words)
        best = self._best(words)
        for button in self._all():
            button.mark(button is best)
        is_searched, can_put_back = bool(words.strip()), self.shelf.taken_off is not None
        self.back.setVisible(can_put_back and not is_searched)
        self._on_shelf.setVisible(bool(self.kept.buttons or can_put_back) and not is_searched)
        for heading in self._families.values():
            heading.setVisible(not is_searched)
        self.nothing.setVisible(is_searched and best is None)
        self._keep_a_stop()

    def _seen(self) -> list[OfferButton]:
        return [button for button in self._all() if button.isVisibleTo(self)]

    def _let_tab_stop_at(self, stop: OfferButton | None) -> None:
        for button in self._all():
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus if button is stop else Qt.FocusPolicy.ClickFocus)

    def _keep_a_stop(self) -> None:
        """One button in sight is a stop for Tab, whatever has been searched for or taken off."""
        seen = self._seen()
        stops = [button for button in seen if button.focusPolicy() == Qt.FocusPolicy.StrongFocus]
        self._let_tab_stop_at(next(iter([*stops, *seen]), None))

    def _on_passed(self, button: OfferButton, by: int) -> None:
        """To the next button in sight, or from the first one back to the search field."""
        seen = self._seen()
        number = seen.index(button) + by
        if number < 0:
            self.focus_search()
        elif number < len(seen):
            seen[number].setFocus(Qt.FocusReason.TabFocusReason)

    def _best(self, words: str) -> OfferButton | None:
        found = [(button.offer.rank(words), button) for button in self._all()] if words.strip() else []
        ranked = [(rank, button) for rank, button in found if rank is not None]
        return min(ranked, key=lambda pair: pair[0], default=(0, None))[1]

    def _on_entered(self) -> None:
        best = self._best(self.search.text())
        if best is not None:
            best.click()

    def _on_left_down(self) -> None:
        for first in self._seen()[:1]:
            first.setFocus(Qt.FocusReason.TabFocusReason)


def _soft(text: str) -> QLabel:
    label = QLabel(text)
    label.setProperty("tone", "soft")
    label.setFont(font(Type.SMALL))
    label.setContentsMargins(STEP, STEP // 2, 0, STEP // 4)
    return label

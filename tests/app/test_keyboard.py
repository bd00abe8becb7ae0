"""The keyboard reaches everything, in the order in which it is read, and it is always seen where it is.

One window is walked through once, every view of every bench, with Tab and with Shift+Tab; what was met is looked at
from several sides. That a control can be reached by keys alone, never holds them, shows that it has them, goes in the
order of reading and has a name is what the Web Content Accessibility Guidelines 2.2 ask (2.1.1, 2.1.2, 2.4.7, 2.4.3,
4.1.2).
"""

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRect, QSettings, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QGraphicsView,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QScrollBar,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from app.build_files import sample_build
from app.document import Document
from app.link_label import LinkLabel
from app.offer_button import OfferButton
from app.scroll_page import ScrollPage
from app.theme import Follow, themes
from app.window import MainWindow
from tests.app.conftest import PatientBot

NONE, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
BENCHES = ("Draw", "Flow", "Heat", "Failures", "Fill", "Compare", "Log")
CONTROLS = (QAbstractButton, QComboBox, QLineEdit, QAbstractItemView, QAbstractSlider, QAbstractSpinBox, QTabBar)
MOST_STOPS, MOST_LINKS = 150, 60
SEEN_PX, SEEN_STEP = 20, 24  # pixels that differ by more than this many of 255 levels


class Stop(NamedTuple):
    """A widget at which Tab stops, as it was then."""

    widget: QWidget
    view: str
    place: QRect  # in the bench, as if nothing were scrolled; elsewhere in the window
    differs_px: int  # with the keyboard and without


class View(NamedTuple):
    """One view of a bench, walked through."""

    name: str
    stops: list[Stop]
    back: list[QWidget]  # the stops of Shift+Tab
    missed: list[str]  # what can be used, and was not met
    unnamed: list[str]


def views_of(window: MainWindow) -> Iterator[str]:
    """Brings every view of the bench in view up."""
    tabs = getattr(window.bench.page, "views", None)
    if tabs is None:
        yield ""
    elif isinstance(tabs, QTabBar):
        for number in range(tabs.count()):
            tabs.setCurrentIndex(number)
            yield tabs.tabText(number)
    else:
        for name in tabs.names:
            tabs.show_view(name)
            yield name


def bars_round(widget: QWidget) -> list[QScrollBar]:
    """Of everything that scrolls a widget."""
    at, found = widget.parentWidget(), []
    while at is not None:
        found += [at.verticalScrollBar()] if isinstance(at, QScrollArea) else []
        at = at.parentWidget()
    return found


def unscrolled(widget: QWidget, window: MainWindow) -> QRect:
    within = window.bench if window.bench.isAncestorOf(widget) else window
    place = widget.mapTo(within, QPoint(0, sum(bar.value() for bar in bars_round(widget))))
    return QRect(place, widget.size())


def pixels(widget: QWidget, window: MainWindow) -> np.ndarray:
    place = QRect(widget.mapTo(window, QPoint(0, 0)), widget.size()).intersected(window.rect())
    image = window.grab(place).toImage().convertToFormat(QImage.Format.Format_RGB32)
    levels = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4)
    return levels[..., :3].astype(np.int16)


def difference(widget: QWidget, window: MainWindow) -> int:
    """How many pixels the keyboard changes in a widget."""
    bars, before = bars_round(widget), pixels(widget, window)
    places = [bar.value() for bar in bars]
    (window.bench.tabs if widget is window.plan else window.plan).setFocus()
    for bar, place in zip(bars, places, strict=True):
        bar.setValue(place)
    after = pixels(widget, window)
    widget.setFocus(Qt.FocusReason.TabFocusReason)
    return int((np.abs(before - after).max(axis=-1) > SEEN_STEP).sum())


def gone_on(key: Qt.Key) -> QWidget | None:
    """What has the keyboard after a key; in words with links, after as many as there are links."""
    before = QApplication.focusWidget()
    for _ in range(MOST_LINKS):
        QTest.keyClick(before, key)
        if QApplication.focusWidget() is not before:
            break
    return QApplication.focusWidget()


def name_of(widget: QWidget) -> str:
    """What a screen reader says: its own name, that of its label, or its words."""
    near = widget.parentWidget().findChildren(QLabel, options=Qt.FindChildOption.FindDirectChildrenOnly)
    labels = [label.text() for label in near if label.buddy() is widget]
    words = widget.text() if isinstance(widget, QAbstractButton | QLabel) else ""
    return widget.accessibleName() or next(iter(labels), "") or words


def told(widget: QWidget, window: MainWindow) -> str:
    return f"{type(widget).__name__} {name_of(widget)!r} at {unscrolled(widget, window).getRect()}"


def is_used(widget: QWidget, window: MainWindow) -> bool:
    """True for what a hand can do something with; not for pieces of such, which it goes through."""
    if not widget.isVisible() or not widget.isEnabled() or widget.window() is not window or widget.focusProxy():
        return False
    pieces = (QHeaderView, QScrollBar, OfferButton)  # arrows go from one offer to the next, and from view to view
    if isinstance(widget, QPushButton) and widget.group() is not None and not widget.isChecked():
        return False
    heard = any("mousePressEvent" in vars(each) or "mouseReleaseEvent" in vars(each) for each in ours(widget))
    return (isinstance(widget, CONTROLS) or heard) and not isinstance(widget, pieces)


def ours(widget: QWidget) -> list[type]:
    return [each for each in type(widget).__mro__ if each.__module__.startswith("app.")]


def walked(window: MainWindow, name: str, seen: dict[QWidget, int]) -> View:
    """Goes once round with Tab and once with Shift+Tab; `seen` keeps what each widget shows of the keyboard."""
    window.drawer.search.setFocus()
    first, stops = QApplication.focusWidget(), []
    while len(stops) < MOST_STOPS:
        widget = QApplication.focusWidget()
        if widget not in seen:
            seen[widget] = difference(widget, window)
        stops.append(Stop(widget, name, unscrolled(widget, window), seen[widget]))
        if gone_on(Qt.Key.Key_Tab) in (first, widget):
            break
    first.setFocus()
    back = [gone_on(Qt.Key.Key_Backtab) for _ in stops]
    met = {stop.widget for stop in stops}
    used = [each for each in window.findChildren(QWidget) if is_used(each, window)]
    plots = [each for each in window.findChildren(QGraphicsView) if each.isVisible()]
    return View(
        name,
        stops,
        back,
        [told(each, window) for each in used if each not in met],
        [told(each, window) for each in {*used, *met, *plots} if not name_of(each)],
    )


@pytest.fixture(scope="module")
def views(
    qapp: QApplication, request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[list[View]]:
    """Every view of every bench, walked through with keys in one window."""
    if not qapp.styleSheet():
        themes.followed = Follow.LIGHT
        themes.start(qapp)
    folder, qtbot = tmp_path_factory.mktemp("keyboard"), PatientBot(request)
    settings = QSettings(str(folder / "window.ini"), QSettings.Format.IniFormat)
    document = Document(sample_build("pier-camera"))
    window = MainWindow(document, settings, shelf=folder / "shelf.json", data=folder)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is window and window.bench.answer is not None)
    document.select({next(iter(document.layout.placements))})
    found: list[View] = []
    seen: dict[QWidget, int] = {}
    for bench in BENCHES:
        window.bench.show_bench(bench)
        qtbot.waitUntil(lambda: not window.bench.page.is_working)
        found += [walked(window, f"{bench} {view}".strip(), seen) for view in views_of(window)]
    yield found
    window.leave()
    window.deleteLater()


def test_tab_comes_round_through_every_view(views):
    assert len(views) == 26
    assert {view.name: len(view.stops) for view in views if not 12 <= len(view.stops) < MOST_STOPS} == {}


def test_shift_and_tab_go_the_same_way_back(views):
    assert [view.name for view in views if view.back[::-1] != [stop.widget for stop in view.stops]] == []


def test_nothing_is_left_to_the_mouse(views):
    assert {view.name: view.missed for view in views if view.missed} == {}


def test_everything_has_a_name_for_those_who_listen(views):
    assert {view.name: view.unnamed for view in views if view.unnamed} == {}


def test_it_is_seen_what_has_the_keyboard(views):
    dull = [stop for view in views for stop in view.stops if stop.differs_px < SEEN_PX]
    assert {(stop.view, type(stop.widget).__name__) for stop in dull} == set()


def test_the_order_on_the_benches_is_that_of_reading(views):
    """From the top down; a button that acts on fields may come after those that stand below it."""
    jumps = [
        (view.name, name_of(before.widget), before.place, name_of(after.widget), after.place)
        for view in views
        for before, after in pairwise(stops_on_bench(view))
        if after.place.bottom() < before.place.top() and not isinstance(after.widget, QPushButton)
        if not isinstance(before.widget, QPushButton)
    ]
    assert jumps == []


def stops_on_bench(view: View) -> list[Stop]:
    names = [stop.widget.accessibleName() for stop in view.stops]
    first = names.index("bench")
    last = next(number for number, stop in enumerate(view.stops) if type(stop.widget).__name__ == "_Figure")
    return view.stops[first:last]


def test_the_panes_follow_one_another_as_they_are_read(views):
    kinds = [type(stop.widget).__name__ for stop in views[0].stops]
    order = ["SearchLine", "OfferButton", "PlanView", "ElevationStrip", "QTabBar", "_Figure", "QToolButton"]
    assert [kinds.index(kind) for kind in order] == sorted(kinds.index(kind) for kind in order)


def test_one_key_goes_round_the_panes_and_back_to_where_it_was_in_each(window: MainWindow, qtbot):
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is window)
    panes = (window.plan, window.heights, window.bench, window.verdict, window.header, window.drawer)
    window.drawer.buttons["pump"].setFocus()
    window.plan.setFocus()
    for forwards in (True, False):
        for pane in (*panes[1:], panes[0]) if forwards else reversed(panes):
            QTest.keyClick(window, Qt.Key.Key_F6, NONE if forwards else SHIFT)
            assert QApplication.focusWidget() is pane or pane.isAncestorOf(QApplication.focusWidget())
            if pane is window.drawer:
                assert QApplication.focusWidget() is window.drawer.buttons["pump"]


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Space])
def test_return_on_an_answer_at_the_bottom_leads_to_its_bench(window: MainWindow, key: Qt.Key):
    window.bench.show_bench("Log")
    window.verdict.stopped.setFocus()
    QTest.keyClick(window.verdict.stopped, key)
    assert window.bench.name == "Failures"
    assert window.document.selection in ({"pump_a"}, {"pump_b"})


def test_tab_goes_from_link_to_link_and_return_follows_one(qtbot):
    followed: list[str] = []
    page = QWidget()
    column, label = QVBoxLayout(page), LinkLabel()
    label.setText("<a href='one'>One</a>, <a href='two'>two</a>")
    label.linkActivated.connect(followed.append)
    for widget in (QLineEdit(), label, QLineEdit()):
        column.addWidget(widget)
    qtbot.addWidget(page)
    page.show()
    page.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is page)
    for first, key in ((0, Qt.Key.Key_Tab), (2, Qt.Key.Key_Backtab)):
        column.itemAt(first).widget().setFocus()
        for _ in range(2):
            QTest.keyClick(QApplication.focusWidget(), key)
            QTest.keyClick(label, Qt.Key.Key_Return)
    assert followed == ["one", "two", "two", "one"]


def test_a_page_is_a_stop_only_while_there_is_something_to_scroll(qtbot):
    page = ScrollPage("page")
    inside = QWidget()
    inside.setFixedHeight(300)
    page.setWidget(inside)
    qtbot.addWidget(page)
    page.show()
    for height, policy in ((200, Qt.FocusPolicy.StrongFocus), (400, Qt.FocusPolicy.NoFocus)):
        page.resize(200, height)
        qtbot.waitUntil(lambda policy=policy: page.focusPolicy() == policy)

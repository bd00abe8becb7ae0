"""The window on small screens, and on screens that show everything larger: there it has fewer pixels of its own.

A screen of 1280 by 800 dots has room for 1024 by 640 at 125 %, 853 by 533 at 150 %, 731 by 457 at 175 % and 640 by 400
at 200 %.
"""

import os
import subprocess
import sys
from itertools import combinations, product

import pytest
from PySide6.QtCore import QPointF, QRect
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QTabBar

from app.build_files import sample_build
from app.document import Document
from app.plan import PlanView
from app.scroll_page import ScrollPage
from app.strip import ElevationStrip
from app.theme import LIGHT, Type, font
from app.window import MainWindow
from tests.app.test_keyboard import BENCHES

SIZES = {"100 %": (1280, 800), "125 %": (1024, 640), "150 %": (853, 533), "175 %": (731, 457), "200 %": (640, 400)}


@pytest.fixture
def small_window(make_window, qtbot) -> MainWindow:
    window = make_window(sample_build("pier-camera"))
    qtbot.waitUntil(lambda: window.bench.answer is not None)
    return window


def test_no_bench_is_cut_at_its_side_on_any_screen(small_window: MainWindow, qtbot):
    for bench, size in product(BENCHES, (SIZES[scale] for scale in ("100 %", "125 %", "200 %"))):
        small_window.bench.show_bench(bench)
        small_window.resize(*size)
        qtbot.waitUntil(lambda: [page for page in small_window.findChildren(ScrollPage) if is_cut(page)] == [])
        assert (small_window.width(), small_window.height()) == size
        assert small_window.rect().contains(QRect(small_window.verdict.pos(), small_window.verdict.size()))


def is_cut(page: ScrollPage) -> bool:
    return page.isVisible() and page.widget().width() > page.viewport().width()


def test_every_bench_has_its_tab_in_sight_in_the_smallest_window(small_window: MainWindow, qtbot):
    small_window.resize(*SIZES["200 %"])
    tabs: QTabBar = small_window.bench.tabs
    qtbot.waitUntil(lambda: tabs.rect().contains(tabs.tabRect(tabs.count() - 1)))
    right = tabs.mapTo(small_window, tabs.rect().topRight()).x()
    assert right < small_window.width()


def test_the_drawer_gives_way_in_a_narrow_window_and_comes_back_for_a_search(small_window: MainWindow):
    assert small_window.drawer.isVisible()
    small_window.resize(*SIZES["150 %"])
    assert not small_window.drawer.isVisible()
    small_window.drawer.focus_search()
    assert small_window.drawer.isVisible()
    small_window.resize(*SIZES["175 %"])
    assert small_window.drawer.isVisible(), "only becoming narrow puts it away"
    small_window.resize(*SIZES["125 %"])
    assert small_window.drawer.isVisible()


def test_the_whole_enclosure_is_seen_on_every_screen(small_window: MainWindow, qtbot):
    plan = small_window.plan
    room = plan.enclosure
    corners = QPointF(0.0, 0.0), QPointF(room.length_mm, -room.width_mm)

    def is_seen() -> bool:
        return all(plan.viewport().rect().contains(plan.to_pixel(each).toPoint()) for each in corners)

    for size in SIZES.values():
        small_window.resize(*size)
        qtbot.waitUntil(is_seen)


@pytest.mark.parametrize("width", [1280, 640, 420, 300])
def test_names_in_the_strip_never_run_into_one_another(document: Document, qtbot, width: int):
    strip, written = ElevationStrip(document, LIGHT), []
    qtbot.addWidget(strip)
    strip.resize(width, 180)
    room = QFontMetricsF(font(Type.SMALL))

    class Painter:
        def setFont(self, _: object) -> None: ...  # noqa: N802
        def setPen(self, _: object) -> None: ...  # noqa: N802
        def font(self) -> object:
            return font(Type.SMALL)

        def drawText(self, at, text) -> None:  # noqa: N802
            written.append((at.y(), at.x(), at.x() + room.horizontalAdvance(text)))

    strip._paint_names(Painter())
    assert written
    pairs = [(a, b) for a, b in combinations(written, 2) if a[0] == b[0]]
    assert all(a[2] <= b[1] or b[2] <= a[1] for a, b in pairs)


@pytest.mark.parametrize("height", [110, 130, 180])
def test_a_low_strip_has_fewer_rows_of_names_and_keeps_its_heights_apart(document: Document, qtbot, height: int):
    strip = ElevationStrip(document, LIGHT)
    qtbot.addWidget(strip)
    strip.resize(420, height)
    assert strip.y_of(0.0) - strip.top >= 40


def test_large_answers_become_plain_together_before_one_is_cut(window: MainWindow, qtbot):
    figures = (window.verdict.flow, window.verdict.stopped, window.verdict.warnings)
    window.verdict.warnings.value.set_whole("up to 144 mL of air stay")
    for width, size in ((1280, Type.LARGE), (800, Type.PLAIN)):
        window.resize(width, 700)
        qtbot.waitUntil(lambda size=size: all(each.value.font() == font(size, bold=True) for each in figures))
        assert window.verdict.warnings.value.text() == "up to 144 mL of air stay"


@pytest.mark.parametrize("width", [240, 300, 600])
def test_the_words_at_the_scale_bar_are_never_cut(document: Document, qtbot, width: int):
    plan = PlanView(document, LIGHT)
    qtbot.addWidget(plan)
    plan.resize(width, 400)
    plan.fit()
    plan.grab()
    assert plan.viewport().rect().adjusted(0, 0, 1, 1).contains(plan.height_words.toAlignedRect())


def test_everything_is_drawn_with_the_screens_own_dots():
    """At 150 % a symbol of 22 px is drawn with 33 dots, not with 22 that are then blown up."""
    said = subprocess.run(
        [sys.executable, "-c", SHARP],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "QT_SCALE_FACTOR": "1.5"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.split() == ["1.5", "33"]


SHARP = """
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication
application = QApplication([])
from app.offer_button import SYMBOL_PX
from app.symbols import symbol_icon
from app.theme import LIGHT
ratio = application.primaryScreen().devicePixelRatio()
picture = symbol_icon("pump", LIGHT.ink, (16, 24, SYMBOL_PX, 48)).pixmap(QSize(SYMBOL_PX, SYMBOL_PX), ratio)
print(ratio, picture.width())
"""

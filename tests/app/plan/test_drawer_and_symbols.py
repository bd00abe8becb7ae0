"""Every kind has its symbol, and stands in the drawer."""

import re
from html import escape
from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtTest import QTest

import icons
from app.drawer import Drawer
from app.offer_button import OfferButton, mime_of, part_in
from app.shelf import OpenShelf
from app.symbols import paint_symbol, symbol_icon
from app.theme import DARK, LIGHT
from loopsim.parts import KINDS, TubeRun
from tests.pictures.symbols import sheet

PLACED = {**KINDS, "tube_run": TubeRun}


@pytest.fixture
def drawer(qtbot, tmp_path):
    column = Drawer(OpenShelf(tmp_path / "shelf.json"), LIGHT)
    qtbot.addWidget(column)
    column.show()
    return column


@pytest.mark.parametrize("symbol", sorted({record.symbol for record in PLACED.values()}))
def test_every_kind_has_a_drawing_that_loads(symbol, qapp):  # noqa: ARG001
    assert QSvgRenderer(icons.svg(symbol).encode()).isValid()


def test_no_drawing_is_left_over():
    assert set(icons.names()) == {record.symbol for record in PLACED.values()}


@pytest.mark.parametrize("name", icons.names())
def test_drawings_are_on_one_square_and_know_no_colour_of_their_own(name):
    text = icons.svg(name)
    assert 'viewBox="0 0 48 48"' in text
    assert set(re.findall(r'(?:stroke|fill)="([^"]+)"', text)) <= {"none", "currentColor"}


@pytest.mark.parametrize("name", icons.names())
@pytest.mark.parametrize("size", [16, 24, 48])
def test_symbols_are_tinted_and_leave_ink_at_every_size(name, size, qapp):  # noqa: ARG001
    image = QImage(size, size, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    paint_symbol(painter, name, LIGHT.rust, QRectF(0, 0, size, size))
    painter.end()
    pixels = [image.pixelColor(x, y) for x in range(size) for y in range(size)]
    strong = [pixel for pixel in pixels if pixel.alpha() > 200]
    assert 0.04 < len([pixel for pixel in pixels if pixel.alpha() > 60]) / size**2 < 0.7
    assert strong
    assert all(abs(pixel.hue() - LIGHT.rust.hue()) < 8 for pixel in strong)


def test_an_icon_has_each_size_asked_for(qapp):  # noqa: ARG001
    assert not symbol_icon("pump", LIGHT.ink).pixmap(48, 48).isNull()


def test_an_unknown_symbol_is_an_error():
    with pytest.raises(FileNotFoundError):
        icons.svg("no such symbol")


def test_the_drawer_lists_every_kind_and_the_tube_run_by_its_title(drawer):
    assert {kind: button.text() for kind, button in drawer.buttons.items()} == {
        kind: record.title for kind, record in PLACED.items()
    }


def test_buttons_are_tall_enough_and_have_a_tip(drawer):
    for kind, button in drawer.buttons.items():
        assert button.height() >= 24
        assert escape(PLACED[kind].help.split(".")[0]) in button.toolTip()


def test_tab_stops_at_one_button_and_arrows_go_from_each_to_the_next(drawer):
    seen = [button for button in drawer.findChildren(OfferButton) if button.isVisible()]
    assert [button for button in seen if button.focusPolicy() & Qt.FocusPolicy.TabFocus] == seen[:1]
    drawer.search.setFocus()
    QTest.keyClick(drawer.search, Qt.Key.Key_Tab)
    met = [drawer.focusWidget()]
    for _ in seen:
        QTest.keyClick(met[-1], Qt.Key.Key_Down)
        met.append(drawer.focusWidget())
    assert met == [*seen, seen[-1]]
    assert [button for button in seen if button.focusPolicy() & Qt.FocusPolicy.TabFocus] == seen[-1:]
    for button in reversed(seen):
        QTest.keyClick(button, Qt.Key.Key_Up)
    assert drawer.focusWidget() is drawer.search


def test_a_search_leaves_a_button_at_which_tab_stops(drawer):
    drawer.buttons["pump"].setFocus()
    drawer.search.setText("reservoir")
    stops = [each for each in drawer.findChildren(OfferButton) if each.focusPolicy() & Qt.FocusPolicy.TabFocus]
    assert stops == [drawer.buttons["reservoir"]]


def test_a_click_or_a_key_chooses_a_kind(drawer, qtbot):
    with qtbot.waitSignal(drawer.part_chosen) as chosen:
        QTest.mouseClick(drawer.buttons["block"], Qt.MouseButton.LeftButton)
    assert chosen.args == [KINDS["block"](id="block", name="block")]
    with qtbot.waitSignal(drawer.run_chosen) as chosen:
        QTest.keyClick(drawer.buttons["tube_run"], Qt.Key.Key_Space)
    assert chosen.args == [None]


@pytest.mark.parametrize("kind", KINDS)
def test_a_dragged_part_is_known_again_where_it_is_dropped(kind):
    part = KINDS[kind](id="x", name="X")
    assert part_in(mime_of(part)) == part


def test_the_drawer_changes_its_ink_with_the_theme(drawer):
    light = drawer.buttons["pump"].icon().pixmap(48, 48).toImage()
    drawer.set_theme(DARK)
    assert drawer.buttons["pump"].icon().pixmap(48, 48).toImage() != light


def _inked(name: str, size: int) -> np.ndarray:
    """How much ink is on each pixel of a symbol, 0 to 1, shape (size, size)."""
    image = QImage(size, size, QImage.Format.Format_Grayscale8)
    image.fill(0)
    painter = QPainter(image)
    paint_symbol(painter, name, QColor("white"), QRectF(0, 0, size, size))
    painter.end()
    return np.frombuffer(image.constBits(), np.uint8).reshape(size, -1)[:, :size] / 255.0


def test_no_two_symbols_look_alike_in_the_smallest_size(qapp):  # noqa: ARG001
    """Of two symbols at least half of the ink of the paler one lies elsewhere."""
    drawn = {name: _inked(name, 16) for name in icons.names()}
    for one, other in combinations(drawn, 2):
        differs = np.abs(drawn[one] - drawn[other]).sum() / min(drawn[one].sum(), drawn[other].sum())
        assert differs > 0.5, (one, other)


def test_the_contact_sheet_holds_every_symbol_light_and_dark(qapp):  # noqa: ARG001
    found = sheet()
    rows = -(-len(icons.names()) // 4)
    assert found.height() >= 2 * rows * (64 + 18)
    assert found.pixelColor(1, 1) == LIGHT.paper
    assert found.pixelColor(1, found.height() - 1) == DARK.paper

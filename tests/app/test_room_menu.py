"""The Room menu by keys: a drawing is laid under the plan, scaled, dimmed, held and taken away."""

from pathlib import Path

import ezdxf
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from app.window import MainWindow
from loopsim.build import Build, Enclosure
from tests.app.plan.conftest import Mouse

SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="96mm" height="48mm" viewBox="0 0 96 48">
<rect x="10" y="10" width="60" height="20" fill="#000"/></svg>"""


@pytest.fixture
def empty(make_window) -> MainWindow:
    window = make_window(Build(name="Room", enclosure=Enclosure(length_mm=900, width_mm=550)))
    window.resize(1280, 800)
    window.plan.fit()
    return window


@pytest.fixture
def drawn(tmp_path: Path, request) -> Path:
    path = tmp_path / f"a.{request.param}"
    if request.param == "png":
        image = QImage(200, 100, QImage.Format.Format_RGB32)
        image.fill(QColor("#336699"))
        image.save(str(path))
    elif request.param == "svg":
        path.write_text(SVG)
    else:
        drawing = ezdxf.new(units=ezdxf.units.MM)
        drawing.modelspace().add_lwpolyline([(0, 0), (600, 0), (600, 300), (0, 300)], close=True)
        drawing.saveas(path)
    return path


def room_menu(window: MainWindow) -> QMenu:
    return next(each.menu() for each in window.menuBar().actions() if each.text() == "&Room")


def choose(window: MainWindow, key: Qt.Key) -> None:
    menu = room_menu(window)
    menu.popup(window.mapToGlobal(QPoint(100, 40)))
    QTest.keyClick(menu, key)


def command(window: MainWindow, words: str):
    menu = room_menu(window)
    menu.aboutToShow.emit()
    return next(each for each in menu.actions() if words in each.text().replace("&", ""))


@pytest.mark.parametrize("drawn", ["png", "svg", "dxf"], indirect=True)
def test_a_drawing_is_laid_dimmed_held_and_taken_away_by_keys(empty: MainWindow, answers, drawn: Path):
    document, answers.path = empty.document, drawn
    choose(empty, Qt.Key.Key_L)
    empty.plan.cancel()
    laid = document.layout.background
    assert Path(laid.source) == drawn
    choose(empty, Qt.Key.Key_I)
    assert document.layout.background.dim_percent == laid.dim_percent + 20
    choose(empty, Qt.Key.Key_B)
    assert not command(empty, "Hold it").isChecked()
    choose(empty, Qt.Key.Key_D)
    assert document.layout.background.locked
    assert command(empty, "Hold it").isChecked()
    choose(empty, Qt.Key.Key_T)
    assert document.layout.background is None


def test_without_a_drawing_nothing_is_done_to_one(empty: MainWindow):
    assert not command(empty, "Take it away").isEnabled()
    assert not command(empty, "Hold it").isEnabled()
    assert command(empty, "Lay a drawing").isEnabled()


@pytest.mark.parametrize("drawn", ["png"], indirect=True)
def test_a_picture_is_scaled_by_two_clicks_and_a_length_right_after_it_was_laid(empty, answers, drawn: Path):
    answers.path = drawn
    choose(empty, Qt.Key.Key_L)
    mouse = Mouse(empty.plan)
    mouse.click(100, 100)
    mouse.click(300, 100)
    QTest.keyClicks(empty.plan, "400")
    QTest.keyClick(empty.plan, Qt.Key.Key_Return)
    assert empty.document.layout.background.mm_per_unit == pytest.approx(9.0, rel=0.02)  # 900 mm on 200 px, doubled


@pytest.mark.parametrize(("key", "kind"), [(Qt.Key.Key_H, "hole"), (Qt.Key.Key_G, "grille")])
def test_openings_are_cut_from_the_menu_with_a_click_at_the_wall(empty: MainWindow, key, kind):
    choose(empty, key)
    Mouse(empty.plan).click(300, 545)
    (made,) = empty.document.build.enclosure.openings
    assert (made.kind, made.wall) == (kind, "back")


def test_a_space_is_reserved_from_the_menu_with_a_drag(empty: MainWindow):
    choose(empty, Qt.Key.Key_R)
    Mouse(empty.plan).drag((100, 100), (200, 160))
    (space,) = empty.document.layout.reserved
    assert (space.length_mm, space.width_mm) == (100, 60)

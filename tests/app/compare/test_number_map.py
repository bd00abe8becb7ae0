"""Contours and words of a map, on figures that follow a plain formula."""

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.compare.map_plot import MapPlot
from app.compare.number_map import NumberMap

X, Y = np.linspace(0.0, 10.0, 41), np.linspace(0.0, 5.0, 31)


def sloping(now: tuple[float, float] = (4.0, 1.0), gap: bool = False) -> NumberMap:
    """A map of 2 x + 3 y, from 0 to 35."""
    z = 2 * X[:, None] + 3 * Y[None, :]
    if gap:
        z[:5, :5] = np.nan
    return NumberMap(X, Y, z, ("x, m", "y, m", "z, m"), (0.0, 35.0), now)


@pytest.fixture
def plot(qtbot: QtBot) -> MapPlot:
    made = MapPlot("map")
    qtbot.addWidget(made)
    made.resize(420, 320)
    return made


@pytest.mark.parametrize("gap", [False, True])
def test_contours_run_where_the_figure_has_their_value(gap: bool):
    contours = sloping(gap=gap).contours()
    assert {each.value for each in contours} >= {10.0, 20.0, 30.0}
    for each in contours:
        np.testing.assert_allclose(2 * each.places[:, 0] + 3 * each.places[:, 1], each.value, atol=1e-9)


def test_words_say_the_extremes_and_whether_the_build_lies_within():
    assert sloping().words() == "Lowest 0 at 0 and 0; highest 35 at 10 and 5. The ring marks what it is now, 4 and 1."
    outside = sloping(now=(12.0, 1.0), gap=True)
    assert not outside.holds_now
    assert "Now, at 12 and 1, it lies outside. Blank where" in outside.words()


def test_a_map_that_is_level_or_empty_has_no_contours():
    level = sloping()._replace(z=np.full((41, 31), 7.0), ends=(7.0, 7.0))
    assert level.contours() == []
    assert level.share(7.0) == 0.5
    empty = sloping()._replace(z=np.full((41, 31), np.nan), ends=(np.nan, np.nan))
    assert empty.contours() == []
    assert empty.words() == ""


def test_fine_cells_bear_contours_with_figures_and_coarse_ones_their_own(plot: MapPlot):
    plot.show_map(sloping())
    plot.grab()
    assert set(plot.figures) <= {f"{each.value:.0f}" for each in sloping().contours()}
    assert len(plot.figures) >= 3
    fine = sloping()
    plot.show_map(fine._replace(x=X[::10], y=Y[::10], z=fine.z[::10, ::10]))
    plot.grab()
    assert plot.figures == [f"{value:.0f}" for value in fine.z[::10, ::10].ravel()]


def test_a_cell_says_its_point_where_the_pointer_rests(plot: MapPlot):
    plot.show_map(sloping())
    first = next(plot._cells())[2]
    assert plot.words_at(first.center()) == "x, m: 0\ny, m: 0\nz, m: 0"
    assert plot.words_at(QPointF(1.0, 1.0)) == ""


def test_arrow_keys_go_from_cell_to_cell_and_stop_at_the_edge(plot: MapPlot):
    plot.show_map(sloping())
    places = ("0", "0"), ("0.25", "0"), ("0.25", "0.1667"), ("0", "0.1667"), ("0", "0.1667")
    for key, (x, y) in zip(("Right", "Right", "Up", "Left", "Left"), places, strict=True):
        QTest.keyClick(plot, getattr(Qt.Key, f"Key_{key}"))
        assert plot.accessibleDescription().startswith(f"x, m: {x}\ny, m: {y}\n")

"""Axes in the builder's units: round figures where they belong, whatever the unit that the values are in.

Factors: NIST Special Publication 811, appendix B.
"""

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.axis_ends import round_end
from app.compare.range_row import RangeRow
from app.compare.subjects import Subject
from app.compare.sweeping import Asked, lines_of, maps_of
from app.drawn_axes import DrawnAxes
from app.measures import System, measures
from loopsim.build import Build
from loopsim.studies import FIGURES, SweepPoint, Variation
from loopsim.studies.varying import parameter

FOOT, GALLON = 0.3048, 3.785411784e-3
BOX = QRectF(0, 0, 400, 300)
FLOW = next(figure for figure in FIGURES if figure.key == "flow_l_h")


@pytest.mark.usefixtures("customary")
def test_distances_are_round_in_feet_and_stand_where_they_are() -> None:
    axes = DrawnAxes("distance", "head", "m", "m")
    axes.fit(0.0, 3.0, 5.27, BOX)
    ticks = {figure: axes.x(value) for value, figure in axes.ticks()}
    assert list(ticks) == ["0", "5", "10", "15"]
    assert ticks["10"] == pytest.approx(axes.x(10 * FOOT))
    assert all(value == pytest.approx(float(figure) * FOOT) for value, figure in axes.levels())


@pytest.mark.usefixtures("customary")
def test_temperatures_are_round_in_fahrenheit() -> None:
    axes = DrawnAxes("distance", "coolant", "m", "c")
    axes.fit(20.0, 40.0, 1.0, BOX)
    levels = {figure: value for value, figure in axes.levels()}
    assert set(levels) >= {"70", "80", "90", "100"}
    assert levels["80"] == pytest.approx((80 - 32) * 5 / 9)


def test_in_si_the_values_are_shown_as_they_are() -> None:
    axes = DrawnAxes("time, min", "temperature", up_unit="c")
    axes.fit(20.0, 40.0, 12.0, BOX)
    assert all(float(figure) == pytest.approx(value) for value, figure in (*axes.ticks(), *axes.levels()))


def test_a_level_below_zero_has_a_true_minus() -> None:
    axes = DrawnAxes("", "")
    axes.fit(-3.0, 3.0, 1.0, BOX)
    assert [figure for _, figure in axes.levels()] == ["−2", "0", "2"]


@pytest.mark.parametrize("largest", np.geomspace(0.013, 4700.0, 41))
def test_what_an_axis_writes_is_where_its_lines_stand(qtbot: QtBot, largest: float) -> None:
    holder = QWidget()
    qtbot.addWidget(holder)
    end = round_end(largest)
    places = end.step * np.arange(round(end.end / end.step) + 1)
    written = pg.AxisItem("left").tickStrings(places, 1.0, end.step)
    assert [float(each) for each in written] == pytest.approx(list(places))
    assert 2 <= len(places) - 1 <= 6


def swept(sample: Build, references: tuple[str, ...], values: tuple[tuple[float, ...], ...]) -> Asked:
    name = sample.layouts[0].name
    variations = tuple(Variation(*each) for each in zip(references, values, strict=True))
    return Asked((Subject(sample, name),), variations, tuple(parameter(sample, each, name) for each in references))


@pytest.mark.usefixtures("customary")
def test_a_sweep_is_drawn_in_the_builders_units(sample: Build) -> None:
    asked = swept(sample, ("ambient.temperature_c",), ((20.0, 30.0),))
    points = {0: [SweepPoint((value,), {"flow_l_h": 0.3e-3 * number}) for number, value in enumerate((20.0, 30.0), 1)]}
    (line,) = lines_of(asked, points, FLOW)
    assert asked.headings == ("room temperature, °F",)
    np.testing.assert_allclose(line.x, [68.0, 86.0])
    np.testing.assert_allclose(line.y, np.array([0.3e-3, 0.6e-3]) * 60 / GALLON)


@pytest.mark.usefixtures("customary")
def test_a_map_is_drawn_in_the_builders_units(sample: Build) -> None:
    references = ("ambient.temperature_c", "pump_a.speed_percent")
    asked = swept(sample, references, ((20.0, 30.0), (50.0, 100.0)))
    points = {0: [SweepPoint((), {"flow_l_h": flow}) for flow in (1e-3, 2e-3, 3e-3, 4e-3)]}
    (shown,) = maps_of(asked, points, FLOW)
    assert shown.captions == ("room temperature, °F", "Pump A speed, %", "flow, US gal/min")
    np.testing.assert_allclose(shown.x, [68.0, 86.0])
    np.testing.assert_allclose(shown.y, [50.0, 100.0])
    assert shown.ends == pytest.approx((1e-3 * 60 / GALLON, 4e-3 * 60 / GALLON))
    assert shown.now[0] == pytest.approx(9 / 5 * sample.ambient.temperature_c + 32)


def test_a_range_is_typed_in_the_builders_units_and_follows_them(qtbot: QtBot, sample: Build) -> None:
    row = RangeRow("number that is varied")
    qtbot.addWidget(row)
    numbers = [parameter(sample, each) for each in ("pump_a.speed_percent", "ambient.temperature_c")]
    row.offer(numbers)
    row.which.setCurrentIndex(1)
    measures.choose(System.CUSTOMARY)
    try:
        assert row.which.currentText() == "room temperature, °F"
        row.first.setText("68")
        row.last.setText("30 °C")
        row.count.setText("3")
        assert row.variation(sample).values == pytest.approx((20.0, 25.0, 30.0))
    finally:
        measures.choose(System.SI)
    assert row.which.currentText() == "room temperature, °C"
    suggested = [float(editor.text()) for editor in (row.first, row.last)]
    assert np.mean(suggested) == pytest.approx(sample.ambient.temperature_c)

"""The plot: its labels, its axes, and that nothing is built anew while a part is dragged."""

from dataclasses import replace

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from app.answer import Answer
from app.axis_ends import End, round_end
from app.curve_panel import CurvePanel
from app.curve_plot import CurvePlot
from app.label_places import Box, Wanted, along, around, place
from app.theme import Follow, themes
from loopsim import studies
from loopsim.build import Build, edits
from loopsim.studies import CurveLine, PumpPlot, StoppedCase
from loopsim.units import to_si


@pytest.fixture
def plot(qtbot: QtBot) -> CurvePlot:
    made = CurvePlot()
    qtbot.addWidget(made)
    made.resize(460, 360)
    with qtbot.waitExposed(made):
        made.show()
    return made


def line(label: str, head: float, reach_l_h: float = 480.0, sure_l_h: float | None = None) -> CurveLine:
    flow = np.linspace(0.0, to_si(reach_l_h, "l_h"), 41)
    sure = None if sure_l_h is None else to_si(sure_l_h, "l_h")
    return CurveLine(label, flow, head * (1 - np.linspace(0.0, 1.0, 41) ** 2), sure)


def loop() -> CurveLine:
    flow = np.linspace(0.0, to_si(480.0, "l_h"), 41)
    return CurveLine("loop", flow, 12.0 * np.linspace(0.0, 1.0, 41) ** 1.8)


def two_pumps(**changes) -> PumpPlot:
    """Two pumps in series with invented curves; each stopped alike unless changed."""
    cases = tuple(
        StoppedCase(pump, name, line(f"{name} stopped", 4.0, 320.0), loop(), to_si(162.0, "l_h"), 3.0)
        for pump, name in (("a", "Pump A"), ("b", "Pump B"))
    )
    values = {
        "pumps": ("a", "b"),
        "combined": line("both pumps", 8.0, sure_l_h=400.0),
        "system": loop(),
        "each": (line("Pump A alone", 4.0), line("Pump B alone", 4.0)),
        "flow": to_si(235.0, "l_h"),
        "head": 6.0,
        "stopped": cases,
    }
    return PumpPlot(**{**values, **changes})


def test_cases_that_leave_the_same_share_one_label(plot: CurvePlot):
    plot.show_plot(two_pumps())
    assert "either pump stopped: 162 L/h" in plot.label_texts()
    assert "both run: 235 L/h" in plot.label_texts()
    assert "each pump alone" in plot.label_texts()


def test_cases_that_differ_are_named_one_by_one(plot: CurvePlot):
    first, second = two_pumps().stopped
    other = StoppedCase("b", "Pump B", line("Pump B stopped", 3.0, 250.0), loop(), to_si(140.0, "l_h"), 2.4)
    plot.show_plot(two_pumps(stopped=(first, other)))
    assert "Pump A stopped: 162 L/h" in plot.label_texts()
    assert "Pump B stopped: 140 L/h" in plot.label_texts()
    assert second.stopped == "b"


def test_the_flow_bench_shows_no_stopped_case(qtbot: QtBot):
    plot = CurvePlot(shows_stopped=False)
    qtbot.addWidget(plot)
    plot.show_plot(two_pumps())
    assert not [text for text in plot.label_texts() if "stopped" in text]


def test_items_are_filled_anew_and_never_rebuilt(plot: CurvePlot, sample: Build):
    plots = [
        studies.pump_plots(edits.change_placement(sample, sample.layouts[0].name, "pump_a", speed_percent=speed).build)[
            0
        ]
        for speed in (100.0, 95.0, 90.0)
    ]
    plot.show_plot(plots[0])
    items = set(plot._item.items)
    plot.show_plot(plots[1])
    grown = set(plot._item.items)
    plot.show_plot(plots[2])
    assert items <= grown == set(plot._item.items)


def test_the_estimated_part_of_a_curve_is_a_dashed_stroke_that_meets_the_sure_one(plot: CurvePlot):
    plot.show_plot(two_pumps())
    sure, guess = plot._strokes["combined"], plot._strokes["combined, beyond the data"]
    assert sure.x[-1] == guess.x[0] == pytest.approx(400.0)
    assert sure.y[-1] == guess.y[0]
    assert guess.x[-1] == pytest.approx(480.0)


def test_older_curves_are_dimmed_and_say_so(plot: CurvePlot):
    shown = two_pumps()
    plot.show_plot(shown, old=True)
    assert plot._view.opacity() < 1
    assert "before" in plot._head_words.text()
    plot.show_plot(shown)
    assert plot._view.opacity() == 1


def test_labels_do_not_cover_one_another(plot: CurvePlot, sample: Build):
    for layout in sample.layouts:
        plot.show_plot(studies.pump_plots(sample, layout.name)[0])
        boxes = [label.sceneBoundingRect() for label in plot._labels if label.isVisible()]
        for number, box in enumerate(boxes):
            assert not any(box.intersects(other) for other in boxes[number + 1 :]), layout.name


def test_axes_run_from_zero_to_round_ends(plot: CurvePlot):
    plot.show_plot(two_pumps())
    assert plot._ends == (End(500.0, 100.0), End(10.0, 2.0))


def test_a_theme_changes_the_inks_of_what_is_drawn(plot: CurvePlot):
    plot.show_plot(two_pumps())
    themes.follow(Follow.DARK)
    pen = plot._strokes["combined"]._line.opts["pen"]
    assert pen.color() == themes.current.liquid


def test_a_plot_that_goes_away_leaves_nothing_behind(plot: CurvePlot):
    plot.show_plot(two_pumps())
    plot.show_plot(None)
    assert plot.label_texts() == []
    assert all(len(stroke.x) == 0 for stroke in plot._strokes.values())


@pytest.mark.parametrize(
    ("largest", "end", "step"), [(480.0, 500.0, 100.0), (4.1, 5.0, 1.0), (8.2, 10.0, 2.0), (0.03, 0.04, 0.01)]
)
def test_ends_are_round_numbers_with_a_few_steps(largest: float, end: float, step: float):
    made = round_end(largest)
    assert made.end == pytest.approx(end)
    assert made.step == pytest.approx(step)


def test_an_end_stays_while_the_values_fill_half_of_it():
    now = End(500.0, 100.0)
    assert round_end(300.0, now) == now
    assert round_end(200.0, now) != now
    assert round_end(501.0, now).end > 500.0


def test_an_axis_without_values_has_an_end_all_the_same():
    assert round_end(0.0).end > 0
    assert round_end(float("nan")).end > 0


def test_a_label_avoids_the_line_that_runs_through_its_first_place():
    through = np.array([[0.0, 90.0], [400.0, 90.0]])
    (box,) = place([Wanted(80.0, 14.0, around(100.0, 100.0, 80.0, 14.0))], [through], Box(0, 0, 400, 300))
    assert box.holds(np.column_stack([np.arange(0.0, 400.0), np.full(400, 90.0)])) == 0


def test_a_label_stays_within_the_plot():
    line_to_the_edge = np.array([[0.0, 0.0], [395.0, 5.0]])
    (box,) = place([Wanted(80.0, 14.0, along(line_to_the_edge, 80.0, 14.0, 1.0))], [], Box(0, 0, 400, 300))
    assert 0 <= box.left <= 320
    assert 0 <= box.top <= 286


def test_the_band_of_the_pumps_is_shaded_and_named(plot: CurvePlot):
    shown = two_pumps()
    plot.show_plot(shown, tolerance=0.1)
    for share, inside in ((0.85, False), (0.95, True), (1.05, True), (1.15, False)):
        assert plot.band.holds(120.0, share * 7.5) is inside  # a parabola from 8 m has 7.5 m at a quarter of its flow
    assert plot._band_words.text() == "shaded: ±10 % of the head"
    plot.show_plot(None)
    assert not plot.band.holds(120.0, 7.5)
    assert plot._band_words.text() == ""


def test_what_the_loop_may_ask_for_is_shaded_too(plot: CurvePlot):
    asked = loop()
    shown = two_pumps(system=replace(asked, band=0.2 * asked.head))
    plot.show_plot(shown)
    needed = 12.0 * 0.25**1.8  # at a quarter of the flow
    for share, inside in ((0.75, False), (0.85, True), (1.15, True), (1.25, False)):
        assert plot.system_band.holds(120.0, share * needed) is inside
    assert plot._band_words.text() == "shaded: what 95 of 100 loops ask for"
    plot.show_plot(two_pumps())
    assert not plot.system_band.holds(120.0, needed)


def test_the_panel_takes_the_widest_band_of_its_pumps(qtbot: QtBot, sample: Build):
    narrow = edits.change_part(
        sample, "pump_a", curve={**dict(sample.part("pump_a").curve), "relative_tolerance": 0.03}
    )
    layout = narrow.build.layouts[0]
    panel = CurvePanel(shows_stopped=True)
    qtbot.addWidget(panel)
    plots = studies.pump_plots(narrow.build, layout.name)
    panel.show_answer(Answer(1, layout.name, None, plots), narrow.build)
    assert panel.plot.tolerance == sample.part("pump_b").curve.relative_tolerance

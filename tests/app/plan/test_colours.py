"""The plan by temperature, pressure or velocity, in colours and in words, and the air with its arrows."""

import math
from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest

from app.answer import Answer, CaseHeat
from app.document import Document
from app.plan import PlanView
from app.plan.air_arrows import air_arrows, space_words
from app.plan.handles import Hit
from app.plan.tint import Quantity, Tint, arrow_colour, colour_at, tint_of
from app.plan.tips import tip
from app.theme import DARK, LIGHT
from loopsim.build import edits
from loopsim.studies import HeatPoint, air_flows, heat_point, operating_point
from tests.studies.test_heat import LAYOUT, machine


@pytest.fixture
def heat() -> HeatPoint:
    return heat_point(edits.move(machine(load=400.0), LAYOUT, "radiator", 800, 300).build)


@pytest.fixture
def answer(heat: HeatPoint) -> Answer:
    build = heat.point.build
    return Answer(
        build.revision, LAYOUT, operating_point(build), heat=(CaseHeat(heat),), heat_revision=build.revision
    )  # fmt: skip


@pytest.fixture
def shown(qtbot, answer: Answer) -> PlanView:
    view = PlanView(Document(answer.point.build), LIGHT)
    qtbot.addWidget(view)
    view.resize(1100, 700)
    with qtbot.waitExposed(view):
        view.show()
    view.fit()
    view.set_answer(answer)
    view.legend.choose(Quantity.TEMPERATURE)
    view.grab()
    return view


def test_colours_rise_evenly_in_lightness_from_end_to_end():
    """A perceptually uniform map: equal steps of the value are nearly equal steps of lightness (CIE L*)."""
    lightness = [_l_star(colour_at(share / 10)) for share in range(11)]
    steps = [b - a for a, b in pairwise(lightness)]
    assert min(steps) > 0
    assert max(steps) < 1.6 * sum(steps) / len(steps)


def _l_star(colour: QColor) -> float:
    """Lightness of a colour of the sRGB standard (IEC 61966-2-1; CIE 1976)."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour.getRgbF()[:3]]
    y = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


def test_temperature_is_the_mean_in_tubes_and_that_of_leaving_coolant_in_parts(answer: Answer, heat: HeatPoint):
    tint = tint_of(answer, Quantity.TEMPERATURE)
    assert tint.values["block"] == heat.streams["block"][1]
    assert tint.values["run"] == pytest.approx(sum(heat.streams["run"]) / 2)
    assert tint.values["reservoir"] == heat.ports["reservoir"]
    assert tint.words["block"] == f"{heat.components[0].temperature:.1f} °C"
    low, high = tint.ends
    assert (low, high) == (min(tint.values.values()), max(tint.values.values()))
    assert tint.colour("fan_0") is None


def test_pressure_and_velocity_come_with_the_operating_point(answer: Answer):
    point = answer.point
    pressure, velocity = tint_of(answer, Quantity.PRESSURE), tint_of(answer, Quantity.VELOCITY)
    run = point.layout.run("run_2")
    assert pressure.values["run_2"] == pytest.approx((point.pressures[run.start] + point.pressures[run.end]) / 2)
    assert velocity.values["run_2"] == abs(point.of("run_2").velocity)
    assert "pump" not in pressure.values
    assert tint_of(answer, Quantity.PLAIN) is None
    assert tint_of(None, Quantity.PRESSURE) is None


def test_coolant_that_never_settles_has_no_colour():
    heat = heat_point(machine(fans=0))
    answer = Answer(1, LAYOUT, operating_point(heat.point.build), heat=(CaseHeat(heat),), heat_revision=1)
    assert tint_of(answer, Quantity.TEMPERATURE) is None


def test_values_that_hardly_differ_share_nearly_one_colour():
    tint = Tint({"a": 20.0, "b": 20.01}, "c", {})
    low, high = tint.ends
    assert high - low == pytest.approx(0.5)


def test_a_choice_in_the_corner_colours_the_plan(shown: PlanView, answer: Answer):
    scene = shown.scene()
    tint = tint_of(answer, Quantity.TEMPERATURE)
    assert scene.runs["run"].tint == tint.colour("run")
    assert scene.parts["block"].tint == tint.colour("block")
    shown.legend.box.setFocus()
    QTest.keyClick(shown.legend.box, Qt.Key.Key_Down)  # pressure
    assert shown.legend.quantity is Quantity.PRESSURE
    assert scene.runs["run"].tint == tint_of(answer, Quantity.PRESSURE).colour("run")
    shown.legend.choose(Quantity.PLAIN)
    assert scene.runs["run"].tint is None
    assert not shown.legend.map.isVisible()


def test_the_bench_in_view_decides_until_the_builder_does(shown: PlanView):
    shown.legend.choose(None)
    shown.follow_bench("Draw")
    assert shown.legend.quantity is Quantity.PLAIN
    shown.follow_bench("Heat")
    assert shown.legend.quantity is Quantity.TEMPERATURE
    shown.legend.choose(Quantity.VELOCITY)
    shown.follow_bench("Draw")
    assert shown.legend.quantity is Quantity.VELOCITY


def test_the_map_stands_between_its_ends_in_words(shown: PlanView, answer: Answer):
    low, high = tint_of(answer, Quantity.TEMPERATURE).ends
    assert shown.legend.map.words() == (f"{low:.1f}", f"{high:.1f} °C")
    assert shown.legend.geometry().right() < shown.viewport().width()


def test_words_on_the_plan_say_what_colours_say(shown: PlanView, answer: Answer, heat: HeatPoint):
    tint = tint_of(answer, Quantity.TEMPERATURE)
    texts = {label.key: [line.text for line in label.lines] for label in shown.labels}
    assert texts["value block"] == [f"{heat.components[0].temperature:.1f} °C"]
    assert texts["value run_4"] == [f"{tint.values['run_4']:.1f} °C"]
    radiator = heat.exchangers[0].other_flow * 3600
    assert texts["value radiator"] == [f"{radiator:.1f} m³/h"]


def test_names_stay_where_they_are_when_values_come(shown: PlanView):
    def names():
        shown.grab()
        return {label.key: label.box for label in shown.labels if not label.key.startswith("value")}

    with_values = names()
    shown.legend.choose(Quantity.PLAIN)
    assert names() == with_values


def test_a_tube_is_painted_in_its_colour(shown: PlanView):
    item = shown.scene().runs["run_4"]
    spot = shown.to_pixel(item.middle()).toPoint()
    picture = shown.viewport().grab().toImage()
    near = [picture.pixelColor(spot.x() + dx, spot.y() + dy) for dx in range(-9, 10) for dy in range(-9, 10)]
    assert item.tint.rgb() in {colour.rgb() for colour in near}


def test_arrows_stand_out_on_every_colour_of_the_map():
    """WCAG asks 3 for graphics; arrows on tubes keep it on nearly all of the map."""
    ratios = []
    for share in range(0, 101, 5):
        ground = colour_at(share / 100)
        a, b = sorted((_luminance(ground), _luminance(arrow_colour(ground))))
        ratios.append((b + 0.05) / (a + 0.05))
    assert min(ratios) > 3.0


def _luminance(colour: QColor) -> float:
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour.getRgbF()[:3]]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_air_arrows_point_along_a_fan_and_out_of_a_radiator(shown: PlanView, heat: HeatPoint):
    scene = shown.scene()
    arrows = {each.part: each for each in air_arrows(scene.parts, air_flows(heat), heat.point.build.enclosure, 1.0)}
    assert set(arrows) == {"fan_0", "fan_1", "radiator"}
    assert math.cos(arrows["fan_0"].angle) == pytest.approx(1.0)
    assert arrows["fan_0"].middle.x() < scene.parts["fan_0"].pos().x()  # from the room: it stands where air comes in
    assert math.sin(arrows["radiator"].angle) == pytest.approx(1.0)  # it stands nearer to the front, which is down


def test_the_spaces_stand_in_words_under_the_front_edge(shown: PlanView, heat: HeatPoint):
    (chamber,) = heat.spaces
    words = shown.scene().spaces
    assert words.startswith(f"chamber {chamber.temperature:.1f} °C, +{chamber.pressure:.1f} Pa")
    assert words == space_words(heat.spaces, False)
    assert space_words(heat.spaces, True).endswith("(sketch before)")
    assert space_words((), True) == ""


def test_the_coloured_plan_paints_in_the_dark_too(shown: PlanView):
    light = shown.grab().toImage()
    shown.set_theme(DARK)
    assert shown.grab().toImage() != light


def test_a_part_that_is_gone_takes_its_colour_and_arrow_with_it(shown: PlanView):
    from loopsim.build import edits

    shown.document.do(edits.remove_part(shown.document.build, LAYOUT, "radiator"))
    shown.grab()
    assert "radiator" not in shown.scene().parts
    assert not any(label.key == "value radiator" for label in shown.labels)


def test_a_tip_tells_temperatures_heat_and_air(shown: PlanView, answer: Answer, heat: HeatPoint):
    def told(part: str) -> str:
        return tip(Hit("part", part), shown.document, answer)

    enters, leaves = heat.streams["block"]
    assert f"coolant enters at {enters:.1f} °C, leaves at {leaves:.1f} °C" in told("block")
    assert f"{heat.components[0].temperature:.1f} °C" in told("block")
    assert f"sheds {heat.exchangers[0].heat:.0f} W" in told("radiator")
    assert "chamber to room" in told("radiator")
    assert f"{heat.fans[0].flow * 3600:.1f} m³/h of air, room to chamber" in told("fan_0")


def test_what_heat_finds_is_marked_at_its_part(qtbot):
    heat = heat_point(machine(fans=0))
    build = heat.point.build
    view = PlanView(Document(build), LIGHT)
    qtbot.addWidget(view)
    view.set_answer(Answer(build.revision, LAYOUT, operating_point(build), heat=(CaseHeat(heat),)))
    view.grab()
    assert "boils" in {line.text for label in view.labels if label.key == "block" for line in label.lines}
    assert "no air" in {line.text for label in view.labels if label.key == "radiator" for line in label.lines}


@pytest.mark.parametrize("size", [(1100, 700), (630, 495), (360, 300)])
def test_no_value_stands_on_a_wall(shown: PlanView, size: tuple[int, int]):
    shown.resize(*size)
    shown.fit()
    shown.grab()
    room = shown._annotations.seen.room(shown.enclosure)
    values = [label for label in shown.labels if label.key.startswith("value")]
    assert values
    assert all(room.contains(label.box) for label in values)


def test_a_name_within_a_part_keeps_off_the_colour_round_it(shown: PlanView):
    """However large the part is drawn."""
    inside = 0
    for scale in np.linspace(0.5, 3.0, 26):
        shown._annotations.lay_out(float(scale), shown.enclosure)
        within = [label for label in shown.labels if label.beside.contains(label.box)]
        inside += len(within)
        assert all(label.beside.adjusted(6, 6, -6, -6).contains(label.box) for label in within)
    assert inside

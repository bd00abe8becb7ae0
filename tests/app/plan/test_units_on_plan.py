"""Plan, strip and side view in inches, Fahrenheit and gallons: shown, and read from keys.

Factors: NIST Special Publication 811, appendix B (an inch is 25.4 mm).
"""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.height_drags import of_lid
from app.measures import System, measures
from app.plan.backdrop import round_length
from app.plan.tint import Tint
from app.side_view import SidePane
from app.strip import ElevationStrip
from app.theme import LIGHT
from tests.app.plan.conftest import ALT

pytestmark = pytest.mark.usefixtures("customary")

BLOCK_OUTLET = (640, 300)


def test_measuring_speaks_inches(plan, mouse):
    QTest.keyClick(plan, Qt.Key.Key_M)
    mouse.click(*BLOCK_OUTLET)
    mouse.click(380, 100)  # the pump's outlet: 260 mm across, 200 mm along
    assert plan.gesture.words() == "12.91 in · 10.24 across, 7.874 along"


def test_a_run_is_drawn_and_its_height_typed_in_inches(document, plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.move(740, 300)
    assert plan.hand.gesture.words() == "3.94 in · 0.7087 in up"
    QTest.keyClicks(plan, "1.5")
    assert plan.hand.gesture.words().startswith("1.5 in up")
    mouse.click(740, 300)
    assert plan.hand.gesture.draft.corners[0].height_mm == pytest.approx(38.1)
    assert document.history.count() == 0


def test_a_height_typed_for_a_selected_part_is_in_inches(document, plan):
    document.select({"block"})
    QTest.keyClick(plan, Qt.Key.Key_1)
    assert plan.gesture.words() == "height: 1 in up"
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert document.layout.placement("block").height_mm == pytest.approx(25.4)


def test_a_part_that_is_moved_says_by_how_much_with_its_sign(plan, mouse):
    mouse.drag((600, 300), (549, 300), release=False, modifiers=ALT)
    assert plan.hand.gesture.words().startswith("−2.")  # some 51 mm to the left
    assert ", +0 in" in plan.hand.gesture.words()


def test_the_strip_and_the_side_view_follow_the_choice_at_once(document, qtbot):
    strip, side = ElevationStrip(document, LIGHT), SidePane(document, LIGHT)
    for view in (strip, side):
        qtbot.addWidget(view)
        view.resize(700, 180)
        view.show()
    assert strip.heading() == "Heights along the loop from Vessel on, in"
    assert side._heading().startswith("Seen from the front, in;")
    assert of_lid(document).words() == "lid: 3.15 in"
    measures.choose(System.SI)
    assert strip.heading() == "Heights along the loop from Vessel on, mm"
    assert of_lid(document).words() == "lid: 80 mm"


def test_colours_are_told_in_the_builders_units():
    assert Tint({"run": 25.0}, "c", {}).text("run") == "77.0 °F"
    assert Tint({"run": 2 * 6894.757}, "kpa", {}).text("run") == "2.0 psi"
    assert Tint({"run": 0.3048}, "m_s", {}).text("run") == "1.00 ft/s"
    assert Tint({"run": -0.5}, "percent", {}).text("run") == "−50 %"


def test_the_scale_bar_is_round_in_inches():
    per_inch = 0.8 * 25.4  # pixels
    assert round_length(per_inch) in (1.0, 2.0, 5.0, 10.0, 20.0)

"""What was measured on the machine, against what was predicted."""

import pytest

from loopsim.build import Build, edits, load
from loopsim.errors import PartDataError
from loopsim.studies import MeasuredFlow, measured_against, operating_point
from loopsim.units import to_si


@pytest.fixture
def plinth(plinth_path) -> Build:
    return load(plinth_path)


def with_measured(build: Build, **values: object) -> Build:
    return edits.change_layout(build, build.layouts[0].name, **values).build


@pytest.mark.parametrize(
    ("measured", "predicted", "words"),
    [
        (305, 330, "measured 305 L/h at Reservoir, predicted 330 L/h, +8 %"),
        (330, 305, "measured 330 L/h at Reservoir, predicted 305 L/h, -8 %"),
        (330, 331, "measured 330 L/h at Reservoir, predicted 331 L/h, 0 %"),
        (200, 0, "measured 200 L/h at Reservoir, predicted none: as drawn, nothing flows there"),
    ],
)
def test_the_sentence_says_both_and_by_how_much_they_differ(measured: float, predicted: float, words: str) -> None:
    """25 of 305 are 8.2 %, 25 of 330 are 7.6 %."""
    found = MeasuredFlow(to_si(measured, "l_h"), to_si(predicted, "l_h"), "r", "Reservoir", "")
    assert found.sentence == words


def test_the_predicted_flow_is_the_one_of_the_part_that_stands_for_the_loop(plinth: Build) -> None:
    point = operating_point(
        with_measured(plinth, loop_flow_at="graphics_1", measured_flow_l_h=150, measured_note="cup")
    )
    found = measured_against(point)
    assert found.measured == pytest.approx(150 / 3.6e6)
    assert found.predicted == abs(point.of("graphics_1").flow)
    assert (found.at, found.place, found.note) == ("graphics_1", "Graphics 1", "cup")
    assert found.deviation == pytest.approx(found.predicted / found.measured - 1)


def test_nothing_is_compared_where_nothing_was_measured_or_a_pump_is_stopped(plinth: Build) -> None:
    assert measured_against(operating_point(plinth)) is None
    measured = with_measured(plinth, measured_flow_l_h=300)
    assert measured_against(operating_point(measured)) is not None
    assert measured_against(operating_point(measured, stopped={"pump_a"})) is None


def test_a_measured_flow_is_above_0(plinth: Build) -> None:
    with pytest.raises(PartDataError, match="measured_flow_l_h is 0, must be above 0 L/h"):
        with_measured(plinth, measured_flow_l_h=0)


def test_the_edit_is_named_after_the_layout_and_touches_no_other(plinth: Build) -> None:
    edit = edits.change_layout(plinth, plinth.layouts[1].name, measured_flow_l_h=250)
    assert edit.text == f"Change {plinth.layouts[1].name}"
    assert edit.build.layouts[0] is plinth.layouts[0]
    assert edit.build.layouts[1].measured_flow_l_h == 250

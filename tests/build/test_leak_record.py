"""What is read while filling and testing is kept with the layout."""

import pytest

from loopsim import build
from loopsim.build import Build, Layout, LeakRecord, edits
from loopsim.build.layout_edits import copy_layout
from loopsim.errors import PartDataError


@pytest.fixture
def tested() -> Build:
    record = LeakRecord(start_bar=0.4, end_bar=0.39, lasted_minutes=30.0, note="dial gauge")
    layout = Layout(name="one", leak_record=record, poured_ml=1180.0, bleed_minutes=45.0)
    return Build(name="bench", layouts=(layout,))


def test_a_leak_record_comes_back_from_the_file_as_it_was_written(tested):
    assert build.from_text(build.to_text(tested)).layout() == tested.layout()


def test_a_copied_layout_has_not_been_tested_or_filled(tested):
    fresh = copy_layout(tested, "one", "two").build.layout("two")
    assert fresh.leak_record is None
    assert fresh.poured_ml is None
    assert fresh.bleed_minutes == 45.0, "the builder's own experience with this loop still holds"


def test_a_pressure_far_above_any_test_with_air_is_refused(tested):
    with pytest.raises(PartDataError, match="at most 3 bar"):
        edits.change_layout(tested, "one", leak_record={"start_bar": 6.0})

"""The leak test sheet of a layout."""

import math
from collections.abc import Callable

import pytest

from loopsim.build import Build, LeakRecord, edits
from loopsim.studies.fill import leak_sheet
from loopsim.units import GRAVITY

Make = Callable[..., Build]


def test_half_a_bar_is_usual_where_no_part_states_a_rating(loop: Make) -> None:
    """Common practice, no source."""
    sheet = leak_sheet(loop(250, vessel_mm=100))
    assert sheet.pressure == 50_000
    assert sheet.weakest is None


def test_the_weakest_part_decides(loop: Make) -> None:
    build = edits.change_part(loop(250, vessel_mm=100), "vessel", rating_kpa=20.0).build
    build = edits.change_part(build, "pump", rating_kpa=150.0).build
    sheet = leak_sheet(build)
    assert sheet.weakest == "Vessel"
    assert sheet.pressure == pytest.approx(20_000)


def test_in_a_wet_loop_the_column_adds_to_the_air(loop: Make) -> None:
    """The weakest part may lie lowest; the column up to the crest at 250 mm comes off."""
    build = edits.change_part(loop(250, vessel_mm=100), "pump", rating_kpa=20.0).build
    sheet = leak_sheet(build, record=LeakRecord(is_wet=True))
    density = build.coolant.medium.at(build.ambient.temperature_c).density
    assert sheet.pressure == pytest.approx(20_000 - density * GRAVITY * sheet.column)
    assert 0.240 < sheet.column < 0.251
    assert sheet.lowest is not None
    assert sheet.lowest.item == "pump"


def test_the_layouts_own_record_is_read(loop: Make) -> None:
    record = LeakRecord(start_bar=0.4, end_bar=0.2, start_c=20.0, end_c=20.0, lasted_minutes=30.0)
    build = edits.change_layout(loop(250, vessel_mm=100), "bench", leak_record=record).build
    sheet = leak_sheet(build)
    assert sheet.result is not None
    assert sheet.result.verdict == "leaks"
    tubes = sum(build.run_path(build.layout(), run).length_mm for run in build.layout().runs)
    volume_ml = 150 * 80 * 45 / 1000 + 15 + math.pi / 4 * 10**2 * tubes / 1000  # vessel up to its lid, pump, tubes
    assert sheet.result.leak == pytest.approx(20_000 * volume_ml * 1e-6 / 1800)
    assert leak_sheet(loop(250, vessel_mm=100)).result is None


def test_a_short_test_is_said_to_hide_slow_leaks(loop: Make) -> None:
    sheet = leak_sheet(loop(250, vessel_mm=100), record=LeakRecord(lasted_minutes=5.0))
    assert any("quarter of an hour" in each for each in sheet.sentences)

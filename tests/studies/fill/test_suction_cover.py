"""Cover over a vessel's outlet."""

from collections.abc import Callable

import pytest

from loopsim.build import Build
from loopsim.studies import operating_point
from loopsim.studies.fill import least_cover, suction_covers

FOOT, GPM = 0.3048, 6.30902e-5


def test_cover_of_a_large_intake_is_that_of_the_standards_table() -> None:
    """ANSI/HI 9.8 in US units, S = D + 0.574 Q / D^1.5 in inches and gal/min: 18 in at 5,000 gal/min; from memory."""
    wanted = 18 + 0.574 * 5000 / 18**1.5
    assert least_cover(18 * FOOT / 12, 5000 * GPM) / (FOOT / 12) == pytest.approx(wanted, rel=2e-3)


def test_still_liquid_needs_one_bore() -> None:
    assert least_cover(0.01, 0.0) == 0.01


def test_criterion_and_habit_are_told_with_their_conflict(loop: Callable[..., Build]) -> None:
    """32 mm of liquid above the middle of the outlet; two bores are 20 mm, the criterion asks for more."""
    (cover,) = suction_covers(operating_point(loop(60)))
    assert cover.port == "vessel.outlet"
    assert cover.cover == pytest.approx(0.032)
    assert cover.habit == pytest.approx(0.020)
    assert cover.least > cover.cover
    assert cover.verdict == "debatable"
    assert "habit of two bores for 20 mm" in cover.sentence


def test_a_stopped_loop_draws_from_no_outlet(loop: Callable[..., Build]) -> None:
    assert suction_covers(operating_point(loop(60), stopped=["pump"])) == ()

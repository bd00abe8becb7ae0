"""A solution that nobody waits for any longer is given up between two steps, and harms nothing that is kept."""

import pytest

from loopsim.cancelling import Cancelled, cancellable
from loopsim.studies import operating_point
from tests.benchmarks.loops import sixty_parts


def test_a_solution_that_is_not_wanted_any_more_is_given_up_and_can_be_asked_for_again():
    build = sixty_parts()
    with pytest.raises(Cancelled), cancellable(lambda: True):
        operating_point(build)
    assert operating_point(build).loop_flow > 0


def test_a_solution_that_is_wanted_is_found_as_without_being_asked():
    build, looks = sixty_parts(), []
    with cancellable(lambda: bool(looks.append(None))):
        flow = operating_point(build).loop_flow
    assert len(looks) > 1
    assert flow == operating_point(build).loop_flow

"""A failure beside the healthy machine: on the pumps' plots and along the grade line."""

import numpy as np
import pytest

import sample_loops
from loopsim.build import Build, FailureEvent, from_text
from loopsim.studies import (
    Failure,
    OperatingPoint,
    Situation,
    failures,
    grade_line,
    heat_point,
    operating_point,
    pump_plots,
)
from loopsim.studies.failing.bearable import at_rest
from loopsim.studies.grade_line import head_along
from loopsim.studies.struck import struck_plots
from loopsim.units import GRAVITY

from .failing.struck import LAYOUT, machine

SERIES = "two pumps in series"


@pytest.fixture(scope="module")
def plinth() -> Build:
    return from_text(sample_loops.sample("render-plinth").read_text(encoding="utf-8"))


def failure(*events: tuple[str, str]) -> Failure:
    return Failure("struck", tuple(FailureEvent(what=what, item=item) for what, item in events))


def struck(build: Build, layout: str, *events: tuple[str, str]) -> Situation:
    return failure(*events).strike(Situation(build, layout))


@pytest.mark.parametrize("layout", [SERIES, "two pumps side by side", "one large pump"])
def test_a_stopped_pump_gives_the_lines_that_the_plot_has_for_it_already(plinth: Build, layout: str) -> None:
    for plot in pump_plots(plinth, layout):
        for known in plot.stopped:
            (found,) = struck_plots([plot], struck(plinth, layout, ("stopped", known.stopped)), known.combined.label)
            assert found is not None
            np.testing.assert_allclose(found.combined.head, known.combined.head)
            np.testing.assert_allclose(found.system.head, known.system.head)
            assert (found.flow, found.head) == pytest.approx((known.flow, known.head))


def test_a_kinked_tube_steepens_the_system_curve_and_leaves_that_of_the_pumps(plinth: Build) -> None:
    plots = pump_plots(plinth, SERIES)
    (found,) = struck_plots(plots, struck(plinth, SERIES, ("kinked", "run_11")), "kinked")
    (plot,) = plots
    assert found is not None
    assert found.name == "kinked"
    np.testing.assert_allclose(found.combined.head, plot.combined.head)
    assert (found.system.head[1:] > plot.system.head[1:]).all()
    assert found.flow < plot.flow
    assert float(np.interp(found.flow, found.system.flow, found.system.head)) == pytest.approx(found.head, rel=2e-3)


def test_with_all_pumps_stopped_nothing_flows_and_their_curve_only_resists(plinth: Build) -> None:
    both = struck(plinth, SERIES, ("stopped", "pump_a"), ("stopped", "pump_b"))
    (found,) = struck_plots(pump_plots(plinth, SERIES), both, "both")
    assert found is not None
    assert found.flow == pytest.approx(0.0, abs=1e-9)
    assert found.combined.head.max() <= 1e-9


def test_a_shut_valve_leaves_no_way_round_and_so_no_curve() -> None:
    build = machine()
    (found,) = struck_plots(pump_plots(build), struck(build, LAYOUT, ("shut", "valve")), "shut")
    assert found is None


def test_the_head_along_a_line_of_its_own_state_is_that_line(plinth: Build) -> None:
    point = operating_point(plinth, SERIES)
    for line in grade_line(point):
        np.testing.assert_allclose(head_along(line, point), line.piezometric_head)


def test_after_a_failure_the_head_is_that_of_the_failed_state_at_every_port(plinth: Build) -> None:
    healthy, failed = operating_point(plinth, SERIES), operating_point(plinth, SERIES, {"pump_a"})
    (line,) = grade_line(healthy)
    heads = head_along(line, failed)
    assert heads.shape == line.distance.shape
    seen = 0
    for point in line.points[1:]:
        at = np.flatnonzero(line.distance == point.distance)
        expected = failed.pressures[point.port] / (_density(failed, point.port) * GRAVITY) + point.elevation
        np.testing.assert_allclose(heads[at], expected, atol=1e-9)
        seen += 1
    assert seen > 10


def _density(point: OperatingPoint, port: str) -> float:
    run = next(run for run in point.layout.runs if port in (run.start, run.end))
    return point.state_of(run.id).density


def test_the_curves_cross_where_warmth_alone_drives_the_flow() -> None:
    """With its only pump stopped the kiln lamp keeps what rises as it warms: curve, sentence and list say the same."""
    build = from_text(sample_loops.sample("kiln-lamp").read_text(encoding="utf-8"))
    heat = heat_point(build)
    found = failures(build, None, heat)
    (plot,), (case,) = pump_plots(build, None, found), found.cases
    assert case.flow > 1e-6
    (drawn,) = plot.stopped
    assert drawn.flow == pytest.approx(case.flow, rel=1e-6)
    assert plot.flow == pytest.approx(found.base.loop_flow, rel=1e-4)
    assert drawn.system.head[0] < 0  # warmth lifts
    assert pump_plots(build)[0].stopped[0].flow == pytest.approx(0.0, abs=1e-9)  # at the temperature stated
    stopped = Situation(build, heat.point.layout.name, frozenset({"pump"}))
    (again,) = struck_plots([plot], stopped, "stopped", at_rest(stopped, heat.case.name, heat))
    assert again is not None
    assert again.flow == pytest.approx(case.flow, rel=1e-3)

"""The band of the system curve is the spread of what drawn machines ask for."""

from pathlib import Path

import numpy as np
import pytest

from loopsim.build import Build, edits, load
from loopsim.network import assemble
from loopsim.network.pump_group import pump_group
from loopsim.studies import air_plots, heat_point, pump_plots
from loopsim.studies.group_curves import system_curve
from loopsim.studies.tolerance.draws import factors_of
from loopsim.studies.uncertain import liquid_drops
from tests.studies.failing.struck import machine


@pytest.fixture(scope="module")
def build() -> Build:
    return machine()


def test_in_a_row_it_is_the_root_of_the_sum_of_squares(build: Build) -> None:
    """Closed form: a part's drop at one flow times its tolerance, of all parts and tubes, as independent errors add."""
    (plot,) = pump_plots(build)
    loop = assemble(build, build.layouts[0])
    group = pump_group(loop.network, ["pump"])
    flow = plot.system.flow[20:21]
    plain = system_curve(loop.network, group, flow)
    inputs = [each for each in liquid_drops(loop) if "pump" not in each.targets]
    alone = [
        system_curve(loop.network, group, flow, {name: np.full(1, 1 + each.tolerance) for name in each.targets}) - plain
        for each in inputs
    ]
    assert len(inputs) >= 5
    assert plot.system.band[20] == pytest.approx(np.sqrt(np.sum(np.square(alone))), rel=1e-6)


def test_it_is_the_spread_of_drawn_loops(plinth_path: Path) -> None:
    """With tees and branches side by side too: two standard deviations of 1,000 draws."""
    build = load(plinth_path)
    (plot,) = pump_plots(build)
    loop = assemble(build, build.layouts[0])
    group = pump_group(loop.network, plot.pumps)
    inputs = [each for each in liquid_drops(loop) if not set(each.targets) & set(group.names())]
    drawn = factors_of(inputs, 0, 0)
    factors = {name: row for each, row in zip(inputs, drawn, strict=True) for name in each.targets}
    heads = system_curve(loop.network, group, np.full(drawn.shape[1], plot.system.flow[20]), factors)
    assert plot.system.band[20] == pytest.approx(2 * heads.std(), rel=0.12)


def test_without_flow_nothing_is_uncertain_and_with_more_flow_more(build: Build) -> None:
    (plot,) = pump_plots(build)
    assert plot.system.band[0] == pytest.approx(0.0, abs=1e-9)
    assert (np.diff(plot.system.band) > 0).all()


def test_the_air_has_its_band_too(build: Build) -> None:
    (plot, *_) = air_plots(heat_point(build))
    assert (np.diff(plot.curves.system.band) >= 0).all()
    assert plot.curves.system.band[-1] > 0


def test_a_tube_that_is_exact_makes_it_narrower(build: Build) -> None:
    exact = edits.change_tube(build, "t", relative_tolerance=0.0).build
    (less,), (more,) = pump_plots(exact), pump_plots(build)
    assert (less.system.band[1:] < more.system.band[1:]).all()

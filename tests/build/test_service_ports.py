"""Ports to fill, bleed and drain through, set into tube runs."""

import math

import pytest

from loopsim.build import Build, load
from loopsim.build.service_ports import add_service_port
from loopsim.errors import SketchError
from loopsim.parts import BleedPort, DrainPort, FillPort
from loopsim.studies import operating_point


@pytest.fixture
def build() -> Build:
    return load("sample_loops/pier-camera.loop.json")


def layout_of(build: Build):
    return build.layouts[0]


@pytest.mark.parametrize("kind", [BleedPort, DrainPort, FillPort])
def test_the_run_leads_through_the_port_and_the_loop_still_closes(build: Build, kind):
    name, run = layout_of(build).name, layout_of(build).runs[1]
    edit, port = add_service_port(build, name, kind, run.id, (0.0, 0.0))
    ends = [end for each in edit.build.layout(name).runs for end in (each.start, each.end)]
    assert [end for end in ends if end.startswith(f"{port}.")] == [f"{port}.a", f"{port}.b"]
    assert ends.count(run.start) == ends.count(run.end) == 1
    before, after = operating_point(build, name), operating_point(edit.build, name)
    assert after.loop_flow == pytest.approx(before.loop_flow, rel=0.05)


def test_the_port_takes_the_bore_of_the_tube_and_a_name_of_its_own(build: Build):
    name, run = layout_of(build).name, layout_of(build).runs[1]
    first, one = add_service_port(build, name, BleedPort, run.id, (0.0, 0.0))
    other = layout_of(build).runs[2].id
    again, two = add_service_port(first.build, name, BleedPort, other, (0.0, 0.0))
    parts = [again.build.part(each) for each in (one, two)]
    assert {part.bore_mm for part in parts} == {build.tube(run.tube).bore_mm}
    assert [part.name for part in parts] == ["Bleed port 1", "Bleed port 2"]
    assert first.text == f"Put a bleed port into tube run {build.run_name(run)}"


def test_it_keeps_away_from_corners_and_ports(build: Build):
    """Asked for just at the run's start, it sits half its own length and 5 mm of tube further on, or more."""
    layout = layout_of(build)
    for run in layout.runs:
        start = build.port_spot(layout, run.start)
        try:
            edit, port = add_service_port(build, layout.name, BleedPort, run.id, start[:2])
        except SketchError:
            continue
        placed = edit.build.layout(layout.name).placement(port)
        corners = [(start.x_mm, start.y_mm), *((each.x_mm, each.y_mm) for each in run.corners)]
        least = edit.build.part(port).length_mm / 2 + 5.0
        assert min(math.dist((placed.x_mm, placed.y_mm), corner) for corner in corners) >= least - 0.1


def test_a_run_without_room_says_how_long_a_stretch_is_needed(build: Build):
    layout = layout_of(build)
    run = layout.runs[0]
    spot = build.port_spot(layout, run.start)
    other = layout.placement(run.end.partition(".")[0])
    end = build.port_spot(layout, run.end)
    near = other.with_values(x_mm=other.x_mm + spot.x_mm - end.x_mm + 10.0, y_mm=other.y_mm + spot.y_mm - end.y_mm)
    placed = tuple(near if each is other else each for each in layout.placed)
    tight = build.with_values(
        layouts=(layout.with_values(placed=placed, runs=(run.with_values(corners=()), *layout.runs[1:])),)
    )
    with pytest.raises(SketchError, match="no straight stretch is 44 mm long"):
        add_service_port(tight, layout.name, BleedPort, run.id, (0.0, 0.0))

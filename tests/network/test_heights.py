"""The heights along a layout."""

import math

import numpy as np
import pytest

from loopsim.build import Build, Layout, Placement, load
from loopsim.network import LEVEL, Tilt, height_graph
from loopsim.parts import Corner, DrainPort, FillPort, Pump, Radiator, Reservoir, Tube, TubeRun, Valve


def bench(*parts, runs=(), places=(), **tube) -> Build:
    """Parts in a row, 300 mm apart unless placed otherwise."""
    set_ = {place["part"]: place for place in places}
    placed = [
        Placement.model_validate({"part": part.id, "x_mm": 300.0 * (1 + number), "y_mm": 200.0} | set_.get(part.id, {}))
        for number, part in enumerate(parts)
    ]
    layout = Layout(name="bench", placed=tuple(placed), runs=tuple(runs))
    return Build(name="bench", tubes=(Tube(id="t", name="T", **tube),), parts=parts, layouts=(layout,))


def run(start: str, end: str, *corners: tuple[float, float, float], radius_mm: float = 0.0) -> TubeRun:
    bends = tuple(Corner(x_mm=x, y_mm=y, height_mm=z) for x, y, z in corners)
    return TubeRun(id="run", start=start, end=end, tube="t", radius_mm=radius_mm, corners=bends)


def two_ports(**place) -> Build:
    return bench(
        FillPort(id="a", name="A"),
        FillPort(id="b", name="B"),
        runs=[run("a.b", "b.a", (400, 200, 9), (400, 200, 109), (500, 200, 109), (500, 200, 9))],
        places=[{"part": "a", **place}],
    )


def test_a_run_lies_at_the_heights_of_its_corners() -> None:
    build = two_ports()
    graph = height_graph(build, build.layout())
    of_run = [graph.names[end] for passage in graph.passages_of["run"] for end in graph.ends[passage]]
    heights = graph.heights()[[graph.number[name] for name in of_run]] * 1e3
    assert of_run[0] == "a.b"
    assert of_run[-1] == "b.a"
    assert heights.min() == pytest.approx(9)
    assert heights.max() == pytest.approx(109)


def test_what_a_layout_holds_is_the_sum_of_its_parts_and_runs() -> None:
    build = load("sample_loops/render-plinth.loop.json")
    for layout in build.layouts:
        graph = height_graph(build, layout)
        runs = sum(each.coolant_ml(build.tube(each.tube), build.run_path(layout, each)) for each in layout.runs)
        parts = sum(build.part(part_id).coolant_ml for part_id in layout.placements)
        assert graph.liquid.sum() * 1e6 == pytest.approx(runs + parts, rel=1e-9)


def test_bends_cut_corners_and_keep_the_length_of_the_path() -> None:
    build = bench(
        FillPort(id="a", name="A"), FillPort(id="b", name="B"), runs=[run("a.b", "b.a", (450, 200, 109), radius_mm=40)]
    )
    graph = height_graph(build, build.layout())
    passages = graph.passages_of["run"]
    path = build.run_path(build.layout(), build.layout().runs[0])
    assert graph.length[passages].sum() * 1e3 == pytest.approx(path.length_mm)
    assert graph.heights().max() * 1e3 < 109  # the bend does not reach its corner
    assert graph.volume[passages].sum() * 1e6 == pytest.approx(math.pi / 4 * 100 * path.length_mm / 1000)


def test_places_inside_follow_height_rotation_and_lie() -> None:
    radiator = Radiator(id="r", name="R", ports_at="one end", port_spacing_mm=30)
    for lie, height in (("flat", 55), ("on edge", 55), ("ports up", 400)):
        build = bench(radiator, places=[{"part": "r", "height_mm": 7, "rotation_deg": 90, "lie": lie}])
        graph = height_graph(build, build.layout())
        tops = graph.heights() * 1e3
        assert 7 < tops.min() < tops.max() <= 7 + height
    assert tops.max() > 370  # the tank on top


def test_a_tilt_lifts_the_right_side_and_the_back() -> None:
    build = two_ports()
    graph = height_graph(build, build.layout())
    x, y, z = graph.spots.T
    assert graph.heights(LEVEL) == pytest.approx(z)
    angle = math.radians(30)
    assert graph.heights(Tilt(right_up_deg=30)) == pytest.approx(x * math.sin(angle) + z * math.cos(angle))
    assert graph.heights(Tilt(back_up_deg=30)) == pytest.approx(y * math.sin(angle) + z * math.cos(angle))
    assert np.linalg.norm(Tilt(25, -40).up) == pytest.approx(1)


def test_air_comes_and_goes_at_lids_caps_and_free_ports() -> None:
    build = bench(
        Reservoir(id="v", name="V"), DrainPort(id="d", name="D"), Pump(id="p", name="P"), runs=[run("v.outlet", "d.a")]
    )
    openings = height_graph(build, build.layout()).openings
    assert openings == {"v/lid": "vented", "d/opening": "capped"} | dict.fromkeys(
        ("v.inlet", "d.b", "p.inlet", "p.outlet"), "open"
    )


def test_the_graph_of_one_layout_is_made_once_and_that_of_an_edited_one_anew() -> None:
    build = two_ports()
    graph = height_graph(build, build.layout())
    assert height_graph(build, build.layout()) is graph
    moved = two_ports(height_mm=5)
    assert height_graph(moved, moved.layout()).heights().max() == pytest.approx(graph.heights().max())
    assert not np.array_equal(height_graph(moved, moved.layout()).heights(), graph.heights())


def test_a_shut_valve_is_a_blind_end() -> None:
    valve = Valve(id="v", name="V")
    for opening, joined in ((100, True), (0, False)):
        build = bench(valve, places=[{"part": "v", "opening_percent": opening}])
        graph = height_graph(build, build.layout())
        ends = {graph.names[end] for end in graph.ends.ravel()}
        assert ("v.b" in ends) == joined
        assert graph.volume.sum() * 1e6 == pytest.approx(valve.coolant_ml)

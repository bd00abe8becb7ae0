"""Small layouts with heights that a hand can follow."""

from collections.abc import Callable
from typing import Any

import pytest

from loopsim.build import Build, Enclosure, Layout, Placement
from loopsim.parts import Corner, FillPort, Pump, Reservoir, SidePort, Tube, TubeRun

BORE_MM = 10.0


def run(run_id: str, start: str, end: str, *corners: tuple[float, float, float]) -> TubeRun:
    """A tube with sharp corners."""
    turns = tuple(Corner(x_mm=x, y_mm=y, height_mm=z) for x, y, z in corners)
    return TubeRun(id=run_id, start=start, end=end, tube="t", radius_mm=0, corners=turns)


def make_build(placed: dict[Any, dict[str, float]], runs: list[TubeRun]) -> Build:
    """Parts with their places."""
    layout = Layout(
        name="bench",
        placed=tuple(Placement(part=part.id, **place) for part, place in placed.items()),
        runs=tuple(runs),
    )
    return Build(
        name="bench",
        enclosure=Enclosure(length_mm=2000, width_mm=800, clear_height_mm=2000),
        tubes=(Tube(id="t", name="T", bore_mm=BORE_MM),),
        parts=tuple(placed),
        layouts=(layout,),
    )


@pytest.fixture
def build() -> Callable[..., Build]:
    return make_build


@pytest.fixture
def tube() -> Callable[..., TubeRun]:
    return run


@pytest.fixture
def between() -> Callable[..., Build]:
    """A tube over points at given heights between two fill ports, whose openings lie 40 mm above their undersides."""

    def make(left_mm: float, right_mm: float, *heights_mm: float) -> Build:
        corners = [(300.0 + 100 * number, 200.0, height) for number, height in enumerate(heights_mm)]
        ports = {
            FillPort(id="a", name="A"): {"x_mm": 200, "y_mm": 200, "height_mm": left_mm},
            FillPort(id="b", name="B"): {"x_mm": 400 + 100 * len(corners), "y_mm": 200, "height_mm": right_mm},
        }
        return make_build(ports, [run("line", "a.b", "b.a", *corners)])

    return make


@pytest.fixture
def loop() -> Callable[..., Build]:
    """A vessel, a pump, and a line over points at given heights back into the vessel, all 10 mm bore."""

    def make(
        *heights_mm: float, vessel_mm: float = 0.0, pump_mm: float = 0.0, suction_mm: tuple[float, ...] = ()
    ) -> Build:
        ports = (SidePort(name="inlet", side="left", height_mm=12), SidePort(name="outlet", side="right", height_mm=12))
        placed = {
            Reservoir(id="vessel", name="Vessel", port_list=ports): {"x_mm": 200, "y_mm": 200, "height_mm": vessel_mm},
            Pump(id="pump", name="Pump"): {"x_mm": 500, "y_mm": 200, "height_mm": pump_mm},
        }
        suction = [(300.0 + 40 * number, 200.0, height) for number, height in enumerate(suction_mm)]
        corners = [(600.0 + 100 * number, 200.0, height) for number, height in enumerate(heights_mm)]
        back = [(corners[-1][0], 400.0, vessel_mm + 12), (60.0, 400.0, vessel_mm + 12), (60.0, 200.0, vessel_mm + 12)]
        return make_build(
            placed,
            [
                run("suction", "vessel.outlet", "pump.inlet", *suction),
                run("line", "pump.outlet", "vessel.inlet", *corners, *back),
            ],
        )

    return make

"""Small machines for the tests of the studies, and how to draw more."""

from typing import Any

from loopsim.build import Build, Enclosure, Placement, edits
from loopsim.parts import Block, Corner, Fan, Load, Part, Pump, Radiator, Reservoir, Tube, TubeRun

__all__ = ["LAYOUT", "add", "joined", "machine", "placed"]

LAYOUT = "layout 1"


def machine(load: float = 200.0, fans: int = 2, radiator_at: float = 0.0, **values: Any) -> Build:
    """Reservoir, pump, block and radiator in a row; fans blow into the chamber, which breathes out by the radiator.

    Reservoir and radiator stand `radiator_at` millimetres above the rest.
    """
    build = Build(
        name="bench", enclosure=Enclosure(length_mm=1500, width_mm=800), tubes=(Tube(id="t", name="T", bore_mm=10),),
        **values,
    )  # fmt: skip
    block = Block(id="block", name="Block", loads=(Load(name="chip", heat_w=load, limit_c=80.0, resistance_k_w=0.05),))
    parts: list[tuple[Part, float, float, float]] = [
        (Reservoir(id="reservoir", name="Reservoir"), 200, 100, radiator_at),
        (Pump(id="pump", name="Pump"), 500, 100, 0),
        (block, 800, 100, 0), (Radiator(id="radiator", name="Radiator"), 800, 400, radiator_at),
    ]  # fmt: skip
    parts += [(Fan(id=f"fan_{n}", name=f"Fan {n}"), 200 + 200 * n, 700, 0) for n in range(fans)]
    for part, x, y, height in parts:
        placement = Placement(part=part.id, x_mm=x, y_mm=y, height_mm=height)
        build = edits.add_part(build, LAYOUT, part, placement).build
    for start, end in (
        ("reservoir.outlet", "pump.inlet"), ("pump.outlet", "block.inlet"), ("block.outlet", "radiator.a"),
        ("radiator.b", "reservoir.inlet"),
    ):  # fmt: skip
        run = TubeRun(id=edits.free_run_id(build.layout()), start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build


def add(build: Build, part: Part, **values: Any) -> Build:
    return edits.add_part(build, LAYOUT, part, Placement(part=part.id, x_mm=100, y_mm=600, **values)).build


def placed(build: Build, part: Part, x: float, y: float, height: float = 0.0, **where: float) -> Build:
    """With a part placed."""
    return edits.add_part(build, LAYOUT, part, Placement(part=part.id, x_mm=x, y_mm=y, height_mm=height, **where)).build


def joined(build: Build, *runs: tuple[str, str], corners: tuple[Corner, ...] = ()) -> Build:
    """With runs of the tube ``t`` from port to port."""
    for start, end in runs:
        run = TubeRun(id=edits.free_run_id(build.layout()), start=start, end=end, tube="t", corners=corners)
        build = edits.add_run(build, LAYOUT, run).build
    return build

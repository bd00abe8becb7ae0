"""A small build to work on."""

import pytest

from loopsim.build import Build, Placement, edits
from loopsim.parts import Block, Corner, Pump, Reservoir, Tube, TubeRun


@pytest.fixture
def build() -> Build:
    """Reservoir, pump and block in a closed loop."""
    made = Build(name="bench test", tubes=(Tube(id="t", name="10/13"),))
    places = ((Reservoir, "reservoir", 100), (Pump, "pump", 300), (Block, "block", 500))
    for kind, part_id, x in places:
        placement = Placement(part=part_id, x_mm=x, y_mm=100)
        made = edits.add_part(made, "layout 1", kind(id=part_id, name=part_id.title()), placement).build
    runs = (
        TubeRun(id="run_1", start="reservoir.outlet", end="pump.inlet", tube="t"),
        TubeRun(id="run_2", start="pump.outlet", end="block.inlet", tube="t"),
        TubeRun(
            id="run_3",
            start="block.outlet",
            end="reservoir.inlet",
            tube="t",
            corners=(Corner(x_mm=580, y_mm=300), Corner(x_mm=-20, y_mm=300)),
        ),
    )
    for run in runs:
        made = edits.add_run(made, "layout 1", run).build
    return made

"""What several studies are tried on."""

from pathlib import Path

import pytest

from loopsim.build import Build, load
from loopsim.parts import Block, Pump, Reservoir, Tube
from tests.studies.machines import joined, placed


@pytest.fixture
def empty() -> Build:
    return Build(name="bench", tubes=(Tube(id="t", name="10/13"),))


@pytest.fixture
def loop(empty: Build) -> Build:
    """Reservoir, pump, block, back to the reservoir."""
    made = placed(empty, Reservoir(id="reservoir", name="Reservoir"), 100, 100)
    made = placed(placed(made, Pump(id="pump", name="Pump"), 300, 100), Block(id="block", name="Block"), 500, 100)
    return joined(
        made, ("reservoir.outlet", "pump.inlet"), ("pump.outlet", "block.inlet"), ("block.outlet", "reservoir.inlet")
    )


@pytest.fixture(scope="module")
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)

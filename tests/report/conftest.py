"""A small invented loop with names that every format must print as they are."""

from datetime import date

import pytest

from loopsim.build import Build, BuildCoolant, Enclosure, Layout, Placement
from loopsim.curves import DropCurve, DropPoint, Provenance
from loopsim.parts import Block, Corner, Pump, Reservoir, Tube, TubeRun
from loopsim.report import Report, report_content

DAY = date(2026, 3, 14)
AWKWARD = "#1 [pump] $x$ *"
TAGGED = 'plate <b> & "q" _u_ \\ | `c` @ref'


@pytest.fixture(scope="session")
def build() -> Build:
    """Reservoir, one pump, one block in a ring; a bend, an elbow and a riser among the runs."""
    drop = DropCurve(
        points=(DropPoint(flow_l_h=60, dp_kpa=1.1), DropPoint(flow_l_h=240, dp_kpa=12.4)),
        provenance=Provenance(kind="measured", source="bucket and gauge", dated=date(2026, 2, 1)),
        relative_tolerance=0.05,
    )
    return Build(
        name="Specimen <i> tank & $pump$",
        note="Invented data.\nSecond *line*.",
        enclosure=Enclosure(length_mm=700, width_mm=400, clear_height_mm=120),
        coolants=(BuildCoolant(kind="propylene_glycol", glycol_mass_fraction=0.3, temperature_c=30),),
        tubes=(Tube(id="hose", name="10/13 hose", bore_mm=10, outer_mm=13),),
        parts=(
            Reservoir(id="tank", name="Tank"),
            Pump(id="pump", name=AWKWARD),
            Block(id="plate", name=TAGGED, drop=drop),
        ),
        layouts=(
            Layout(
                name="ring",
                loop_flow_at="plate",
                placed=(
                    Placement(part="tank", x_mm=120, y_mm=80),
                    Placement(part="pump", x_mm=300, y_mm=80),
                    Placement(part="plate", x_mm=500, y_mm=300),
                ),
                runs=(
                    TubeRun(id="suction", start="tank.outlet", end="pump.inlet", tube="hose"),
                    TubeRun(
                        id="feed",
                        start="pump.outlet",
                        end="plate.outlet",
                        tube="hose",
                        corners=(
                            Corner(x_mm=600, y_mm=80, height_mm=19),
                            Corner(x_mm=600, y_mm=300, height_mm=19),
                        ),
                    ),
                    TubeRun(
                        id="back",
                        start="plate.inlet",
                        end="tank.inlet",
                        tube="hose",
                        corners=(
                            Corner(x_mm=20, y_mm=300, height_mm=18, turn="elbow"),
                            Corner(x_mm=20, y_mm=80, height_mm=18),
                            Corner(x_mm=20, y_mm=80, height_mm=60, turn="elbow"),
                        ),
                    ),
                ),
            ),
        ),
    )


@pytest.fixture(scope="session")
def report(build: Build) -> Report:
    """The content of its flow report on a fixed day."""
    return report_content(build, dated=DAY)

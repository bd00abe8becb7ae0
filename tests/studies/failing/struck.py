"""A machine with one of everything that can fail, to strike in tests."""

from loopsim.build import Build, Enclosure, LoadCase, Placement, edits
from loopsim.parts import (
    AirFilter,
    Block,
    CheckValve,
    Fan,
    Filter,
    Pump,
    Radiator,
    Reservoir,
    Supply,
    Tube,
    TubeRun,
    Valve,
)
from loopsim.parts.block import Load

LAYOUT = "layout 1"


def machine(load: float = 200.0, limit: float = 80.0, **values: object) -> Build:
    """Reservoir, pump, check valve, valve, filter, block and radiator in a row; two fans, a filter, two supplies."""
    build = Build(
        name="bench",
        enclosure=Enclosure(length_mm=2500, width_mm=800),
        tubes=(Tube(id="t", name="T", bore_mm=10),),
        load_cases=(LoadCase(name="full duty"), LoadCase(name="warm day", ambient_c=35.0)),
        **values,
    )
    chip = Load(name="chip", heat_w=load, limit_c=limit, resistance_k_w=0.05)
    row = [
        Reservoir(id="reservoir", name="Reservoir"), Pump(id="pump", name="Pump"),
        CheckValve(id="check", name="Check valve"), Valve(id="valve", name="Valve"), Filter(id="filter", name="Filter"),
        Block(id="block", name="Block", loads=(chip,)), Radiator(id="radiator", name="Radiator"),
    ]  # fmt: skip
    dry = [
        Fan(id="fan_1", name="Fan 1"), Fan(id="fan_2", name="Fan 2"),
        AirFilter(id="mat", name="Mat"),
        Supply(id="supply", name="Supply", rating_w=400, feeds=[{"part": "block"}, {"part": "fan_1"}]),
        Supply(id="second", name="Second", rating_w=400, feeds=[{"part": "fan_1"}, {"part": "pump"}]),
    ]  # fmt: skip
    for number, part in enumerate([*row, *dry]):
        spaces = {"air_from": "room", "air_to": "intake"} if part.id == "mat" else {}
        spaces = {"air_from": "intake", "rotation_deg": 180} if isinstance(part, Fan) else spaces
        place = Placement(part=part.id, x_mm=200 * (number % 7) + 200, y_mm=100 + 300 * (number // 7), **spaces)
        build = edits.add_part(build, LAYOUT, part, place).build
    ways = [list(part.ports) for part in row]
    for one, other, (_, leaves), (enters, _) in zip(row, [*row[1:], row[0]], ways, [*ways[1:], ways[0]], strict=True):
        run = TubeRun(id=f"from_{one.id}", start=f"{one.id}.{leaves}", end=f"{other.id}.{enters}", tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build

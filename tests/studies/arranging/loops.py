"""Loops for the tests of arrangements."""

from loopsim.build import Build, Enclosure, Placement, edits
from loopsim.curves import DropCurve, DropPoint, Provenance
from loopsim.parts import Block, Fan, Load, Part, Pump, Radiator, Reservoir, Tube, TubeRun

LAYOUT = "layout 1"
_WIDE = Tube(id="t", name="T", bore_mm=19.0, outer_mm=25.0, least_radius_mm=40.0)


def square(kpa_at_200: float) -> DropCurve:
    """A square law through one point at 200 L/h."""
    points = tuple(DropPoint(flow_l_h=flow, dp_kpa=kpa_at_200 * (flow / 200) ** 2) for flow in (50, 100, 200, 400, 600))
    return DropCurve(points=points, provenance=Provenance(kind="guess", source="a square law"))


def block(number: int, kpa: float, load: float = 100.0) -> Block:
    loads = (Load(name="chip", heat_w=load, limit_c=80.0),)
    return Block(id=f"block_{number}", name=f"Block {number}", bore_mm=19.0, drop=square(kpa), loads=loads)


def loop(*parts: Part) -> Build:
    """A reservoir and a pump, and parts in a row across a wide room, joined in their order; fans blow in."""
    build = Build(name="loop", enclosure=Enclosure(length_mm=2600, width_mm=1800, clear_height_mm=300), tubes=(_WIDE,))
    places: list[tuple[Part, float, float]] = [
        (Reservoir(id="reservoir", name="Reservoir"), 300, 300),
        (Pump(id="pump", name="Pump"), 700, 300),
        *((part, 700 + 500 * number, 1000) for number, part in enumerate(parts)),
        *((Fan(id=f"fan_{number}", name=f"Fan {number}"), 200 + 200 * number, 1700) for number in range(2)),
    ]
    for part, x, y in places:
        build = edits.add_part(build, LAYOUT, part, Placement(part=part.id, x_mm=x, y_mm=y, height_mm=40)).build
    ports = [("reservoir.outlet", "pump.inlet")]
    ends = ["pump.outlet", *(f"{part.id}.{port}" for part in parts for port in part.ports), "reservoir.inlet"]
    ports += list(zip(ends[::2], ends[1::2], strict=True))
    for start, end in ports:
        run = TubeRun(id=edits.free_run_id(build.layout()), start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build


def radiator(number: int) -> Radiator:
    return Radiator(id=f"radiator_{number}", name=f"Radiator {number}", bore_mm=19.0)

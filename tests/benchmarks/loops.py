"""Builds of the benchmarks: a machine with many parts, drawn as a builder would."""

from collections.abc import Iterator

from loopsim.build import Build, Enclosure, Layout, Placement
from loopsim.parts import Block, Corner, FlowMeter, Manifold, Part, Pump, Radiator, Reservoir, Tube, TubeRun
from loopsim.parts.reservoir import SidePort

__all__ = ["sixty_parts"]

_BANKS, _BLOCKS = 5, 8
_BANK_MM, _COLUMN_MM = 280.0, 90.0
_HEIGHT_MM = 18.0
_VESSEL_PORTS = (("outlet", "right"), ("inlet", "left"), ("inlet_2", "front"))

Run = tuple[str, str, tuple[tuple[float, float], ...]]


def sixty_parts() -> Build:
    """60 parts and 100 runs: two pumps feed five banks of eight blocks side by side, four of them with a radiator."""
    parts, placed = zip(*_parts(), strict=True)
    runs = tuple(
        TubeRun(
            id=f"run_{number}",
            start=start,
            end=end,
            tube="tube",
            radius_mm=10.0,
            corners=tuple(Corner(x_mm=x, y_mm=y, height_mm=_HEIGHT_MM) for x, y in corners),
        )
        for number, (start, end, corners) in enumerate(_runs())
    )
    tube = Tube(id="tube", name="Tube", bore_mm=8.0, outer_mm=11.0, least_radius_mm=10.0)
    room = Enclosure(length_mm=1600.0, width_mm=1700.0, clear_height_mm=80.0)
    layout = Layout(name="rack", placed=placed, runs=runs)
    return Build(name="Rack", enclosure=room, tubes=(tube,), parts=parts, layouts=(layout,))


def _parts() -> Iterator[tuple[Part, Placement]]:
    sides = tuple(SidePort(name=name, side=side) for name, side in _VESSEL_PORTS)
    yield Reservoir(id="vessel", name="Vessel", port_list=sides), _at("vessel", 120, 100)
    for number in range(2):
        yield Pump(id=f"pump_{number}", name=f"Pump {number}"), _at(f"pump_{number}", 280 + 120 * number, 100)
    yield FlowMeter(id="meter", name="Meter"), _at("meter", 520, 100)
    for name, x in (("supply", 200), ("return", 1500)):
        header = Manifold(id=name, name=name.title(), length_mm=1200, spacing_mm=150, branches="6")
        yield header, _at(name, x, 900, 90.0)
    for bank in range(_BANKS):
        for kind, y in (("feed", 0), ("drain", 200)):
            name = f"{kind}_{bank}"
            row = Manifold(id=name, name=name, length_mm=760, spacing_mm=_COLUMN_MM, branches="8")
            yield row, _at(name, 700, _y(bank) + y, 0.0)
        for block in range(_BLOCKS):
            name = f"block_{bank}_{block}"
            yield Block(id=name, name=name), _at(name, _x(block), _y(bank) + 110, 90.0)
        if bank < _BANKS - 1:
            name = f"radiator_{bank}"
            yield Radiator(id=name, name=name, ports_at="one end", length_mm=240), _at(name, 1250, _y(bank) + 100)


def _runs() -> Iterator[Run]:
    yield "vessel.outlet", "pump_0.inlet", ()
    yield "pump_0.outlet", "pump_1.inlet", ()
    yield "pump_1.outlet", "meter.inlet", ()
    yield "meter.outlet", "supply.main", ((580, 100), (580, 200), (200, 200))
    for bank in range(_BANKS):
        feed, drain, y = f"feed_{bank}", f"drain_{bank}", _y(bank)
        yield f"supply.branch_{bank + 1}", f"{feed}.main", ((160, y), (160, y - 30), (300, y - 30))
        for block in range(_BLOCKS):
            x = _x(block)
            yield f"{feed}.branch_{block + 1}", f"block_{bank}_{block}.inlet", ((x, y + 40),)
            yield f"block_{bank}_{block}.outlet", f"{drain}.branch_{block + 1}", ((x, y + 230),)
        if bank < _BANKS - 1:
            yield f"{drain}.main", f"radiator_{bank}.a", ((300, y + 250), (1120, y + 250))
            yield f"radiator_{bank}.b", f"return.branch_{bank + 1}", ((1110, y + 60), (1420, y + 60))
        else:
            yield f"{drain}.main", f"return.branch_{bank + 1}", ((300, y + 250), (1420, y + 250))
    yield "return.main", "vessel.inlet", ((1500, 20), (20, 20), (20, 100))
    yield "return.branch_6", "vessel.inlet_2", ((1550, 1400), (1550, 40), (120, 40))


def _at(part_id: str, x: float, y: float, rotation_deg: float = 0.0) -> Placement:
    return Placement(part=part_id, x_mm=x, y_mm=y, rotation_deg=rotation_deg)


def _x(block: int) -> float:
    return 700.0 + _COLUMN_MM * (block - (_BLOCKS - 1) / 2)


def _y(bank: int) -> float:
    return 250.0 + _BANK_MM * bank

"""Two unlike radiators one behind the other in the same air: their order does not matter."""

import pytest

from loopsim.build import Build, Placement, edits
from loopsim.parts import Radiator, TubeRun
from loopsim.studies import heat_point

from .struck import LAYOUT, machine


def in_order(first: str, second: str) -> Build:
    """The machine with a second, poorer radiator; both breathe the chamber's air."""
    build = machine(load=300.0)
    fins = build.part("radiator").heat
    poorer = tuple(point.with_values(heat_w=0.5 * point.heat_w) for point in fins.points)
    other = Radiator(id="other", name="Other", heat=fins.with_values(points=poorer))
    build = edits.add_part(build, LAYOUT, other, Placement(part="other", x_mm=1800, y_mm=300)).build
    for run in ("from_block", "from_radiator"):
        build = edits.remove_run(build, LAYOUT, run).build
    ends = ("block.outlet", f"{first}.a"), (f"{first}.b", f"{second}.a"), (f"{second}.b", "reservoir.inlet")
    for number, (start, end) in enumerate(ends):
        run = TubeRun(id=f"way_{number}", start=start, end=end, tube="t")
        build = edits.add_run(build, LAYOUT, run).build
    return build


def test_the_order_of_radiators_in_equal_air_leaves_the_block_as_it_is() -> None:
    """Each takes a fixed share of the coolant's rise over the air, and shares multiply in any order.

    But for what viscosity and bores of other length make of it: a few hundredths of a kelvin.
    """
    one, other = (heat_point(in_order(*order)) for order in (("radiator", "other"), ("other", "radiator")))
    assert one.warmest.temperature == pytest.approx(other.warmest.temperature, abs=0.05)
    between = [heat.streams["way_1"][0] for heat in (one, other)]
    assert abs(between[0] - between[1]) > 0.3  # though not what runs from one to the other

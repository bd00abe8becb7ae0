"""Building the network from the document, against solving it."""

from collections.abc import Callable

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.build import Build, Layout, Placement
from loopsim.network import assemble
from loopsim.parts import Block, Corner, Pump, Reservoir, Tee, Tube, TubeRun
from loopsim.solve import solve_flow

from .timing import in_turn

Say = Callable[[str], None]


def rack(blocks: int) -> Build:
    """Blocks side by side between two rails of tees: eleven elements for each."""
    parts = [Reservoir(id="vessel", name="Vessel"), Pump(id="pump", name="Pump")]
    ends = [("vessel.outlet", "pump.inlet")]
    supply, back = "pump.outlet", "vessel.inlet"
    for number in range(blocks):
        parts += [Tee(id=f"{rail}_{number}", name=rail, losses="constant per leg") for rail in ("out", "home")]
        parts.append(Block(id=f"block_{number}", name="Block"))
        ends += [
            (supply, f"out_{number}.a"), (f"out_{number}.c", f"block_{number}.inlet"),
            (f"block_{number}.outlet", f"home_{number}.c"), (f"home_{number}.a", back),
        ]  # fmt: skip
        supply, back = f"out_{number}.b", f"home_{number}.b"
    ends.append((supply, back))
    runs = [
        TubeRun(id=f"run_{number}", start=start, end=end, tube="t", corners=(Corner(x_mm=number, y_mm=300.0),))
        for number, (start, end) in enumerate(ends)
    ]
    placed = [Placement(part=part.id, x_mm=10.0 * number, y_mm=100.0) for number, part in enumerate(parts)]
    layout = Layout(name="rack", placed=tuple(placed), runs=tuple(runs))
    return Build(name="rack", tubes=(Tube(id="t", name="T"),), parts=tuple(parts), layouts=(layout,))


@pytest.mark.parametrize(
    "blocks",
    [
        3,
        pytest.param(270, marks=pytest.mark.xfail(strict=False, reason="2.2 times on the machine it was written on")),
    ],
    ids=["35 elements", "3,000 elements"],
)
def test_assembling_costs_no_more_than_solving_what_was_assembled(
    blocks: int, benchmark: BenchmarkFixture, say: Say
) -> None:
    """After an edit: all records but one are the ones that they were, and the network is solved for the first time."""
    build = rack(blocks)
    layout = build.layout()
    network = assemble(build, layout).network

    def first_solve() -> object:
        return solve_flow(network.part_of(network.links))

    assembling, solving = in_turn([lambda: assemble(build, layout), first_solve])
    say(f"{len(network.links)} elements: assembled in {assembling / solving:.2f} of their first solve")
    benchmark.pedantic(lambda: assemble(build, layout), rounds=3)
    assert assembling <= solving

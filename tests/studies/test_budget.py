"""The pressure budget with its running share."""

from pathlib import Path

import pytest

from loopsim.build import Build, Placement, edits, load
from loopsim.parts import LiquidExchanger, Pump, Reservoir, Tube, TubeRun
from loopsim.studies import budgets, operating_point


def test_the_running_share_adds_up_the_shares_to_one(plinth_path: Path) -> None:
    (budget,) = budgets(operating_point(load(plinth_path)))
    assert budget.circuit == ""
    so_far = 0.0
    for line in budget.lines:
        so_far += line.part.share
        assert line.running == pytest.approx(so_far)
    assert so_far == pytest.approx(1.0)
    shares = [line.part.share for line in budget.lines]
    assert shares == sorted(shares, reverse=True)


def test_each_circuit_has_a_budget_of_its_own() -> None:
    """Two loops that an exchanger parts; each side of the exchanger counts where it lies."""
    made = Build(
        name="bench",
        tubes=(Tube(id="t", name="10/13"),),
        parts=(
            LiquidExchanger(id="exchanger", name="Exchanger"),
            *(Reservoir(id=f"tank_{side}", name=f"Tank {side}") for side in ("primary", "secondary")),
            *(Pump(id=f"pump_{side}", name=f"Pump {side}") for side in ("primary", "secondary")),
        ),
    )
    layout = made.layout().name
    for number, part in enumerate(made.parts):
        place = Placement(part=part.id, x_mm=100 + 300 * (number % 3), y_mm=100 + 300 * (number // 3))
        made = edits.place(made, layout, place).build
    for side in ("primary", "secondary"):
        for start, end in (
            (f"tank_{side}.outlet", f"pump_{side}.inlet"),
            (f"pump_{side}.outlet", f"exchanger.{side}_inlet"),
            (f"exchanger.{side}_outlet", f"tank_{side}.inlet"),
        ):
            run = TubeRun(id=edits.free_run_id(made.layout()), start=start, end=end, tube="t")
            made = edits.add_run(made, layout, run).build
    found = budgets(operating_point(made))
    assert [budget.circuit for budget in found] == ["Tank primary", "Tank secondary"]
    for budget, side in zip(found, ("primary", "secondary"), strict=True):
        assert budget.lines[-1].running == pytest.approx(1.0)
        assert [line.part.way for line in budget.lines if line.part.id == "exchanger"] == [side]


def test_where_nothing_flows_there_is_no_budget() -> None:
    tank = Reservoir(id="tank", name="Tank")
    made = edits.add_part(Build(name="bench"), "layout 1", tank, Placement(part="tank", x_mm=0, y_mm=0)).build
    assert budgets(operating_point(made)) == ()

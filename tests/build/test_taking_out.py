"""A part taken out of its line leaves one run; a vessel set into a ring stands before the pump."""

import pytest

from loopsim.build import Build, Layout, Placement, edits
from loopsim.build.taking_out import take_out
from loopsim.errors import SketchError
from loopsim.parts import Corner, Pump, Radiator, Tee, Tube, TubeRun
from loopsim.studies import findings
from loopsim.studies.fit import fit, remedied


def ring(*, tee: bool = False) -> Build:
    """Pump and radiator in a ring without a vessel, with or without a tee in the way back."""
    parts = [Pump(id="pump", name="Pump"), Radiator(id="rad", name="Radiator")]
    placed = [Placement(part="pump", x_mm=300, y_mm=100), Placement(part="rad", x_mm=300, y_mm=300)]
    out = TubeRun(
        id="out", start="pump.outlet", end="rad.b", tube="t",
        corners=(Corner(x_mm=550, y_mm=100), Corner(x_mm=550, y_mm=300)),
    )  # fmt: skip
    back = TubeRun(
        id="back", start="rad.a", end="pump.inlet", tube="t",
        corners=(Corner(x_mm=50, y_mm=300), Corner(x_mm=50, y_mm=100)),
    )  # fmt: skip
    runs = [out, back]
    if tee:
        parts.append(Tee(id="tee", name="Tee"))
        placed.append(Placement(part="tee", x_mm=50, y_mm=200, rotation_deg=90))
        first = back.with_values(end="tee.b", corners=back.corners[:1])
        runs = [out, first, back.with_values(id="on", start="tee.a", corners=back.corners[1:])]
    return Build(
        name="b", tubes=(Tube(id="t", name="t"),), parts=tuple(parts),
        layouts=(Layout(name="l", placed=tuple(placed), runs=tuple(runs)),),
    )  # fmt: skip


def warnings(build: Build) -> dict[str, str | None]:
    return {each.code: each.part for each in findings(build) if each.code in ("open_end", "no_vessel")}


def test_an_open_end_is_a_warning_once_a_pump_would_push_coolant_out_of_it() -> None:
    closed = ring(tee=True)
    assert warnings(closed)["open_end"] == "tee"
    assert not [each for each in findings(closed) if each.code == "open_port"]  # said once
    opened = edits.change_layout(closed, "l", runs=closed.layout().runs[:-1]).build
    assert "open_end" not in warnings(opened)
    assert {each.part for each in findings(opened) if each.code == "open_port"} == {"tee", "pump"}


def test_the_remedy_of_an_open_tee_takes_it_out_and_joins_its_tubes() -> None:
    build = ring(tee=True)
    found = next(each for each in fit(build) if each.code == "open_end")
    mended = remedied(build, "l", found).build
    run = mended.layout().run("back")
    assert (run.start, run.end) == ("rad.a", "pump.inlet")
    assert [(corner.x_mm, corner.y_mm) for corner in run.corners] == [(50, 300), (50, 100)]
    assert len(mended.layout().runs) == 2
    assert "open_end" not in warnings(mended)


def test_a_ring_without_a_vessel_is_a_warning_whose_remedy_sets_one_before_the_pump() -> None:
    build = ring()
    assert warnings(build) == {"no_vessel": "pump"}
    found = next(each for each in fit(build) if each.code == "no_vessel")
    mended = remedied(build, "l", found).build
    assert warnings(mended) == {}
    suction = next(run for run in mended.layout().runs if "pump.inlet" in (run.start, run.end))
    assert "reservoir" in {suction.start.partition(".")[0], suction.end.partition(".")[0]}


def test_a_part_with_one_run_is_not_taken_out() -> None:
    build = ring(tee=True)
    alone = edits.change_layout(build, "l", runs=build.layout().runs[:-1]).build
    with pytest.raises(SketchError, match="Tee has 1 tube run on it"):
        take_out(alone, "l", "tee")

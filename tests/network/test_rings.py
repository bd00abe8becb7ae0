"""What lies in a ring, as far as it is drawn."""

from loopsim.build import edits
from loopsim.network import in_rings, in_use
from loopsim.parts import CheckValve, Manifold, Tee
from tests.studies.machines import LAYOUT, joined, machine, placed

LOOP = {"reservoir", "pump", "block", "radiator"}


def rings(build):
    return in_rings(build, build.layout())


def test_all_of_a_closed_loop_lies_in_a_ring_and_what_has_no_tubes_does_not() -> None:
    build = machine()
    assert rings(build) == LOOP | set(build.layout().runs_by_id)


def test_a_single_missing_tube_opens_the_whole_ring() -> None:
    build = machine()
    for run in build.layout().runs:
        assert rings(edits.remove_run(build, LAYOUT, run.id).build) == frozenset(), run.id


def test_a_blind_branch_of_a_ring_is_none_of_it() -> None:
    build = placed(machine(), Manifold(id="tail", name="Tail"), 300, 600)
    build = placed(build, Tee(id="tee", name="Tee"), 300, 500)
    (run,) = [run for run in build.layout().runs if run.start == "radiator.b"]
    legs = list(build.part("tee").ports)
    build = edits.remove_run(build, LAYOUT, run.id).build
    build = joined(build, ("radiator.b", f"tee.{legs[0]}"), (f"tee.{legs[1]}", "reservoir.inlet"))
    end = next(iter(build.part("tail").ports))
    build = joined(build, (f"tee.{legs[2]}", f"tail.{end}"))
    assert rings(build) >= LOOP | {"tee"}
    assert "tail" not in rings(build)


def test_what_is_shut_still_lies_in_its_ring() -> None:
    build = placed(machine(), CheckValve(id="check", name="Check valve", stuck="shut"), 650, 100)
    (run,) = [run for run in build.layout().runs if run.start == "pump.outlet"]
    build = edits.remove_run(build, LAYOUT, run.id).build
    build = joined(build, ("pump.outlet", "check.inlet"), ("check.outlet", "block.inlet"))
    assert rings(build) >= LOOP | {"check"}


def test_a_ring_that_nothing_drives_is_in_use_once_nothing_is_open() -> None:
    """Two blocks side by side between tees, before the loop is closed; and a closed loop without a pump."""
    build = machine()
    for number, x in enumerate((300, 900)):
        build = placed(build, Tee(id=f"tee_{number}", name=f"Tee {number}"), x, 600)
    legs = list(build.part("tee_0").ports)
    for run in build.layout().runs:
        build = edits.remove_run(build, LAYOUT, run.id).build
    build = joined(build, (f"tee_0.{legs[0]}", "block.inlet"), ("block.outlet", f"tee_1.{legs[0]}"))
    build = joined(build, (f"tee_0.{legs[1]}", "radiator.a"), ("radiator.b", f"tee_1.{legs[1]}"))
    assert {"block", "radiator", "tee_0", "tee_1"} <= rings(build)
    assert in_use(build, build.layout()) == frozenset()
    without = edits.remove_part(machine(), LAYOUT, "pump").build
    closed = joined(without, ("reservoir.outlet", "block.inlet"))
    assert in_use(closed, closed.layout()) >= {"block", "radiator", "reservoir"}
    assert in_use(machine(), machine().layout()) == rings(machine())

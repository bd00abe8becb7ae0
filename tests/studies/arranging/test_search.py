"""Arrangements that are drawn and solved, against closed forms and what must hold of every one."""

import math
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from loopsim.build import Build, edits, load
from loopsim.cancelling import Cancelled, cancellable
from loopsim.errors import SketchError
from loopsim.parts import Filter
from loopsim.studies import heat_point, operating_point
from loopsim.studies.arranging import Arrangement, Arrangements, arrange, each_arrangement, ranked, taken
from loopsim.studies.arranging.estimate import Estimator
from loopsim.studies.arranging.open_loop import open_loop
from loopsim.studies.arranging.plans import Pass, Planner
from loopsim.studies.arranging.shapes import Row, Split
from loopsim.studies.arranging.ways import BareLayout
from loopsim.studies.chunks import Workers
from sample_loops import sample

from .loops import LAYOUT, block, loop, radiator


@pytest.fixture(scope="module")
def build() -> Build:
    return loop(block(1, 8.0), block(2, 8.0), radiator(1))


@pytest.fixture(scope="module")
def found(build: Build) -> Arrangements:
    return arrange(build, keep=100, draw=9)


def in_order(found: Arrangements, words: str) -> Arrangement:
    return next(each for each in found.best if each.words == words)


def test_every_arrangement_uses_each_part_once_and_closes_the_loop(build: Build, found: Arrangements) -> None:
    assert len(found.best) == found.drawn >= 6
    assert found.tried == 19
    for each in found.best:
        layout = each.layout
        assert set(build.layout().placements) <= set(layout.placements)
        added = set(layout.placements) - set(build.layout().placements)
        assert {each.build.part(part).kind_name() for part in added} <= {"tee"}
        ends = [end for run in layout.runs for end in (run.start, run.end)]
        ports = [
            f"{part}.{port}" for part in layout.placements for port in each.build.part(part).ports
            if build.parts_by_id.get(part) is None or not build.part(part).merges_ports
        ]  # fmt: skip
        assert set(ports) <= set(ends)
        assert len(ends) == len(set(ends))
        flows = {part.id: abs(part.flow) for part in each.heat.point.parts}
        assert all(flows[unit] > 0 for unit in ("block_1", "block_2", "radiator_1"))


def test_parts_stay_where_they_stand_and_what_feeds_the_pump_stays_as_drawn(build: Build, found: Arrangements) -> None:
    drawn = build.layout()
    for each in found.best:
        assert all(each.layout.placement(part) == placement for part, placement in drawn.placements.items())
        assert each.layout.run("run") == drawn.run("run"), "reservoir to pump"


def test_none_of_them_has_a_tube_in_the_way(found: Arrangements) -> None:
    assert [each.words for each in found.best if each.problems] == []


def test_what_is_listed_is_what_the_layout_gives_once_taken(build: Build, found: Arrangements) -> None:
    after = build
    for each in found.best[:3]:
        edit, name = taken(after, each)
        after = edit.build
        heat = heat_point(after, name)
        assert heat.point.loop_flow == pytest.approx(each.flow, rel=1e-12)
        assert heat.warmest.margin == pytest.approx(each.margin, rel=1e-9)
    assert after.layouts[0] is build.layouts[0]
    assert len({layout.name for layout in after.layouts}) == 4


def test_what_was_changed_since_the_search_comes_along_as_it_was(build: Build, found: Arrangements) -> None:
    """A block of another height and a tube of another bore would not give what was listed."""
    each = found.best[0]
    at_block = tuple(
        layout.with_values(loop_flow_at="block_1") if layout.name == each.layout_name else layout
        for layout in each.build.layouts
    )
    stale = replace(each, build=each.build.with_values(layouts=at_block))
    since = edits.change_part(build, "block_1", height_mm=build.part("block_1").height_mm + 5.0).build
    tubes = tuple(tube.with_values(bore_mm=tube.bore_mm - 1.0) for tube in since.tubes)
    edit, name = taken(since.with_values(tubes=tubes), stale)
    layout = edit.build.layout(name)
    assert layout.loop_flow_at not in ("block_1", None)
    assert edit.build.part(layout.loop_flow_at).height_mm == build.part("block_1").height_mm
    heat = heat_point(edit.build, name)
    assert abs(heat.point.of(layout.loop_flow_at).flow) == pytest.approx(
        abs(each.heat.point.of("block_1").flow), rel=1e-9
    )
    assert heat.warmest.margin == pytest.approx(each.margin, rel=1e-9)


def test_square_law_blocks_side_by_side_pass_twice_the_flow_at_a_quarter_of_the_drop(found: Arrangements) -> None:
    """By hand: blocks of ``dp = k Q^2`` cost 2 k Q^2 in a row, and k Q^2 / 4 side by side where tubes cost nothing."""
    row, beside = found.as_drawn.heat.point, in_order(found, "(Block 2 ‖ Block 1) → Radiator 1").heat.point
    k = 8e3 / (200 / 3.6e6) ** 2
    for point in (row, beside):
        for part in point.parts:
            if part.id.startswith("block"):
                assert abs(part.dp) == pytest.approx(k * part.flow**2, rel=0.02)
    flows = [abs(part.flow) for part in beside.parts if part.id.startswith("block")]
    assert sum(flows) == pytest.approx(beside.loop_flow, rel=1e-3), "less warm liquid takes less room"
    assert min(flows) > 0.4 * beside.loop_flow, "wide tubes and equal blocks share nearly evenly"
    assert beside.loop_flow > 1.3 * row.loop_flow


def test_estimates_meet_what_the_drawing_gives(build: Build) -> None:
    heat = heat_point(build)
    opened = open_loop(heat.point)
    bare = BareLayout(opened)
    plan = Planner(opened, lambda a, b: bare.way(a, b).length_mm, turns=False).plan(Row((0, 1, 2)))
    estimate = Estimator(bare, heat).of(plan)
    assert estimate.flow == pytest.approx(heat.point.loop_flow, rel=0.02)
    assert estimate.margin == pytest.approx(heat.warmest.margin, abs=0.7)


def test_two_equal_radiators_in_a_row_give_the_blocks_one_temperature_in_either_order() -> None:
    """Equal air before both: what the first sheds more, the second sheds less."""
    build = loop(block(1, 8.0), radiator(1), radiator(2))
    both = arrange(build, only=("radiator_1", "radiator_2"), keep=3)
    row = next(each for each in both.best if each.words == "Radiator 2 → Radiator 1")
    there, here = (
        next(each.temperature for each in heat.components if each.part == "block_1")
        for heat in (row.heat, both.as_drawn.heat)
    )
    at_same_flow = abs(row.flow - both.as_drawn.flow) / both.as_drawn.flow
    assert at_same_flow < 0.02
    assert there == pytest.approx(here, abs=0.1)


def test_the_rank_puts_what_holds_first_and_nothing_after_what_it_betters(found: Arrangements) -> None:
    by_flow = ranked(found.best, "flow")
    sound = [each.is_sound for each in by_flow]
    assert sound == sorted(sound, reverse=True)
    flows = [each.flow for each in by_flow if each.is_sound]
    assert flows[0] == max(flows)
    assert ranked(found.best, "tube")[0].tube == min(each.tube for each in found.best if each.is_sound)
    assert sorted(map(id, by_flow)) == sorted(map(id, found.best))


def test_the_same_build_gives_the_same_answer() -> None:
    build = loop(block(1, 8.0), radiator(1))
    told = [[(each.words, each.turned, each.flow, each.tube) for each in arrange(build).best] for _ in range(2)]
    assert told[0] == told[1]
    assert len(told[0]) == 3


def test_results_come_one_by_one_and_a_cancelled_search_leaves_no_trace(build: Build) -> None:
    before, seen = build.model_dump(), []

    def look() -> None:
        for looking in each_arrangement(build):
            if looking.found is not None:
                seen.append(looking.found)

    with cancellable(lambda: len(seen) > 1), pytest.raises(Cancelled):
        look()
    assert [each.words == "as drawn" for each in seen] == [True, False]
    assert build.model_dump() == before


def test_each_part_can_be_entered_as_it_is_drawn(build: Build) -> None:
    assert all(each.turned == () for each in arrange(build, turns=False, draw=2).best)


def test_the_choice_of_ports_takes_least_tube_of_all_choices() -> None:
    """Against all ways to enter three parts, by hand."""
    opened = open_loop(operating_point(loop(block(1, 8.0), block(2, 8.0), radiator(1))))

    def length(a: str, b: str) -> float:
        return math.dist(*(opened.build.port_spot(opened.layout, port) for port in (a, b)))

    plan = Planner(opened, length).plan(Row((1, 0, 2)))
    units = [opened.units[number].ports for number in (1, 0, 2)]
    every = []
    for chosen in product(*((ports, ports[::-1]) for ports in units)):
        ends = [opened.leaves, *(port for ports in chosen for port in ports), opened.returns[0]]
        every.append(sum(length(a, b) for a, b in zip(ends[::2], ends[1::2], strict=True)))
    assert plan.tube_mm == pytest.approx(min(every))


def test_a_filter_between_blocks_keeps_the_whole_flow() -> None:
    opened = open_loop(operating_point(loop(block(1, 8.0), Filter(id="mesh", name="Mesh"), block(2, 8.0), radiator(1))))
    assert [item.parts for item in opened.in_line] == [("mesh",)]
    assert [item.parts for item in opened.units] == [("block_1",), ("block_2",), ("radiator_1",)]
    plan = Planner(opened, lambda *_: 1.0).plan(Row((Split((0, 1)), 2)))
    assert any(step == Pass(opened.in_line[0]) for step in plan.steps), "never beside another"


def test_pumps_side_by_side_keep_their_tees_and_the_blocks_lose_theirs(plinth_path: Path) -> None:
    opened = open_loop(operating_point(load(plinth_path), "two pumps side by side"))
    assert opened.joints == {"split", "merge"}
    assert (opened.leaves, opened.returns) == ("pump_merge.c", ("reservoir.inlet",))
    assert opened.redrawn.isdisjoint({"run_1", "run_15", "run_16", "run_2", "run_3", "run_4", "run_5"})


def test_what_cannot_be_arranged_is_said() -> None:
    one = loop(block(1, 8.0))
    with pytest.raises(SketchError, match="fewer than two blocks and radiators"):
        arrange(one)
    many = loop(*(block(number, 8.0) for number in range(8)))
    with pytest.raises(SketchError, match="at most 7 can be arranged at once; choose which"):
        arrange(many)
    with pytest.raises(SketchError, match="Pump is a pump; only blocks and radiators change places"):
        arrange(one, only=("pump",))
    loose = edits.remove_run(one, LAYOUT, "run_2").build
    with pytest.raises(SketchError, match="cannot be arranged"):
        arrange(loose)


def test_no_tube_of_an_arrangement_runs_through_itself(found: Arrangements) -> None:
    """Sampled along each centre line: what lies more than a bend apart along it is never nearer than its width."""
    for each in found.best:
        for run in each.layout.runs:
            path, tube = each.build.run_path(each.layout, run), each.build.tube(run.tube)
            line = np.array(path.centre_line())
            along = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))))
            places = np.arange(0.0, along[-1], 5.0)
            points = np.stack([np.interp(places, along, line[:, axis]) for axis in range(3)], axis=1)
            apart = np.linalg.norm(points[:, None] - points[None], axis=2)
            far = np.abs(places[:, None] - places[None]) > math.pi * max(run.radius_mm, tube.outer_mm)
            assert apart[far].min(initial=np.inf) > 0.9 * tube.outer_mm, each.words


def test_a_sump_on_a_side_branch_stays_with_its_tee() -> None:
    opened = open_loop(operating_point(load(Path(str(sample("awkward-riser")))), "sump on a side branch"))
    assert opened.joints == frozenset()
    assert (opened.leaves, opened.returns) == ("fill_port.b", ("side_tee.b",))
    assert "run_1" not in opened.redrawn


def test_two_processes_give_the_same_answer_as_one() -> None:
    build = loop(block(1, 8.0), radiator(1))
    one, two = (arrange(build, workers=Workers(count)) for count in (1, 2))
    assert [(each.words, each.flow, each.margin, each.tube) for each in two.best] == [
        (each.words, each.flow, each.margin, each.tube) for each in one.best
    ]
    assert taken(build, two.best[0])[0].build.layouts[-1] == taken(build, one.best[0])[0].build.layouts[-1]

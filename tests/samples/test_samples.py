"""The samples as a builder meets them: drawn without fault, solved in every load case, and as their notes say."""

from collections.abc import Iterator
from itertools import combinations, pairwise

import numpy as np
import pytest

import sample_loops
from loopsim.build import Build, Layout, from_text
from loopsim.parts import AirComponent, Fan, FlowMeter, Part, Pump, Radiator, Supply
from loopsim.studies import findings, heat_point, heat_points

NAMES = sample_loops.names()
CASES = [(name, case.name) for name in NAMES for case in from_text(sample_loops.sample(name).read_text()).load_cases]
PLINTH = from_text(sample_loops.sample("render-plinth").read_text(encoding="utf-8"))
FANS = [part.id for part in PLINTH.parts if isinstance(part, Fan)]
LAYOUTS = [layout.name for layout in PLINTH.layouts]


def sample(name: str) -> Build:
    return from_text(sample_loops.sample(name).read_text(encoding="utf-8"))


def boxes(build: Build, layout: Layout) -> Iterator[tuple[Part, np.ndarray, np.ndarray]]:
    """Each part inside the enclosure with the lowest and the highest corner of the room it takes [mm]."""
    for placement in layout.placed:
        part = build.part(placement.part)
        if isinstance(part, Supply) and part.stands == "outside":
            continue
        corners = np.array([(spot.x_mm, spot.y_mm) for spot in part.outline.corners(placement.place_of(part))])
        low, high = corners.min(axis=0), corners.max(axis=0)
        yield part, np.append(low, placement.height_mm), np.append(high, placement.height_mm + part.height_mm)


def test_there_are_four() -> None:
    assert NAMES == ["awkward-riser", "kiln-lamp", "pier-camera", "render-plinth"]


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_says_that_it_is_invented(name: str) -> None:
    build = sample(name)
    assert build.note.startswith("Invented")
    assert "made up" in build.note


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_wrong_with_the_drawing(name: str) -> None:
    build = sample(name)
    for layout in build.layouts:
        assert findings(build, layout.name) == ()


@pytest.mark.parametrize("name", NAMES)
def test_no_two_parts_stand_in_one_place(name: str) -> None:
    build = sample(name)
    for layout in build.layouts:
        for (one, low, high), (other, low_2, high_2) in combinations(boxes(build, layout), 2):
            apart = (high <= low_2 + 1e-6) | (high_2 <= low + 1e-6)
            assert apart.any(), f"{layout.name}: {one.name} and {other.name}"


@pytest.mark.parametrize("name", NAMES)
def test_no_tube_runs_through_a_part_or_out_of_the_enclosure(name: str) -> None:
    build = sample(name)
    room = np.array([build.enclosure.length_mm, build.enclosure.width_mm, build.enclosure.clear_height_mm])
    for layout in build.layouts:
        for run in layout.runs:
            half = build.tube(run.tube).outer_mm / 2
            line = build.run_path(layout, run).centre_line()
            spots = np.array([(spot.x_mm, spot.y_mm, spot.height_mm) for spot in line])
            spots = np.concatenate([np.linspace(a, b, 50) for a, b in pairwise(spots)])
            assert (spots >= half).all(), run.id
            assert (spots <= room - half).all(), run.id
            joined = {end.partition(".")[0] for end in (run.start, run.end)}
            for part, low, high in boxes(build, layout):
                inside = (spots > low - half) & (spots < high + half)
                assert part.id in joined or not inside.all(axis=1).any(), f"{layout.name}: {run.id}, {part.name}"


@pytest.mark.parametrize(("name", "case"), CASES)
def test_every_load_case_settles_and_all_heat_is_found_again(name: str, case: str) -> None:
    build = sample(name)
    for layout in build.layouts:
        heat = heat_point(build, layout.name, case)
        assert heat.is_steady
        assert heat.imbalance < 1e-6
        assert all(component.holds for component in heat.components)
        assert not any(supply.is_overloaded for supply in heat.supplies)


@pytest.mark.parametrize("name", NAMES)
def test_the_stated_coolant_temperature_is_about_what_heat_gives_in_the_first_case(name: str) -> None:
    build = sample(name)
    mean = np.mean(list(heat_point(build).streams.values()))
    assert build.coolant.temperature_c == pytest.approx(mean, abs=2.0)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_plinth_holds_by_a_few_kelvin_and_just_misses_with_any_fan_out(layout: str) -> None:
    whole = heat_point(PLINTH, layout)
    assert whole.case.name == "full duty"
    assert 1.0 < whole.warmest.margin < 5.0
    for fan in FANS:
        assert -2.0 < heat_point(PLINTH, layout, stopped={fan}, near=whole).warmest.margin < 0.0


def test_the_plinth_breathes_out_by_its_radiators_only() -> None:
    heat = heat_point(PLINTH)
    intake, chamber = sorted(heat.spaces, key=lambda space: space.pressure)
    assert intake.pressure < 0 < chamber.pressure
    assert chamber.escaping == 0.0
    passing = sum(exchanger.other_flow for exchanger in heat.exchangers)
    assert passing == pytest.approx(chamber.passing, rel=1e-9)
    assert sum(fan.flow for fan in heat.fans) == pytest.approx(
        passing, rel=0.04
    )  # warm between the fins, it takes more room


def test_the_plinths_heat_is_what_its_parts_are_said_to_give() -> None:
    heat = heat_point(PLINTH)
    assert sum(part.load_w for part in PLINTH.parts if isinstance(part, AirComponent)) == 58.0
    assert [(supply.rating, supply.stands) for supply in heat.supplies] == [(250.0, "outside")] * 3
    for supply in heat.supplies:
        assert supply.load / supply.drawn == pytest.approx(0.91)
    assert sum(supply.load for supply in heat.supplies) + heat.budget.outside == pytest.approx(heat.budget.electrical)


def test_a_supply_outside_is_measured_against_neither_lid_nor_floor() -> None:
    inside = [part.with_values(stands="inside") if isinstance(part, Supply) else part for part in PLINTH.parts]
    found = findings(PLINTH.with_values(parts=tuple(inside)))
    assert [(finding.code, finding.part) for finding in found] == [("too_low", f"supply_{n}") for n in (1, 2, 3)]


def test_the_camera_has_its_pump_below_everything_and_its_radiator_above() -> None:
    build = sample("pier-camera")
    heights = {placement.part: placement.height_mm for placement in build.layout().placed}
    (pump,) = [part.id for part in build.parts if isinstance(part, Pump)]
    (radiator,) = [part.id for part in build.parts if isinstance(part, Radiator)]
    inside = [part.id for part in build.parts if not isinstance(part, Supply)]
    assert min(inside, key=heights.__getitem__) == pump
    assert heights[radiator] >= max(heights[block] for block in ("camera", "drive")) + 100


def test_frost_is_named_for_the_camera_in_its_cold_case_only() -> None:
    """Common practice, no source: keep 5 K above the freezing point; 30 % propylene glycol freezes near -13 °C."""
    warm, cold = heat_points(sample("pier-camera"))
    assert (warm.room, cold.room) == (30.0, -10.0)
    assert "frost" not in {finding.code for finding in warm.findings}
    assert "frost" in {finding.code for finding in cold.findings}
    assert cold.point.loop_flow < 0.8 * warm.point.loop_flow  # cold coolant is thick


def test_the_lamps_flow_switch_sees_the_running_pump_and_misses_the_standing_one() -> None:
    """With the pump out, warm coolant still rises to the radiator, too little of it for the switch to see."""
    build = sample("kiln-lamp")
    switch = next(part for part in build.parts if isinstance(part, FlowMeter))
    least = switch.least_flow_l_h / 3.6e6
    for case in build.load_cases:
        running, standing = (heat_point(build, case_name=case.name, stopped=off) for off in ((), {"pump"}))
        assert running.point.of(switch.id).flow > 2 * least
        assert 0 < standing.point.of(switch.id).flow < least
        assert running.warmest.holds
        assert standing.warmest.holds == (case.name == "standby")

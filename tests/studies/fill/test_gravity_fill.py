"""Filling by gravity, on profiles whose answers a hand can work out."""

import math
from collections.abc import Callable

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.build import Build, load
from loopsim.errors import SketchError
from loopsim.network import height_graph
from loopsim.parts import BleedPort, Radiator, Reservoir, Tee
from loopsim.studies.fill import gravity_fill
from loopsim.units import GRAVITY

Make = Callable[..., Build]
AREA = math.pi / 4 * 0.010**2


def levels_of(fill) -> dict[str, float]:
    return {each.at.item: each.level for each in fill.unreached}


def test_a_u_fills_on_both_sides_when_both_ends_are_open(between: Make) -> None:
    """Down from 109 mm to 0 and up again to 109 mm; poured in on the left, air leaves on the right."""
    fill = gravity_fill(between(100, 100, 0), opening="a", vents=["b"])
    assert fill.unreached == ()
    assert fill.pockets == ()
    assert fill.poured == pytest.approx(fill.capacity)
    assert fill.rim == pytest.approx(0.140)


def test_a_u_with_a_closed_end_keeps_its_air(between: Make) -> None:
    """The bottom seals the right leg at once; it is squeezed by the column above the surface inside."""
    build = between(100, 100, 0)
    fill = gravity_fill(build, opening="a")
    (pocket,) = fill.pockets
    assert pocket.sealed_at == pytest.approx(0.0, abs=1e-9)
    graph = height_graph(build, build.layout())
    right = [number for number, item in enumerate(graph.items) if item == "b"] + graph.passages_of["line"][1:]
    assert pocket.volume == pytest.approx(graph.volume[right].sum())
    # Boyle: volume times absolute pressure stays.
    ambient = build.ambient.pressure
    assert pocket.squeezed * (ambient + pocket.pressure) == pytest.approx(pocket.volume * ambient)
    state = build.coolant.medium.at(build.ambient.temperature_c)
    leg = math.hypot(graph.length[graph.passages_of["line"][1]], 0)
    risen = (pocket.volume - pocket.squeezed) / AREA * 0.109 / leg  # along a sloping leg
    assert pocket.pressure == pytest.approx(state.density * GRAVITY * (fill.level - risen), rel=1e-3)


def test_an_inverted_u_higher_than_the_funnel_is_not_passed(between: Make) -> None:
    """Up from 9 mm to 109 mm and down again: a funnel at 40 mm does not reach the other side."""
    fill = gravity_fill(between(0, 0, 109), opening="a", vents=["b"])
    assert fill.rim == pytest.approx(0.040)
    assert levels_of(fill) == pytest.approx({"b": 0.109, "line": 0.109})
    assert "a hump before it reaches 109 mm" in " ".join(fill.sentences)


def test_an_inverted_u_below_the_funnel_is_passed_at_its_crest(between: Make) -> None:
    """The funnel at 240 mm, the crest at 109 mm: the far side fills at a level of 109 mm, all at once."""
    build = between(200, 0, 9, 109)
    fill = gravity_fill(build, opening="a", vents=["b"], level=0.108)
    assert levels_of(fill) == pytest.approx({"b": 0.109, "line": 0.209})  # the near leg of the line needs most
    over = gravity_fill(build, opening="a", vents=["b"], level=0.1095)
    assert "b" not in levels_of(over)


def test_of_two_humps_the_higher_one_counts_for_all_that_lies_behind(between: Make) -> None:
    """Humps of 80 and 60 mm from the left: between them and behind them liquid arrives at 80 mm."""
    build = between(200, 0, 0, 80, 10, 60)
    for level, reached in ((0.079, False), (0.0805, True)):
        fill = gravity_fill(build, opening="a", vents=["b"], level=level)
        assert ("b" not in levels_of(fill)) == reached


def test_air_between_two_humps_is_shut_in_when_the_far_end_is_closed(between: Make) -> None:
    """The first hump floods at 80 mm; all behind it is shut in then, whatever its own height."""
    build = between(200, 0, 0, 80, 10, 60)
    fill = gravity_fill(build, opening="a")
    behind = [pocket for pocket in fill.pockets if pocket.at.item in {"line", "b"}]
    assert behind[0].sealed_at <= 0.080 + 1e-9
    assert fill.poured < fill.capacity
    everything = fill.poured + sum(pocket.squeezed for pocket in fill.pockets)
    dry = sum(each.volume for each in fill.unreached)
    assert everything + dry == pytest.approx(fill.capacity, rel=1e-6)


def test_a_vessel_below_its_pump_does_not_flood_it(loop: Make) -> None:
    """Vessel on the floor, pump 200 mm higher: whatever is poured, the pump stays dry."""
    fill = gravity_fill(loop(250, pump_mm=200), opening="vessel")
    (pump,) = fill.pumps
    assert not pump.is_flooded
    assert pump.head_on_inlet < 0
    assert "never run it dry" in pump.sentence


def test_a_vessel_above_its_pump_floods_it(loop: Make) -> None:
    """Vessel 100 mm up; the pump's volute ends 35 mm above the floor."""
    fill = gravity_fill(loop(250, vessel_mm=100), opening="vessel")
    (pump,) = fill.pumps
    assert pump.is_flooded
    assert pump.hump_at is None
    assert fill.level == pytest.approx(0.144)  # as drawn: 44 mm above the vessel's underside
    assert pump.level == pytest.approx(0.112)  # over the rim of the vessel's outlet
    assert pump.head_on_inlet == pytest.approx(0.144 - 0.019)


def test_a_hump_in_the_suction_line_is_told_with_its_height(loop: Make) -> None:
    """From 112 mm up to 140 mm, below the level of 144 mm, and down to the pump: 28 mm of rise."""
    fill = gravity_fill(loop(250, vessel_mm=100, suction_mm=(112, 140, 60)), opening="vessel")
    (pump,) = fill.pumps
    assert not pump.is_flooded
    assert pump.hump == pytest.approx(0.028)
    assert pump.hump_at is not None
    assert pump.hump_at.item == "suction"


def test_a_dip_in_the_suction_line_is_no_hump(loop: Make) -> None:
    (pump,) = gravity_fill(loop(250, vessel_mm=100, suction_mm=(112, 5)), opening="vessel").pumps
    assert pump.hump_at is None
    assert pump.is_flooded


def test_the_line_back_keeps_its_air_once_both_its_ends_are_flooded(loop: Make) -> None:
    """It rises to 250 mm; both ports of the vessel lie at 112 mm, and so both its ends flood at that level."""
    fill = gravity_fill(loop(250, vessel_mm=100), opening="vessel")
    assert fill.pockets[0].at.item == "line"
    assert fill.pockets[0].at.height == pytest.approx(0.250)
    assert fill.pockets[0].sealed_at == pytest.approx(0.112)
    assert fill.pockets[0].sealed_by.item in {"vessel", "line"}
    (top,) = [pocket for pocket in fill.pockets if pocket.at.place == "pump/top"]
    assert top.sealed_by.place == "pump/middle"
    assert top.volume * 1e6 == pytest.approx(15 / 8)
    state = loop(250).coolant.medium.at(22)
    assert top.pressure == pytest.approx(state.density * GRAVITY * (0.144 - 0.019), rel=0.01)


def branch_with_a_high_radiator(build: Make, tube: Callable) -> Build:
    """From a vessel to a tee, low on to a second tee, and by a radiator 300 mm up; back into the vessel.

    A bleed port stands on top of the way up.
    """
    return build(
        {
            Reservoir(id="vessel", name="Vessel"): {"x_mm": 200, "y_mm": 200, "height_mm": 0},
            Tee(id="split", name="Split"): {"x_mm": 500, "y_mm": 200, "height_mm": 0},
            Tee(id="merge", name="Merge"): {"x_mm": 1100, "y_mm": 200, "height_mm": 0},
            BleedPort(id="bleed", name="Bleed"): {"x_mm": 550, "y_mm": 500, "height_mm": 340},
            Radiator(id="high", name="High radiator"): {"x_mm": 800, "y_mm": 500, "height_mm": 300},
        },
        [
            tube("out", "vessel.outlet", "split.a"),
            tube("low", "split.b", "merge.a"),
            tube("up", "split.c", "bleed.a", (500, 500, 300)),
            tube("over", "bleed.b", "high.a"),
            tube("down", "high.b", "merge.c", (1100, 500, 327)),
            tube("back", "merge.b", "vessel.inlet", (1200, 200, 8), (1200, 50, 8), (60, 50, 12), (60, 200, 12)),
        ],
    )


def test_a_high_radiator_in_a_branch_is_what_the_funnel_cannot_reach(build: Make, tube: Callable) -> None:
    fill = gravity_fill(branch_with_a_high_radiator(build, tube), opening="vessel", vents=["bleed"])
    assert fill.unreached[0].at.item == "high"
    assert fill.unreached[0].volume * 1e6 == pytest.approx(120)
    assert fill.unreached[0].level == pytest.approx(0.354)  # the top of its end tanks


def test_a_high_radiator_in_a_branch_shuts_in_its_air_while_no_port_above_is_open(build: Make, tube: Callable) -> None:
    """Both tees flood at 8 mm, where the branch leaves them."""
    fill = gravity_fill(branch_with_a_high_radiator(build, tube), opening="vessel")
    pocket = fill.pockets[0]
    assert pocket.sealed_at == pytest.approx(0.012)  # the vessel's ports lie at 12 mm
    assert pocket.volume * 1e6 > 120
    assert pocket.at.item == "bleed"


def test_wet_volume_rises_with_the_level_and_ends_at_what_a_tank_holds(build: Make) -> None:
    """A lone vessel: 150 by 80 mm inside, from its floor at 5 mm to its lid at 50 mm."""
    fill = gravity_fill(
        build({Reservoir(id="v", name="V"): {"x_mm": 200, "y_mm": 200}}, []), opening="v/lid", level=0.03
    )
    assert np.interp([0.02, 0.05], fill.levels, fill.wet) == pytest.approx([0.15 * 0.08 * 0.015, 0.15 * 0.08 * 0.045])
    assert fill.poured == pytest.approx(0.15 * 0.08 * 0.025)


def test_an_open_port_below_the_funnel_is_where_it_runs_out(between: Make) -> None:
    fill = gravity_fill(between(200, 0, 9), opening="a", vents=["b"])
    assert fill.rim == pytest.approx(0.040)
    assert fill.spills_at is not None
    assert fill.spills_at.item == "b"
    assert "runs out" in fill.sentences[0]


def test_an_unknown_opening_names_those_that_there_are(between: Make) -> None:
    with pytest.raises(SketchError, match=r"'c' is no opening.*a/opening.*b/opening"):
        gravity_fill(between(0, 0, 50), opening="c")


@settings(max_examples=40)
@given(heights=st.lists(st.integers(0, 150), min_size=1, max_size=6), closed=st.booleans())
def test_liquid_and_air_fill_what_there_is_at_every_level(between: Make, heights: list[int], closed: bool) -> None:
    build = between(160, 100, *heights)
    for level in (0.03, 0.08, 0.12, 0.2):
        fill = gravity_fill(build, opening="a", vents=[] if closed else ["b"], level=level)
        shut_in = sum(pocket.squeezed for pocket in fill.pockets)
        dry = sum(each.volume for each in fill.unreached)
        graph = height_graph(build, build.layout())
        neck = graph.passages_of["a"]  # the opening's own is not told among what stays dry
        dry += float((graph.volume[neck] * (1 - fill.share_wet[neck])).sum())
        assert fill.poured + shut_in + dry == pytest.approx(fill.capacity, abs=3e-7)
        assert (np.diff(fill.wet) >= -1e-15).all()


@settings(max_examples=40)
@given(heights=st.lists(st.integers(0, 150), min_size=1, max_size=6), level=st.integers(1, 150))
def test_liquid_comes_exactly_over_humps_below_the_level(between: Make, heights: list[int], level: int) -> None:
    """By going along the line: the far end is reached where no place on the way behind the first dip is higher."""
    build = between(160, 0, *heights)
    fill = gravity_fill(build, opening="a", vents=["b"], level=level / 1000)
    way = [169.0, *map(float, heights), 9.0]
    dip = next((number for number in range(1, len(way) - 1) if way[number + 1] > way[number]), len(way) - 1)
    highest = max(way[dip:])
    graph = height_graph(build, build.layout())
    arrives = fill.share_wet[graph.passages_of["b"][0]] > 0
    assert arrives == (fill.level >= highest / 1000 - 1e-9) or abs(fill.level - highest / 1000) < 1e-6
    assert nx.is_connected(nx.Graph(graph.ends.tolist()))


@pytest.mark.parametrize("level", [0.010, 0.018, 0.020, 0.029, 0.035, 0.046])
@pytest.mark.parametrize("number", [0, 1, 2])
def test_every_drop_of_the_sample_is_wet_shut_in_or_told_as_dry(number: int, level: float) -> None:
    build = load("sample_loops/render-plinth.loop.json")
    layout = build.layouts[number]
    fill = gravity_fill(build, layout.name, opening="reservoir", level=level)
    graph = height_graph(build, layout)
    wet = float((graph.volume * fill.share_wet).sum())
    own = np.array([item == "reservoir" for item in graph.items])
    above = float((graph.volume * (1 - fill.share_wet))[own].sum())  # in the vessel that is poured into
    shut_in = sum(pocket.volume for pocket in fill.pockets)
    dry = sum(each.volume for each in fill.unreached)
    assert wet + above + shut_in + dry == pytest.approx(graph.volume.sum(), rel=1e-6)

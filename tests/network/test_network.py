"""Writing a network down, and finding the group its pumps form."""

from itertools import pairwise

import pytest

from loopsim.build import load
from loopsim.elements import PowerLaw, Pump
from loopsim.errors import SketchError
from loopsim.media import State, water
from loopsim.network import Network, assemble, pump_group, single_pump

PUMP, PIPE = Pump.from_polynomial([4.0, 0.0, -3.6e7]), PowerLaw(1e12)


def network(*links: tuple[str, str, str]) -> Network:
    """Elements by name, start, end; names beginning with P are pumps."""
    made = Network(State(1000.0, 1e-3))
    for name in sorted({end for link in links for end in link[1:]}):
        made.add_junction(name)
    for name, start, end in links:
        made.add_element(name, start, end, PUMP if name.startswith("P") else PIPE)
    return made


def group_of(made: Network) -> list[set[str]] | None:
    """Names in each piece of the pump group."""
    group = pump_group(made, [name for name in made.links if name.startswith("P")])
    return [set(gap.branch.names()) for gap in group.gaps] if group else None


def test_a_coolant_is_taken_at_the_stated_temperature() -> None:
    assert Network(water(), 60.0).state.density == pytest.approx(983.2, abs=0.1)  # steam tables, from memory


@pytest.mark.parametrize(
    ("do", "words"),
    [
        (lambda n: n.add_junction("a"), "junction 'a' stands here twice"),
        (lambda n: n.add_junction("z", elevation=float("nan")), "junction 'z': elevation must be a finite number"),
        (lambda n: n.add_element("L", "a", "b", PIPE), "element 'L' stands here twice"),
        (lambda n: n.add_element("M", "a", "c", PIPE), "element 'M': there is no junction 'c'"),
    ],
)
def test_slips_in_writing_down_are_named(do, words: str) -> None:
    with pytest.raises(SketchError, match=words):
        do(network(("L", "a", "b")))


def test_a_single_pump_is_its_own_group() -> None:
    assert group_of(network(("P", "a", "b"), ("L", "b", "a"))) == [{"P"}]


def test_a_pump_between_two_rings_is_no_group_for_nothing_returns_to_it() -> None:
    rings = [("A", "a", "b"), ("B", "b", "a"), ("C", "a", "b"), ("D", "c", "d"), ("E", "d", "c"), ("F", "c", "d")]
    assert pump_group(network(("P", "a", "c"), *rings), ["P"]) is None


def test_pumps_in_series_are_one_group_wherever_they_sit() -> None:
    assert group_of(network(("P1", "a", "b"), ("L1", "b", "c"), ("P2", "c", "d"), ("L2", "d", "a"))) == [{"P1"}, {"P2"}]


def test_pumps_side_by_side_take_their_own_tubes_along() -> None:
    links = [("in1", "s", "a"), ("P1", "a", "b"), ("out1", "b", "d"), ("P2", "s", "d"), ("loop", "d", "s")]
    assert group_of(network(*links)) == [{"in1", "P1", "out1", "P2"}]


def test_a_bypass_beside_the_pumps_belongs_to_the_system() -> None:
    links = [("P1", "s", "d"), ("P2", "s", "d"), ("bypass", "s", "d"), ("loop", "d", "s")]
    assert group_of(network(*links)) == [{"P1", "P2"}]


def test_dead_ends_do_not_disturb() -> None:
    links = [("P1", "a", "b"), ("P2", "b", "c"), ("L", "c", "a"), ("stub", "b", "x"), ("tip", "x", "y")]
    assert group_of(network(*links)) == [{"P1"}, {"P2"}]


def test_a_pump_drawn_the_other_way_round_turns_the_group() -> None:
    made = network(("L", "a", "b"), ("P", "a", "b"))
    group = pump_group(made, ["P"])
    assert (group.gaps[0].start, group.gaps[0].end) == ("a", "b")


def test_pumps_in_two_arms_of_a_bridge_are_no_group() -> None:
    arms = [
        ("P1", "a", "b"),
        ("L1", "b", "d"),
        ("P2", "a", "c"),
        ("L2", "c", "d"),
        ("bridge", "b", "c"),
        ("L3", "d", "a"),
    ]
    assert group_of(network(*arms)) is None


def test_pumps_in_separate_loops_are_no_group() -> None:
    links = [("P1", "a", "b"), ("L1", "b", "a"), ("P2", "c", "d"), ("L2", "d", "c")]
    assert group_of(network(*links)) is None


def test_all_pumps_and_nothing_else_are_no_group() -> None:
    assert group_of(network(("P1", "a", "b"), ("P2", "a", "b"))) is None


def test_many_pumps_in_a_ring_of_tubes_are_all_found() -> None:
    names = [f"j{number}" for number in range(12)]
    links = [
        (f"{'P' if number % 3 == 0 else 'L'}{number}", a, b)
        for number, (a, b) in enumerate(pairwise([*names, names[0]]))
    ]
    assert len(group_of(network(*links))) == 4


def test_one_pump_can_be_looked_at_alone() -> None:
    made = network(("P1", "a", "b"), ("P2", "a", "b"), ("L", "b", "a"))
    assert single_pump(made, "P2").names() == ["P2"]


def test_a_layout_becomes_its_network(plinth_path) -> None:
    build = load(plinth_path)
    loop = assemble(build, build.layout(), {"pump_b"})
    assert loop.running_pumps() == ["pump_a"]
    assert loop.junction_of("reservoir.inlet") == "reservoir"
    assert loop.junction_of("pump_a.inlet") == "pump_a.inlet"
    surface = loop.network.junctions["reservoir"]
    assert (surface.pressure, surface.elevation) == (0.0, pytest.approx(0.046))
    assert loop.network.junctions["radiator_1.a"].elevation == pytest.approx(0.029)
    assert set(loop.network.links) == {run.id for run in loop.layout.runs} | {
        "pump_a", "pump_b", "fill_valve", "processor", "graphics_1", "graphics_2", "radiator_1", "radiator_2",
        *(f"{tee}/{leg}" for tee in ("split", "merge") for leg in "abc"),
    }  # fmt: skip

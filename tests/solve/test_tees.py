"""Tees whose losses follow from how the flow divides."""

import itertools

import numpy as np
import pytest

from loopsim.elements import CrossLaw, Leg, PowerLaw, Pump, TeeLaw, Tube
from loopsim.errors import SketchError
from loopsim.media import water
from loopsim.network import Network
from loopsim.solve import solve_flow, solve_variants

WATER = water().at(25.0)
ORDERS = list(itertools.permutations("abc"))


def with_tees(first: tuple[str, ...], second: tuple[str, ...]) -> Network:
    """A pump feeding two unlike branches between two tees; which leg goes where is up to the orders."""
    network = Network(WATER)
    network.add_junction("s", pressure=0.0)
    network.add_junction("d")
    network.add_element("pump", "s", "d", Pump.from_points([0, 5e-5, 1e-4], [4.0, 3.3, 1.0]))
    for tee in ("one", "two"):
        network.add_junction(tee)
        for leg in "abc":
            network.add_junction(f"{tee} {leg}")
            network.add_element(f"{tee}/{leg}", f"{tee} {leg}", tee, Leg(0.01))
        network.add_meeting(tee, (f"{tee}/a", f"{tee}/b", f"{tee}/c"), TeeLaw(0.01, 0.01))
    network.add_element("supply", "d", f"one {first[0]}", Tube(0.01, 0.5))
    network.add_element("return", f"two {second[0]}", "s", Tube(0.01, 0.5))
    network.add_element("short", f"one {first[1]}", f"two {second[1]}", Tube(0.01, 0.3))
    network.add_element("long", f"one {first[2]}", f"two {second[2]}", Tube(0.01, 0.9, 0.0, 4.0))
    return network


@pytest.mark.parametrize("first", ORDERS, ids="".join)
@pytest.mark.parametrize("second", ORDERS, ids="".join)
def test_losses_settle_at_those_that_belong_to_the_flows(first: tuple[str, ...], second: tuple[str, ...]) -> None:
    network = with_tees(first, second)
    result = solve_flow(network)
    assert result.variants.tee_residual < 1e-8
    assert result.variants.tee_band is None
    assert result.pressure_imbalance < 1e-9
    for tee in ("one", "two"):
        flow = np.array([[result.flow[f"{tee}/{leg}"]] for leg in "abc"])
        wanted = TeeLaw(0.01, 0.01).coefficients(flow)[0][:, 0]
        v = flow[:, 0] / (np.pi / 4 * 0.01**2)
        laminar = 500.0 * WATER.viscosity / (2 * 0.01) * v
        expected = laminar + wanted * WATER.density * v * np.abs(v) / 2
        dp = [result.dp[f"{tee}/{leg}"] for leg in "abc"]
        assert dp == pytest.approx(expected, abs=1e-7 * max(map(abs, result.dp.values())))


def test_equal_branches_share_equally_whatever_the_tees_cost() -> None:
    network = with_tees(("c", "a", "b"), ("c", "a", "b"))
    network.links["long"] = type(network.links["long"])("long", "one b", "two b", network.links["short"].element)
    flow = solve_flow(network).flow
    assert flow["long"] == pytest.approx(flow["short"], rel=1e-9)


def test_a_coupled_solution_is_that_of_a_plain_root_finder() -> None:
    """The whole set of equations at once, with the law inside, by scipy: no outer rounds, no held coefficients."""
    from scipy.optimize import brentq

    network = with_tees(("c", "a", "b"), ("a", "b", "c"))
    law = TeeLaw(0.01, 0.01)
    tubes = {name: network.links[name].element for name in ("supply", "return", "short", "long", "pump")}

    def leg_drops(short: float, long: float, order: tuple[str, ...], joins: bool) -> dict[str, float]:
        sign = -1.0 if joins else 1.0
        into = dict(zip(order, (sign * (short + long), -sign * short, -sign * long), strict=True))
        k = law.coefficients(np.array([[into[leg]] for leg in "abc"]))[0][:, 0]
        v = np.array([into[leg] for leg in "abc"]) / (np.pi / 4 * 0.01**2)
        drop = 500.0 * WATER.viscosity / 0.02 * v + k * WATER.density * v * np.abs(v) / 2
        return dict(zip("abc", drop, strict=True))

    def branch_gap(share: float, whole: float) -> float:
        short, long = (1 - share) * whole, share * whole
        one, two = leg_drops(short, long, ("c", "a", "b"), False), leg_drops(short, long, ("a", "b", "c"), True)
        via_short = -one["a"] + float(tubes["short"].dp(short, WATER)[0]) + two["b"]
        via_long = -one["b"] + float(tubes["long"].dp(long, WATER)[0]) + two["c"]
        return via_short - via_long

    def ring_gap(whole: float) -> float:
        share = brentq(branch_gap, 0.05, 0.95, args=(whole,), xtol=1e-15)
        short, long = (1 - share) * whole, share * whole
        one, two = leg_drops(short, long, ("c", "a", "b"), False), leg_drops(short, long, ("a", "b", "c"), True)
        along = sum(float(tubes[name].dp(whole, WATER)[0]) for name in ("pump", "supply", "return"))
        return along + one["c"] - one["a"] + float(tubes["short"].dp(short, WATER)[0]) + two["b"] - two["a"]

    whole = brentq(ring_gap, 2e-5, 1.2e-4, xtol=1e-16)
    flow = solve_flow(network).flow
    assert flow["pump"] == pytest.approx(whole, rel=1e-7)
    assert flow["long"] == pytest.approx(whole * brentq(branch_gap, 0.05, 0.95, args=(whole,)), rel=1e-6)


def test_variants_with_tees_are_what_each_gives_alone() -> None:
    network = with_tees(("c", "a", "b"), ("c", "a", "b"))
    del network.links["pump"]
    flows = np.array([1e-5, 6e-5, 1.2e-4])
    together = solve_variants(network, {"d": flows, "s": -flows})
    names = list(network.links)
    for column, flow in enumerate(flows):
        alone = solve_variants(network, {"d": flow, "s": -flow})
        assert together.flows[:, column] == pytest.approx(alone.flows[:, 0], rel=1e-6, abs=1e-14)
        assert names[3] == "two/a"


@pytest.mark.parametrize("steps", [12, 1])
def test_variants_of_drops_are_what_each_gives_alone(steps: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether the losses move along with the steps, or in rounds where no more than one step is granted."""
    monkeypatch.setattr("loopsim.solve.flow._MOST_TOGETHER", steps)
    network = with_tees(("a", "b", "c"), ("a", "b", "c"))
    factors = np.random.default_rng(0).uniform(0.5, 2.0, (len(network.links), 5))
    named = dict(zip(network.links, factors, strict=True))
    together = solve_variants(network, {}, named)
    assert together.tee_residual < 1e-8
    assert together.pressure_imbalance < 1e-9
    for column in range(5):
        alone = solve_variants(network, {}, {name: values[column : column + 1] for name, values in named.items()})
        assert together.flows[:, column] == pytest.approx(alone.flows[:, 0], rel=1e-6)


def test_slips_in_writing_a_tee_down_are_named() -> None:
    network = with_tees(("a", "b", "c"), ("a", "b", "c"))
    law = TeeLaw(0.01, 0.01)
    with pytest.raises(SketchError, match="tee 'one' stands here twice"):
        network.add_meeting("one", ("one/a", "one/b", "one/c"), law)
    with pytest.raises(SketchError, match="must be elements of class Leg"):
        network.add_meeting("x", ("one/a", "one/b", "short"), law)
    with pytest.raises(SketchError, match="must end in one junction"):
        network.add_meeting("x", ("one/a", "one/b", "two/c"), law)


def test_losses_that_never_settle_become_a_band(monkeypatch: pytest.MonkeyPatch) -> None:
    """With too few rounds the result says how far the flows range."""
    monkeypatch.setattr("loopsim.solve.flow.MOST_ROUNDS", 2)
    variants = solve_flow(with_tees(("a", "b", "c"), ("a", "b", "c"))).variants
    assert variants.tee_residual > 1e-6
    low, high = variants.tee_band
    assert (low <= high).all()
    assert (high[:, 0] - low[:, 0]).max() > 0


def test_the_nodal_form_finds_what_the_loop_form_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    network = with_tees(("c", "a", "b"), ("a", "b", "c"))
    network.add_junction("top", elevation=0.5, pressure=2000.0)
    network.add_element("tap", "two", "top", PowerLaw(1e13))
    by_loops = solve_flow(network)
    monkeypatch.setattr("loopsim.solve.forms.MOST_LOOPS", 0)
    by_nodes = solve_flow(network.part_of(network.links))
    assert list(by_nodes.flow.values()) == pytest.approx(list(by_loops.flow.values()), rel=1e-6, abs=1e-12)


@pytest.mark.parametrize("capped", range(4))
def test_a_cross_with_one_leg_capped_is_a_tee(capped: int) -> None:
    """With equal bores, whichever leg is capped; the flow comes in by one of the legs in line that are left."""
    bore, share = 0.01, 0.3
    cross = CrossLaw(bore, bore)
    in_line = (0, 1) if capped > 1 else (2, 3)
    across = ({0, 1, 2, 3} - {*in_line, capped}).pop()
    for sign in (1.0, -1.0):
        flow = np.zeros((4, 1))
        flow[in_line[0]], flow[in_line[1]], flow[across] = sign, -sign * (1 - share), -sign * share
        as_tee = TeeLaw(bore, bore).coefficients(flow[[*in_line, across]])[0]
        assert cross.coefficients(flow)[0][[*in_line, across]] == pytest.approx(as_tee)


def test_a_cross_loses_the_same_seen_from_all_sides() -> None:
    """Equal bores: turning the fitting by a right angle turns the losses with it."""
    law, flow = CrossLaw(0.01, 0.01), np.array([[1.0], [-0.5], [-0.2], [-0.3]])
    turned = flow[[2, 3, 1, 0]]
    assert law.coefficients(turned)[0] == pytest.approx(law.coefficients(flow)[0][[2, 3, 1, 0]])


def test_two_like_streams_through_a_cross_lose_alike() -> None:
    """No leg carries the whole flow then, and no small change makes one do so."""
    law = CrossLaw(0.01, 0.01)
    even = law.coefficients(np.array([[1.0], [-1.0], [1.0], [-1.0]]))[0]
    assert even == pytest.approx(np.full((4, 1), even[0, 0]))
    nearly = law.coefficients(np.array([[1.0 + 1e-9], [-1.0], [1.0], [-1.0 - 1e-9]]))[0]
    assert nearly == pytest.approx(even, rel=1e-6)


def test_crosses_settle_in_a_network() -> None:
    """A pump feeding three branches between two crosses."""
    network = Network(WATER)
    network.add_junction("s", pressure=0.0)
    network.add_junction("d")
    network.add_element("pump", "s", "d", Pump.from_points([0, 5e-5, 1e-4], [4.0, 3.3, 1.0]))
    for cross in ("one", "two"):
        network.add_junction(cross)
        for leg in "abcd":
            network.add_junction(f"{cross} {leg}")
            network.add_element(f"{cross}/{leg}", f"{cross} {leg}", cross, Leg(0.01 if leg in "ab" else 0.008))
        network.add_meeting(cross, tuple(f"{cross}/{leg}" for leg in "abcd"), CrossLaw(0.01, 0.008))
    network.add_element("supply", "d", "one a", Tube(0.01, 0.5))
    network.add_element("return", "two b", "s", Tube(0.01, 0.5))
    for leg, other, length in (("b", "a", 0.4), ("c", "c", 0.3), ("d", "d", 0.9)):
        network.add_element(f"branch {leg}", f"one {leg}", f"two {other}", Tube(0.008, length))
    result = solve_flow(network)
    assert result.variants.tee_residual < 1e-8
    flow = np.array([[result.flow[f"one/{leg}"]] for leg in "abcd"])
    wanted = CrossLaw(0.01, 0.008).coefficients(flow)[0][:, 0]
    v = flow[:, 0] / (np.pi / 4 * np.array([0.01, 0.01, 0.008, 0.008]) ** 2)
    bore = np.array([0.01, 0.01, 0.008, 0.008])
    expected = 500.0 * WATER.viscosity / (2 * bore) * v + wanted * WATER.density * v * np.abs(v) / 2
    assert [result.dp[f"one/{leg}"] for leg in "abcd"] == pytest.approx(expected, abs=1e-3)


def test_a_law_with_another_number_of_legs_is_refused() -> None:
    network = with_tees(("a", "b", "c"), ("a", "b", "c"))
    with pytest.raises(SketchError, match="its law is for 4 legs, got 3"):
        network.add_meeting("x", ("one/a", "one/b", "one/c"), CrossLaw(0.01, 0.01))

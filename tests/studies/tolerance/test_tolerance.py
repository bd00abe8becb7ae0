"""Bands from drawn inputs: each draw is a solve, the spread is that of theory."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from loopsim.build import Build, edits, load
from loopsim.errors import FileError, SketchError
from loopsim.parts import Part, TubeRun
from loopsim.studies import figures_of, heat_point, tolerance, uncertainties
from loopsim.studies.tolerance.draws import CHUNK, factors_of
from loopsim.studies.tolerance.model import Model

from ..failing.struck import LAYOUT, machine


@pytest.fixture(scope="module")
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)


@pytest.fixture(scope="module")
def build() -> Build:
    return machine()


@pytest.fixture(scope="module")
def found(plinth: Build):
    return tolerance(plinth, draws=3000, seed=5)


def modelled(build: Build, key: str, factor: float) -> dict[str, float]:
    """Figures of a machine with one input off by a factor."""
    heat = heat_point(build)
    inputs = uncertainties(heat.coupled.thermal)
    factors = np.array([[factor if each.key == key else 1.0] for each in inputs])
    return {key: float(values[0]) for key, values in Model(heat, inputs).figures(factors).items()}


def scaled(part: Part, curve: str, column: str, factor: float) -> object:
    """A curve of a part with one column multiplied."""
    old = getattr(part, curve)
    points = tuple(point.with_values(**{column: factor * getattr(point, column)}) for point in old.points)
    return old.with_values(points=points)


def with_curve(part_id: str, curve: str, column: str) -> Callable[[Build, float], Build]:
    return lambda build, factor: (
        edits.change_part(build, part_id, **{curve: scaled(build.part(part_id), curve, column, factor)}).build
    )


def with_load(build: Build, factor: float) -> Build:
    (chip,) = build.part("block").loads
    return edits.change_part(build, "block", loads=(chip.with_values(heat_w=factor * chip.heat_w),)).build


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("block drop", with_curve("block", "drop", "dp_kpa")),
        ("filter drop", with_curve("filter", "drop", "dp_kpa")),
        ("pump head", with_curve("pump", "curve", "head_m")),
        ("mat air", with_curve("mat", "drop", "dp_pa")),
        ("fan_1 air", with_curve("fan_1", "curve", "pressure_pa")),
        ("block load", with_load),
    ],
)
@pytest.mark.parametrize("factor", [0.8, 1.25])
def test_a_draw_is_a_solve_of_the_machine_with_other_data(
    build: Build, key: str, change: Callable[[Build, float], Build], factor: float
) -> None:
    """Data edited by hand and solved alone; what its own temperature changes of the liquid is left out of a draw."""
    drawn, heat = modelled(build, key, factor), heat_point(change(build, factor))
    assert drawn["flow_l_h"] == pytest.approx(heat.point.loop_flow, rel=5e-3)
    assert drawn["margin_k"] == pytest.approx(heat.warmest.margin, abs=0.25)
    other = figures_of(heat)
    assert drawn["highest_pressure_kpa"] == pytest.approx(other["highest_pressure_kpa"], rel=5e-3)
    assert drawn["suction_kpa"] == pytest.approx(other["suction_kpa"], rel=1e-4)
    assert drawn["mains_w"] == pytest.approx(other["mains_w"], rel=2e-3)
    moved = abs(heat.warmest.margin - heat_point(build).warmest.margin)
    assert abs(drawn["margin_k"] - heat.warmest.margin) < max(0.1 * moved, 0.02)


def test_the_middle_is_the_solved_machine(found, plinth: Build) -> None:
    heat = heat_point(plinth)
    assert found.band("flow_l_h").middle == pytest.approx(heat.point.loop_flow, rel=1e-6)
    assert found.band("margin_k").middle == pytest.approx(heat.warmest.margin, abs=1e-5)
    assert found.band("coolant_rise_k").middle == pytest.approx(heat.coolant_rise, abs=1e-5)
    for key, value in figures_of(heat).items():
        if key not in ("sound_dba", "pump_power_w"):  # what is drawn changes nothing of these
            assert found.band(key).middle == pytest.approx(value, rel=1e-6), key
    for block in ("Processor", "Graphics 1"):
        part = next(each for each in heat.point.parts if each.name == block)
        assert found.band(f"{block}, flow_l_h").middle == pytest.approx(abs(part.flow), rel=1e-3)


def test_where_all_is_linear_the_variance_is_that_of_theory(build: Build) -> None:
    """Only the block's resistance is uncertain: T is linear in its factor f, so sd(T) = P R sd(f).

    Of a log-normal factor with median 1, by handbook: ``var f = exp(s^2) (exp(s^2) - 1)``.
    """
    heat = heat_point(build)
    block = build.part("block")
    inputs = [each for each in uncertainties(heat.coupled.thermal) if each.key == "block resistance"]
    chunks = [Model(heat, inputs).figures(factors_of(inputs, number, 1)) for number in range(20)]
    drawn = np.concatenate([each["Block, temperature_c"] for each in chunks])
    spread = np.log1p(block.resistance.relative_tolerance) / 2
    variance = np.exp(spread**2) * (np.exp(spread**2) - 1)
    rise = 200 * float(block.cooling.resistance(heat.point.of("block").flow))
    expected = rise * np.sqrt(variance)
    assert drawn.std() == pytest.approx(expected, rel=4 / np.sqrt(2 * len(drawn)))
    mean = heat.warmest.temperature + rise * (np.exp(spread**2 / 2) - 1)
    assert drawn.mean() == pytest.approx(mean, abs=4 * expected / np.sqrt(len(drawn)))


def test_95_of_100_factors_lie_within_the_tolerance(build: Build) -> None:
    """By definition, on the scale of ratios."""
    inputs = uncertainties(heat_point(build).coupled.thermal)
    factors = np.concatenate([factors_of(inputs, number, 0) for number in range(5)], axis=1)
    for each, row in zip(inputs, factors, strict=True):
        inside = (row > 1 / (1 + each.tolerance)) & (row < 1 + each.tolerance)
        assert inside.mean() == pytest.approx(0.9545, abs=0.015), each.key


def test_everything_that_is_known_within_a_band_is_drawn(build: Build) -> None:
    keys = {each.key for each in uncertainties(heat_point(build).coupled.thermal)}
    assert {"pump head", "check drop", "valve drop", "filter drop", "block drop", "radiator drop", "t drop"} <= keys
    assert {"block resistance", "block load", "radiator heat", "radiator air", "fan_1 air", "mat air"} <= keys
    assert not any(key.startswith(("reservoir", "supply")) for key in keys)


def test_what_is_exact_is_not_drawn(build: Build) -> None:
    exact = edits.change_tube(build, "t", relative_tolerance=0.0).build
    thermal = heat_point(exact).coupled.thermal
    assert "t drop" not in {each.key for each in uncertainties(thermal)}
    assert "block load" not in {each.key for each in uncertainties(thermal, load_tolerance=0.0)}


def test_a_standing_pump_is_known_less_well(build: Build) -> None:
    thermal = heat_point(build, stopped=["pump"]).coupled.thermal
    assert next(each for each in uncertainties(thermal) if each.key == "pump head").tolerance == 0.5


def test_the_same_seed_gives_the_same_draws_and_another_does_not(plinth: Build, found) -> None:
    again, other = tolerance(plinth, draws=3000, seed=5), tolerance(plinth, draws=3000, seed=6)
    assert again.bands == found.bands
    assert again.shares == found.shares
    assert other.band("margin_k").mean != found.band("margin_k").mean
    assert other.within == pytest.approx(found.within, abs=5 * found.within_error)


def test_draws_come_in_chunks_that_do_not_depend_on_one_another(build: Build) -> None:
    pieces: dict[int, list[np.ndarray]] = {CHUNK: [], CHUNK + 500: []}
    for draws, kept in pieces.items():
        tolerance(build, draws=draws, on_chunk=lambda figures, kept=kept: kept.append(figures["margin_k"]))
    assert [len(each) for each in pieces[CHUNK + 500]] == [CHUNK, 500]
    assert (pieces[CHUNK][0] == pieces[CHUNK + 500][0]).all()


def test_a_study_that_was_cut_short_is_finished_as_if_nothing_had_been(build: Build, tmp_path: Path) -> None:
    solved: list[int] = []

    def stop_at_second(figures: dict[str, np.ndarray]) -> None:
        solved.append(len(figures))
        if len(solved) == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        tolerance(build, draws=3 * CHUNK, on_chunk=stop_at_second, keep_in=tmp_path / "parts")
    assert len(list((tmp_path / "parts").glob("*.npz"))) == 2
    with pytest.raises(FileError, match="unfinished work on another build, or with other options"):
        tolerance(build, draws=3 * CHUNK, seed=1, keep_in=tmp_path / "parts")
    found = tolerance(build, draws=3 * CHUNK, keep_in=tmp_path / "parts")
    whole = tolerance(build, draws=3 * CHUNK)
    assert (found.bands, found.within, found.shares) == (whole.bands, whole.within, whole.shares)
    assert not (tmp_path / "parts").exists()


def test_bands_are_in_order_and_hold_the_middle(found) -> None:
    for band in found.bands:
        assert band.low < band.median < band.high, band.key
        assert band.low < band.middle < band.high
        assert band.deviation > 0


def test_the_share_within_limits_is_that_of_the_margin(found) -> None:
    """Of a normal distribution as wide as the band, by the middle over the deviation; skewness costs a little."""
    from scipy.stats import norm

    band = found.band("margin_k")
    assert found.within == pytest.approx(norm.cdf(band.mean / band.deviation), abs=0.03)


def test_two_like_radiators_and_two_like_pumps_matter_alike(found) -> None:
    shares = {each.input.key: each.share for each in found.shares["margin_k"]}
    assert shares["radiator_1 heat"] == pytest.approx(shares["radiator_2 heat"], abs=0.06)
    flow = {each.input.key: each.share for each in found.shares["flow_l_h"]}
    assert flow["pump_a head"] == pytest.approx(flow["pump_b head"], abs=0.06)
    assert sum(flow.values()) == pytest.approx(1.0, abs=0.1)
    assert found.shares["margin_k"][0].input.name in found.sentence


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"draws": 0}, "draws must be 1 to 10,000,000, got 0"),
        ({"seed": -1}, "the seed must be at least 0, got -1"),
        ({"load_tolerance": 1.5}, "that of loads must be 0 to 1, got 1.5"),
    ],
)
def test_what_cannot_be_drawn_is_refused(build: Build, values: dict[str, float], message: str) -> None:
    with pytest.raises(SketchError, match=message):
        tolerance(build, **values)


def test_a_machine_without_steady_state_is_refused(build: Build) -> None:
    with pytest.raises(SketchError, match="heat has no way out"):
        tolerance(build, stopped=["pump"], draws=10)


def test_one_draw_is_enough_for_an_answer(build: Build) -> None:
    assert tolerance(build, draws=1).band("flow_l_h").deviation == 0


def test_without_components_the_flow_alone_is_told(build: Build) -> None:
    bare = edits.remove_part(build, LAYOUT, "block").build
    joined = TubeRun(id="past", start="filter.outlet", end="radiator.a", tube="t")
    found = tolerance(edits.add_run(bare, LAYOUT, joined).build, stopped=["fan_1", "fan_2"], draws=500)
    assert found.within is None
    assert {each.input.key for each in found.shares["flow_l_h"][:2]} == {"pump head", "check drop"}
    assert found.band("flow_l_h").low > 0
    assert found.sentence.endswith("flow.")

"""How fast liquid runs in and out of openings, against other ways to the same numbers."""

import math

import pytest
from scipy.integrate import quad

from loopsim.build import BuildCoolant
from loopsim.media import water
from loopsim.studies.fill import mix
from loopsim.studies.fill.pouring import HAND_FLOW, counter_flow, funnel_flow, outflow_time
from loopsim.units import GRAVITY

WATER = water().at(20.0)


def test_counter_flow_lies_on_the_flooding_line() -> None:
    """Wallis (1969), from memory: with equal volume flows down and up, the roots of both numbers add up to 0.725."""
    bore = 0.012
    speed = counter_flow(bore, WATER) / (math.pi / 4 * bore**2)
    lift = GRAVITY * bore * (WATER.density - 1.2)
    liquid, gas = (speed * math.sqrt(density / lift) for density in (WATER.density, 1.2))
    assert math.sqrt(liquid) + math.sqrt(gas) == pytest.approx(0.725, rel=1e-3)


def test_a_neck_of_10_mm_gulps_half_a_litre_per_minute() -> None:
    """Common practice, no source: a bottle neck of that bore empties at a few hundred millilitres per minute."""
    assert 0.2e-3 / 60 < counter_flow(0.010, WATER) < 1.0e-3 / 60


def test_a_second_opening_for_the_air_makes_it_faster() -> None:
    assert funnel_flow(0.006, WATER, True) > 3 * funnel_flow(0.006, WATER, False)


def test_nobody_pours_faster_than_by_hand() -> None:
    assert funnel_flow(0.05, WATER, True) == HAND_FLOW


def test_running_out_takes_as_long_as_the_sinking_head_says() -> None:
    """Torricelli's law integrated over the level of an upright vessel."""
    area, head, bore = 0.01, 0.2, 0.008
    hole = 0.6 * math.pi / 4 * bore**2
    time, _ = quad(lambda height: area / (hole * math.sqrt(2 * GRAVITY * height)), 0.0, head)
    assert outflow_time(area * head, bore, head) == pytest.approx(time, rel=1e-6)


def test_nothing_runs_out_without_a_head() -> None:
    assert outflow_time(1e-3, 0.01, 0.0) == math.inf


def test_masses_of_a_mix_add_up_to_its_volume_times_density() -> None:
    found = mix(BuildCoolant(kind="ethylene_glycol", glycol_mass_fraction=0.4), 2e-3, margin=0.25)
    assert found.volume == pytest.approx(2.5e-3)
    density = BuildCoolant(kind="ethylene_glycol", glycol_mass_fraction=0.4).medium.at(20.0).density
    assert found.water_mass + found.glycol_mass == pytest.approx(2.5e-3 * density)
    assert found.glycol_mass / (found.water_mass + found.glycol_mass) == pytest.approx(0.4)


@pytest.mark.parametrize("kind", ["ethylene_glycol", "propylene_glycol"])
def test_water_and_glycol_shrink_a_little_as_they_mix(kind: str) -> None:
    """A fact of the trade, common practice: by up to 2 % or so of the volume, never the other way."""
    found = mix(BuildCoolant(kind=kind, glycol_mass_fraction=0.5), 1e-3)
    assert 1.0 < (found.water + found.glycol) / found.volume < 1.025


def test_water_alone_needs_no_glycol() -> None:
    found = mix(BuildCoolant(), 1e-3)
    assert found.glycol == found.glycol_mass == 0.0
    assert found.water == pytest.approx(found.volume)

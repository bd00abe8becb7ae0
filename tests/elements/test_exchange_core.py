"""Radiators from their size: channel laws against an independent library, trends, and what the trade expects."""

import ht
import numpy as np
import pytest

from loopsim.elements.exchange import PASSES, Core, channel_nusselt, developed_nusselt, turbulent_nusselt
from loopsim.errors import PartDataError

SLIM = Core(length=0.12, width=0.115, depth=0.022, fin_pitch=1.6e-3, tube_count=12, tube_thickness=2e-3)


def shed(core: Core, air_m3_h: float, flow_l_h: float = 120.0) -> float:
    """Watts per 10 K."""
    flow, air = flow_l_h * 1e-3 / 3600, air_m3_h / 3600
    return 10 * float(core.exchanger().conductance(flow, 4.15e6 * flow, air, 1207 * air))


@pytest.mark.parametrize("aspect", [0.01, 0.2, 0.5, 1.0])
def test_developed_flow_has_the_nusselt_number_of_an_independent_library(aspect: float) -> None:
    expected = ht.conv_internal.Nu_laminar_rectangular_Shan_London(aspect)
    assert developed_nusselt(aspect) == pytest.approx(expected, rel=1e-12)


def test_turbulent_flow_has_the_nusselt_number_of_an_independent_library() -> None:
    expected = ht.conv_internal.turbulent_Dittus_Boelter(Re=3e4, Pr=5.0, heating=True)
    assert turbulent_nusselt(3e4, 5.0) == pytest.approx(expected, rel=2e-3)  # it takes 0.0243 where 0.023 is usual


def test_a_short_channel_comes_near_the_law_of_simultaneous_entrance() -> None:
    """Stephan's law for plates at one temperature (VDI Heat Atlas, from memory), which also counts the velocity's
    own entrance; the blend used here starts from the same heat flux all along and may lie 15 % off.
    """
    for reynolds in (50.0, 200.0, 800.0):
        x = 10.0 / (reynolds * 0.71)
        stephan = 7.55 + 0.024 * x**-1.14 / (1 + 0.0358 * 0.71**0.17 * x**-0.64)
        assert channel_nusselt(0.0, 10.0, reynolds, 0.71) == pytest.approx(stephan, rel=0.15)


def test_a_long_channel_forgets_its_entrance_and_turbulence_sets_in() -> None:
    assert channel_nusselt(0.3, 1e6, 500.0, 0.71) == pytest.approx(developed_nusselt(0.3), rel=1e-3)
    assert channel_nusselt(0.3, 50.0, 2e4, 5.0) == pytest.approx(turbulent_nusselt(2e4, 5.0))
    through = channel_nusselt(0.3, 50.0, np.linspace(100, 9000, 300), 5.0)
    assert np.all(np.diff(through) > 0)


@pytest.mark.parametrize("air_m3_h", [60.0, 90.0])
def test_a_slim_core_of_120_mm_sheds_what_the_trade_expects(air_m3_h: float) -> None:
    """Common practice, no source: 80 to 200 W per 10 K with one fan at a middle speed."""
    assert 80.0 < shed(SLIM, air_m3_h) < 200.0


def test_more_fins_depth_and_length_shed_more() -> None:
    base = shed(SLIM, 80.0)
    sizes = {name: getattr(SLIM, name) for name in ("length", "width", "depth", "fin_pitch", "tube_count")}
    for name, factor in (("length", 2.0), ("depth", 2.0), ("fin_pitch", 0.7)):
        more = Core(**{**sizes, name: factor * sizes[name]}, tube_thickness=2e-3)
        assert shed(more, 80.0) > 1.02 * base, name


def test_heat_never_exceeds_what_the_air_carries() -> None:
    deep = Core(length=0.4, width=0.2, depth=0.2, fin_pitch=1e-3, tube_count=20, tube_thickness=2e-3)
    assert shed(deep, 20.0) <= 10 * 1207 * 20 / 3600


@pytest.mark.parametrize("passes", PASSES)
def test_an_estimate_carries_its_wide_band(passes: str) -> None:
    assert SLIM.exchanger(passes).relative_tolerance == 0.4  # type: ignore[arg-type]


def test_two_passes_run_the_coolant_faster() -> None:
    one, two = (SLIM.exchanger(passes) for passes in PASSES[:2])  # type: ignore[arg-type]
    assert two.film_a.at(3e-5) > one.film_a.at(3e-5)


def test_tubes_that_leave_no_room_for_fins_are_refused() -> None:
    with pytest.raises(PartDataError, match="12 tubes of 10 mm leave no room for fins in a width of 115 mm"):
        Core(0.12, 0.115, 0.022, 1.6e-3, 12, 10e-3)
    with pytest.raises(PartDataError, match=r"fin pitch must be above 0\.1 mm, got 0\.05 mm"):
        Core(0.12, 0.115, 0.022, 0.05e-3, 12, 2e-3)


def test_the_films_of_a_small_core_are_those_worked_by_hand() -> None:
    """100 by 100 mm, 20 mm deep, gaps of 1 mm between fins of 0.1 mm, ten tubes of 2 mm: fins 8 mm high.

    Air, 0.5 m/s before the face: 0.6875 m/s in gaps of 1.778 mm hydraulic diameter. Coolant, 30 L/h: 0.0260 m/s in
    ten gaps of 1.6 by 20 mm. Properties as printed in handbooks for air of 20 °C and water of 30 °C.
    """
    core = Core(length=0.1, width=0.1, depth=0.02, fin_pitch=1.1e-3, tube_count=10, tube_thickness=2e-3)
    film = core.exchanger()
    h = _film(gap=1e-3, height=8e-3, length=0.02, velocity=0.6875, nu=1.516e-5, k=0.0257, pr=0.713)
    reach = (2 * h / (250 * 0.1e-3)) ** 0.5 * 4e-3
    fins, tubes = 10 * 2 * 0.1 / 1.1e-3 * 8e-3 * 0.02, 10 * 2 * 0.1 * 0.02 / 1.1
    assert film.film_b.at(0.5 * 0.01) == pytest.approx(h * (tubes + fins * np.tanh(reach) / reach), rel=0.01)
    velocity = 30e-3 / 3600 / (10 * 1.6e-3 * 20e-3)
    h = _film(gap=1.6e-3, height=20e-3, length=0.1, velocity=velocity, nu=0.801e-6, k=0.615, pr=5.42)
    assert film.film_a.at(30e-3 / 3600) == pytest.approx(h * 10 * 2 * 21.6e-3 * 0.1, rel=0.01)


def _film(gap: float, height: float, length: float, velocity: float, nu: float, k: float, pr: float) -> float:
    diameter = 4 * gap * height / (2 * (gap + height))
    developed = ht.conv_internal.Nu_laminar_rectangular_Shan_London(gap / height)
    entrance = 1.849 * (velocity * diameter / nu * pr * diameter / length) ** (1 / 3)
    return float((developed**3 + entrance**3) ** (1 / 3) * k / diameter)

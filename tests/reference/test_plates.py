"""Flat plates under even pressure, and what clear plastic bears."""

import pytest

from loopsim.studies.fill import ACRYLIC, ClearPlastic, plate_coefficients, round_plate, strip_load

from .conftest import Case, published


@published("pl-simply-supported-table")
def test_rectangular_plates_free_to_turn_at_their_edges(case: Case) -> None:
    """Navier's series against the table."""
    pairs = [
        plate_coefficients(ratio, "free to turn", case.given["poisson"]) for ratio in case.given["long_over_short"]
    ]
    case.check("alpha", [alpha for alpha, _ in pairs])
    case.check("beta", [beta for _, beta in pairs])


@published("pl-clamped-table")
def test_rectangular_plates_clamped_at_their_edges(case: Case) -> None:
    """Ritz's method against the table."""
    pairs = [plate_coefficients(ratio, "clamped", case.given["poisson"]) for ratio in case.given["long_over_short"]]
    case.check("alpha", [alpha for alpha, _ in pairs])
    case.check("beta_edge", [beta for _, beta in pairs])


@published("pl-circular-window")
def test_a_round_window(case: Case) -> None:
    plastic = ClearPlastic("as given", case.given["modulus"], case.given["poisson"], 1.0, 1.0)
    sizes = case.given["radius"], case.given["thickness"], case.given["pressure"], plastic
    clamped, free = round_plate(*sizes, "clamped"), round_plate(*sizes, "free to turn")
    case.check("deflection_clamped", clamped.deflection)
    case.check("stress_clamped_edge", clamped.stress)
    case.check("deflection_simply", free.deflection)
    case.check("stress_simply_centre", free.stress)


@published("pl-pmma-properties")
def test_acrylic_is_the_weakest_and_softest_of_three_sheets(case: Case) -> None:
    case.check("modulus_2", ACRYLIC.modulus)
    case.check("tensile_1", ACRYLIC.strength)
    case.check("sustained_design_stress", ACRYLIC.long_time)


def test_a_long_strip_clamped_at_both_edges_is_the_last_row_of_the_table() -> None:
    """Roark, table 11.4 case 8a at an infinite ratio: alpha 0.0284, beta 0.5 (Poisson ratio 0.3); from memory."""
    plastic = ClearPlastic("as given", 1e9, 0.3, 1.0, 1.0)
    load = strip_load(span=0.1, thickness=0.01, pressure=1e4, plastic=plastic)
    assert load.deflection == pytest.approx(0.0284 * 1e4 * 0.1**4 / (1e9 * 0.01**3), rel=0.003)
    assert load.stress == pytest.approx(0.5 * 1e4 * (0.1 / 0.01) ** 2)


def test_a_wall_held_at_its_foot_bears_six_times_as_much_as_one_held_at_both_ends() -> None:
    """Bending moments of handbooks: q b^2 / 2 at the foot of a cantilever, q b^2 / 12 at the ends of a clamped beam."""
    one, both = (strip_load(0.01, 0.004, 5e4, held=held) for held in ("one edge", "both edges"))
    assert one.stress == pytest.approx(6 * both.stress)
    assert one.deflection == pytest.approx(384 / 8 * both.deflection)

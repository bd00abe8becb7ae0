"""Flat plates under even pressure, and what clear plastic bears."""

from loopsim.studies.fill import ACRYLIC, ClearPlastic, plate_coefficients, round_plate

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

"""Coolants and air against published tables; those of inhibited glycols are compared in tests/media."""

from loopsim.media import Coolant, air, propylene_glycol, water

from .conftest import Case, published

OUR_NAMES = {"cp": "heat_capacity"}


def _check(case: Case, coolants: list[Coolant]) -> None:
    temperatures = case.given["temperature"]
    for name in case.expected:
        ours = OUR_NAMES.get(name, name)
        case.check(name, [getattr(each.at(t), ours) for each, t in zip(coolants, temperatures, strict=True)])


@published("fl-water-10-60C")
def test_water_is_that_of_the_saturated_liquid_table(case: Case) -> None:
    _check(case, [water()] * len(case.given["temperature"]))


@published("fl-propylene-glycol-melinder")
def test_propylene_glycol_by_mass(case: Case) -> None:
    _check(case, [propylene_glycol(share) for share in case.given["mass_fraction"]])


@published("fl-air-20-25C")
def test_air_of_a_room(case: Case) -> None:
    at_20, at_25 = (air(t, case.given["pressure"]) for t in case.given["temperature"])
    case.check("density_20C", at_20.density)
    case.check("ideal_gas_density_20C", at_20.density)
    case.check("density_25C", at_25.density)
    case.check("kinematic_viscosity_25C", at_25.viscosity / at_25.density)

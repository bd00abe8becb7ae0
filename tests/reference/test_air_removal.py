"""Speeds of liquid that carry air down a pipe."""

import numpy as np

from loopsim.studies.fill.clearing import HYDRONIC_PRACTICE, clearing_speed_wallingford, clearing_speed_wisner

from .conftest import Case, published


@published("ar-two-feet-per-second")
def test_the_rule_of_heating_engineers_is_two_feet_per_second(case: Case) -> None:
    """A rule of thumb; common practice, no source."""
    case.check("velocity", HYDRONIC_PRACTICE[1])


@published("ar-clearing-velocity-wisner")
def test_clearing_speed_of_pockets(case: Case) -> None:
    sine = np.sin(np.radians(case.given["slope_angle"]))
    case.check("velocity", clearing_speed_wisner(case.given["diameter"], sine, case.given["gravity"]))


@published("ar-clearing-velocity-hr-wallingford")
def test_clearing_speed_of_pockets_of_four_sizes(case: Case) -> None:
    sine = np.sin(np.radians(case.given["slope_angle"]))
    pocket, gravity = case.given["coefficient_a"], case.given["gravity"]
    case.check("velocity", clearing_speed_wallingford(case.given["diameter"], sine, pocket, gravity))

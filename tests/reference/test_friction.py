"""Wall friction against published examples and tables."""

import math

import numpy as np
import pytest

from loopsim.elements import Tube, friction_factor, velocity
from loopsim.media import State
from loopsim.units import GRAVITY

from .conftest import Case, published
from .laws import darcy

BRIDGE = "on the bridge from laminar to turbulent, where the source jumps from one law to the other"


def _dp(case: Case, state: State, flow: float) -> float:
    tube = Tube(case.given["diameter"], case.given["length"], case.given.get("roughness", 0.0))
    return float(tube.dp(flow, state)[0])


@published("fr-laminar-3mm-tube")
def test_laminar_water_in_a_narrow_tube(case: Case) -> None:
    state = State(case.given["density"], case.given["viscosity"])
    flow = case.given["mean_velocity"] * math.pi / 4 * case.given["diameter"] ** 2
    dp = _dp(case, state, flow)
    case.check("pressure_drop", dp)
    case.check("head_loss", dp / (state.density * GRAVITY))
    case.check("pumping_power", dp * flow)


@published("fr-laminar-oil-slope")
def test_laminar_oil(case: Case) -> None:
    density = case.given["density"]
    dp = _dp(case, State(density, case.given["viscosity"]), case.given["flow"])
    case.check("pressure_drop", dp)
    case.check("slope_angle", math.degrees(math.asin(-dp / (density * GRAVITY * case.given["length"]))))


@published("fr-turbulent-stainless-50mm")
def test_turbulent_water_in_a_stainless_pipe(case: Case) -> None:
    state = State(case.given["density"], case.given["viscosity"])
    dp = _dp(case, state, case.given["flow"])
    case.check("pressure_drop", dp)
    case.check("head_loss", dp / (state.density * GRAVITY))
    case.check("pumping_power", dp * case.given["flow"])
    bore = case.given["diameter"]
    reynolds = float(velocity(case.given["flow"], bore)) * bore * state.density / state.viscosity
    case.check("darcy_f", friction_factor(reynolds, case.given["roughness"] / bore))


@published("fr-galvanised-150mm")
def test_galvanised_pipe(case: Case) -> None:
    """The head loss with the printed (Fanning) factor, and our own factor at the printed roughness."""
    bore, flow, length = (case.given[name] for name in ("diameter", "flow", "length"))
    v = float(velocity(flow, bore))
    reynolds = v * bore / case.given["kinematic_viscosity"]
    case.check("darcy_f", friction_factor(reynolds, case.given["roughness"] / bore))
    state, f = State(1000.0, 1e-3), 4 * case.given["fanning_f"]
    case.check("head_loss", darcy(state, f, length, bore).dp(flow, state)[0] / (state.density * GRAVITY))


@published("fr-colebrook-head-loss")
def test_head_loss_from_flow(case: Case) -> None:
    density = 1000.0  # the head does not depend on it
    state = State(density, density * case.given["kinematic_viscosity"])
    bore = case.given["diameter"]
    reynolds = float(velocity(case.given["flow"], bore)) * bore / case.given["kinematic_viscosity"]
    case.check("reynolds", reynolds)
    case.check("darcy_f", float(friction_factor(reynolds, case.given["roughness"] / bore)))
    case.check("head_loss", _dp(case, state, case.given["flow"]) / (density * GRAVITY))


@published("fr-smooth-plastic-pipe", "fr-prandtl-smooth-table")
def test_smooth_pipe_factors(case: Case) -> None:
    got = friction_factor(case.given["reynolds"], case.given["relative_roughness"])
    case.check("darcy_f", got.tolist())


@published("fr-table-small-bore-6p8mm")
def test_friction_table_of_a_small_bore(case: Case) -> None:
    """The table jumps from the laminar to the turbulent law near Re 2300; ours bridges Re 2000 to 4000 on purpose.

    So the one row on the bridge, at Re 3120, is held between the laminar law and the printed turbulent value instead.
    """
    density = 1000.0
    state = State(density, density * case.given["kinematic_viscosity"])
    tube = Tube(case.given["diameter"], 100.0, case.given["roughness"])
    flow, printed = np.array(case.given["flow"]), case.expected["head_loss_per_100m"]
    head = tube.dp(flow, state)[0] / (density * GRAVITY)
    case.check("head_loss_per_100m", head, leaving_out={4: BRIDGE})
    assert printed[0] * flow[4] / flow[0] < head[4] < printed[4]


@published("fr-blasius")
def test_smooth_tubes_lie_near_the_law_of_blasius(case: Case) -> None:
    """An older fit to the same measurements; its authors' textbooks give it 3 % up to Re 1e5."""
    assert friction_factor(case.given["reynolds"]) == pytest.approx(case.expected["darcy_f"], rel=0.03), case.source


@published("fr-churchill-all-regimes")
def test_laminar_and_turbulent_tubes_lie_near_the_law_of_churchill(case: Case) -> None:
    """One formula for all regimes, 2 % from Colebrook's; the two rows inside the transition are ours to bridge."""
    reynolds, printed = np.array(case.given["reynolds"]), np.array(case.expected["darcy_f"])
    apart = (reynolds <= 2000) | (reynolds >= 4000)
    assert friction_factor(reynolds[apart]) == pytest.approx(printed[apart], rel=0.02), case.source

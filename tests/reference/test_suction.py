"""Net positive suction head against published examples.

``(total absolute pressure at the inlet - vapour pressure) / (rho g)``, as every pump handbook has it.
"""

from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import solve_flow
from loopsim.units import GRAVITY

from .conftest import Case, published
from .laws import losses, square_law


def _npsh(network: Network, atmosphere: float, vapour_pressure: float) -> float:
    """At junction "inlet" [m]; the solver's pressures are total."""
    total = solve_flow(network).pressure["inlet"] + atmosphere
    return (total - vapour_pressure) / (network.state.density * GRAVITY)


@published("pu-npsh-crane-7-32")
def test_a_pump_above_a_tank_with_pressure_in_it(case: Case) -> None:
    """The loss on the way is printed as a head; any flow with a law that gives it will do."""
    flow = 1e-3
    network = Network(State(case.given["density"], 1e-3))
    network.add_junction("tank", pressure=case.given["tank_pressure"])
    network.add_junction("inlet", elevation=case.given["lift"], inflow=-flow)
    network.add_element("suction", "tank", "inlet", square_law(network.state, case.given["suction_loss"] / flow**2))
    case.check("npsh_available", _npsh(network, case.given["atmosphere"], case.given["vapour_pressure"]))


@published("pu-npsh-munson-12-3")
def test_how_high_a_pump_may_stand(case: Case) -> None:
    """What is left at the level of the surface, beyond what the pump needs, is the height it may be raised by."""
    network = Network(State(case.given["specific_weight"] / GRAVITY, 1e-3))
    network.add_junction("surface", pressure=0.0)
    network.add_junction("inlet", inflow=-case.given["flow"])
    way = losses(network.state, case.given["K"], case.given["suction_diameter"])
    network.add_element("suction", "surface", "inlet", way)
    available = _npsh(network, case.given["atmosphere"], case.given["vapour_pressure"])
    case.check("max_height", available - case.given["npsh_required"])

"""Fans, ducts and grilles against published operating points and losses."""

import math
from collections.abc import Sequence

import pytest

from loopsim.elements import Element, Opening, PowerLaw, Tube
from loopsim.media import STANDARD_AIR_DENSITY, State
from loopsim.parts import Fan, Grille, Setting

from .conftest import Case, published
from .laws import lift

AIR = State(STANDARD_AIR_DENSITY, 1.82e-5)
M3_H = 3600.0  # m3/h per m3/s


def fan(flow: Sequence[float], pressure: Sequence[float], **values: float) -> Fan:
    """A fan through points in SI, taken in standard air."""
    rows = [{"air_m3_h": q * M3_H, "pressure_pa": p} for q, p in zip(flow, pressure, strict=True)]
    return Fan.model_validate({"id": "f", "name": "F", "curve": {"points": rows}, "start_percent": 0, **values})


def running(of: Fan, speed: float = 1.0) -> Element:
    """What the solver sees of a fan."""
    (path,) = of.air_paths_as_set(Setting(speed=speed))
    return path.element


@published("fa-fan-laws-speed")
def test_a_faster_fan_on_the_same_system(case: Case) -> None:
    """On a system whose drop goes with the square of the flow, through the given point."""
    flow, pressure = case.given["flow"], case.given["pressure"]
    ours = fan([0.0, flow, 2 * flow], [1.5 * pressure, pressure, 0.0], power_w=case.given["power"])
    speed = case.given["speed2"] / case.given["speed1"]
    result = lift([[running(ours, speed)]], PowerLaw(pressure / flow**2), state=AIR)
    case.check("flow", result.flow["system"])
    case.check("pressure", result.dp["system"])
    case.check("power", ours.electrical_w_at(speed))


@published("fa-operating-point-duct")
def test_a_tabulated_fan_on_a_duct(case: Case) -> None:
    """The kinetic energy of the exit, with the source's factor, and all fittings as losses of the duct."""
    given = case.given
    density = given["air_density"]
    points = {"flow": given["fan_flow_points"], "pressure": given["fan_head_points"]}
    ours = fan(points["flow"], [STANDARD_AIR_DENSITY / density * p for p in points["pressure"]])
    duct = Tube(given["diameter"], given["length"], given["roughness"], given["sum_K"] + given["alpha"])
    result = lift([[running(ours)]], duct, state=State(density, density * given["kinematic_viscosity"]))
    case.check("flow", result.flow["system"])
    case.check("pressure", result.dp["system"])


@published("fa-fan-scaling-fox")
def test_a_fan_at_another_speed_in_thinner_gas(case: Case) -> None:
    """The larger fan's points are those of the smaller one by its diameter, speed and density are ours."""
    given = case.given
    size, speed = given["diameter2"] / given["diameter1"], given["speed2"] / given["speed1"]
    flows = [size**3 * q for q in given["base_flow"]]
    large = fan(flows, [size**2 * p * STANDARD_AIR_DENSITY / given["density1"] for p in given["base_pressure"]])
    gas = State(given["density2"], 1.8e-5)

    def at(flow: float) -> float:
        return -float(running(large, speed).dp(flow, gas)[0])

    case.check("flow_factor", speed * flows[3] / given["base_flow"][3])
    case.check("pressure_factor", at(speed * flows[3]) / given["base_pressure"][3])
    case.check("pressure", at(110_000 * 0.3048**3 / 60))


@published("fa-duct-round-to-rect-douglas")
def test_pressure_of_a_fan_between_two_ducts(case: Case) -> None:
    """Each duct as so many velocity heads of its section."""
    given = case.given
    f, d = 4 * given["fanning_f"], given["round_diameter"]
    a, b = given["rect_sides"]
    round_length = given["round_length"] + given["transition_equivalent_length"]
    ducts = (
        Opening(math.pi / 4 * d**2, given["K_entry"] + f * round_length / d),
        Opening(a * b, given["K_exit"] + f * given["rect_length"] * (a + b) / (2 * a * b)),
    )
    state = State(given["air_density"], 1.82e-5)
    case.check("fan_pressure", sum(float(duct.dp(given["flow"], state)[0]) for duct in ducts))


@published("fa-grille-perforated-plate")
def test_losses_of_bars_by_their_open_share(case: Case) -> None:
    for edges in ("rounded", "square"):
        shares = case.given[f"{edges}_open_fraction"]
        grilles = (Grille(id="g", name="G", shape=f"{edges} bars", open_percent=100 * share) for share in shares)
        case.check(f"{edges}_K", [grille.face_loss for grille in grilles])


@published("fa-two-fans-parallel-series")
def test_two_equal_fans_alone_side_by_side_and_one_behind_the_other(case: Case) -> None:
    shut_off, slope = case.given["fan_curve"]
    one = running(fan([0.0, -shut_off / slope], [shut_off, 0.0]))
    system = PowerLaw(case.given["resistance"])
    for name, fans in {"one": [[one]], "two_parallel": [[one], [one]], "two_series": [[one, one]]}.items():
        result = lift(fans, system, state=AIR)
        case.check(name, result.flow["system"])
        assert result.flow["pump 0 0"] * len(fans) == pytest.approx(result.flow["system"])

"""Losses, and whole loops with them, by the `fluids` library as an independent answer."""

import math

import numpy as np
import pytest
from fluids import fittings, friction
from fluids.core import K_from_f, dP_from_K
from scipy.optimize import brentq, root

from loopsim.elements import Leg, Pump, TeeLaw, Tube, Valve, narrowing_loss, widening_loss
from loopsim.geometry import Spot
from loopsim.media import State
from loopsim.network import Network
from loopsim.parts import Corner, Port, TubeRun
from loopsim.parts import Tube as TubeStock
from loopsim.solve import solve_flow
from loopsim.units import GRAVITY

from .networks import WATER

BORE_MM, ROUGHNESS_UM = 10.0, 1.5
BORE, RELATIVE = BORE_MM / 1e3, ROUGHNESS_UM / 1e3 / BORE_MM


def _run(*corners: Corner, radius_mm: float = 0.0, from_mm: float = BORE_MM, to_mm: float = BORE_MM) -> Tube:
    """Tube along corners from the origin to the last of them, between ports of these bores."""
    *turns, end = corners
    run = TubeRun(id="r", start="a.p", end="b.p", tube="t", radius_mm=radius_mm, corners=tuple(turns))
    stock = TubeStock(id="t", name="t", bore_mm=BORE_MM, outer_mm=13.0, roughness_um=ROUGHNESS_UM)
    ports = [Port("p", Spot(0, 0, 0), 0.0, bore_mm) for bore_mm in (from_mm, to_mm)]
    return run.element(stock, run.path(Spot(0, 0, 20), end.spot), *ports)


def _turned(angle_deg: float, turn: str) -> tuple[Corner, Corner]:
    angle = math.radians(angle_deg)
    first = Corner(x_mm=500, y_mm=0, turn=turn)
    return first, Corner(x_mm=500 + 500 * math.cos(angle), y_mm=500 * math.sin(angle))


def _rennels_bend(angle_deg: float, radius_over_bore: float, f: float) -> float:
    """Rennels and Hudson, Pipe Flow (2012), chapter 15; from memory."""
    a = math.radians(angle_deg)
    s = math.sin(a / 2)
    turning = 6.6 * f * (math.sqrt(s) + s) / radius_over_bore ** (4 * a / math.pi)
    return f * a * radius_over_bore + (0.1 + 2.4 * f) * s + turning


@pytest.mark.parametrize("angle", [30.0, 45.0, 90.0, 120.0])
@pytest.mark.parametrize("radius_mm", [10.0, 25.0, 60.0])
def test_a_drawn_bend_costs_what_rennels_says_with_the_wall_counted_once(angle: float, radius_mm: float) -> None:
    """The law by hand, for the program takes it from the library; from the drawing's corner to the element's drop."""
    f = friction.Colebrook(1e4, RELATIVE)
    tube = _run(*_turned(angle, "bend"), radius_mm=radius_mm)
    corner = tube.length - 2 * (0.5 - radius_mm / 1e3 * math.tan(math.radians(angle) / 2))  # length of the arc
    wanted = _rennels_bend(angle, radius_mm / BORE_MM, f)
    assert corner == pytest.approx(math.radians(angle) * radius_mm / 1e3)
    assert tube.loss_coefficient + f * corner / BORE == pytest.approx(wanted, rel=1e-6)
    library = fittings.bend_rounded(Di=BORE, angle=angle, fd=f, rc=radius_mm / 1e3, method="Rennels")
    assert wanted == pytest.approx(library, rel=1e-6)


@pytest.mark.parametrize("angle", [30.0, 60.0, 90.0])
def test_a_drawn_mitre_costs_what_rennels_says(angle: float) -> None:
    """``0.42 sin(a/2) + 2.56 sin^3(a/2)``, Rennels and Hudson (2012), from memory; and the library."""
    s = math.sin(math.radians(angle) / 2)
    k = _run(*_turned(angle, "mitre")).loss_coefficient
    assert k == pytest.approx(0.42 * s + 2.56 * s**3, rel=1e-6)
    assert k == pytest.approx(fittings.bend_miter(angle=angle, Di=BORE), rel=1e-9)


@pytest.mark.parametrize("ratio", [0.1, 0.4, 0.7, 0.95])
def test_changes_of_bore(ratio: float) -> None:
    """Widenings exactly; narrowings by Idelchik lie within 0.1 velocity heads of the library's law by Rennels."""
    area = ratio**2
    assert widening_loss(area) == pytest.approx(fittings.diffuser_sharp(Di1=ratio, Di2=1.0), abs=1e-12)
    assert narrowing_loss(area) == pytest.approx(fittings.contraction_sharp(Di1=1.0, Di2=ratio), abs=0.1)


def test_vessels_are_entered_and_left_as_handbooks_say() -> None:
    straight = Corner(x_mm=1000, y_mm=0)
    out_of = _run(straight, from_mm=1e5).loss_coefficient
    into = _run(straight, to_mm=1e5).loss_coefficient
    assert out_of == pytest.approx(fittings.entrance_sharp(method="Idelchik"), abs=1e-6)
    assert into == pytest.approx(fittings.exit_normal(), abs=1e-6)


def test_a_valve_costs_the_velocity_heads_of_its_kv() -> None:
    """``K = 1.6e9 D^4 / Kv^2`` in the library, its factor rounded to two digits from 1.6003e9."""
    state, flow = State(999.1, 1e-3), 1e-4
    k = fittings.Kv_to_K(1.2, BORE)
    v = flow / (math.pi / 4 * BORE**2)
    assert Valve(1.2).dp(flow, state)[0] == pytest.approx(dP_from_K(k, state.density, v), rel=3e-4)


def _tube_drop(tube: Tube, flow: float) -> float:
    """Drop of a tube with its fittings by the library, laminar or turbulent [Pa]."""
    v = abs(flow) / (math.pi / 4 * tube.bore**2)
    reynolds = v * tube.bore * WATER.density / WATER.viscosity
    relative = tube.roughness / tube.bore
    f = 64 / reynolds if reynolds <= 2000 else friction.Colebrook(reynolds, relative)
    k = K_from_f(f, tube.length, tube.bore) + tube.loss_coefficient + tube.laminar_coefficient / reynolds
    return math.copysign(dP_from_K(k, WATER.density, v), flow)


def test_tubes_with_fittings_drop_what_the_library_says() -> None:
    """300 tubes, laminar and turbulent; ours bridges Re 2000 to 4000, so none from there."""
    rng, compared = np.random.default_rng(4), 0
    while compared < 300:
        tube = Tube(10 ** rng.uniform(-2.7, -1.5), rng.uniform(0.05, 5), 2e-5 * rng.random(), 5 * rng.random())
        reynolds = 10 ** rng.uniform(2, 5)
        if 2000 < reynolds < 4000:
            continue
        flow = reynolds * WATER.viscosity / WATER.density * math.pi / 4 * tube.bore
        assert tube.dp(flow, WATER)[0] == pytest.approx(_tube_drop(tube, flow), rel=1e-6)
        compared += 1


@pytest.mark.parametrize("seed", range(12))
def test_a_whole_loop_settles_where_library_and_root_finder_say(seed: int) -> None:
    """Vessel, pump, two drawn runs with bends and a mitre, a change of bore, a valve: every loss by the library."""
    rng = np.random.default_rng(seed)
    head, angle, radius_mm = rng.uniform(2, 6), rng.uniform(20, 110), rng.uniform(20, 80)
    narrow_mm, kv = rng.uniform(6, 9), rng.uniform(0.6, 2.0)
    bent = _run(*_turned(angle, "bend"), radius_mm=radius_mm, from_mm=1e5, to_mm=narrow_mm)
    mitre = _run(*_turned(90.0, "mitre"), to_mm=1e5)
    network = Network(WATER)
    for name in ("vessel", "suction", "delivery", "end"):
        network.add_junction(name, pressure=0.0 if name == "vessel" else None)
    network.add_element("bent", "vessel", "suction", bent)
    network.add_element("pump", "suction", "delivery", Pump.from_polynomial([head, 0.0, -1e8]))
    network.add_element("valve", "delivery", "end", Valve(kv))
    network.add_element("mitre", "end", "vessel", mitre)

    f = friction.Colebrook(1e4, RELATIVE)
    bend = fittings.bend_rounded(Di=BORE, angle=angle, fd=f, rc=radius_mm / 1e3) - f * math.radians(angle) * (
        radius_mm / BORE_MM
    )
    narrowing = 0.5 * (1 - (narrow_mm / BORE_MM) ** 2) ** 0.75 * (BORE_MM / narrow_mm) ** 4  # Idelchik, see above
    k_bent = fittings.entrance_sharp(method="Idelchik") + bend + narrowing
    k_mitre = fittings.bend_miter(angle=90.0, Di=BORE) + fittings.exit_normal()
    k_valve = fittings.Kv_to_K(kv, BORE)
    k1_bend = np.interp(angle, [0, 45, 90, 180], [0, 500, 800, 1000])  # Hooper's elbows, less the wall's share
    k1 = max(0.0, k1_bend - 64 * math.radians(angle) * radius_mm / BORE_MM) + 1000.0  # his mitre of one weld
    k = k_bent + k_mitre + k_valve
    tubes = Tube(BORE, bent.length + mitre.length, ROUGHNESS_UM / 1e6, k, laminar_coefficient=k1)
    weight = WATER.density * GRAVITY
    wanted = brentq(lambda q: weight * (head - 1e8 * q**2) - _tube_drop(tubes, q), 5e-5, 4e-4, xtol=1e-15)
    assert wanted * BORE / (math.pi / 4 * BORE**2) * WATER.density / WATER.viscosity > 4000
    assert solve_flow(network).flow["pump"] == pytest.approx(wanted, rel=1e-4)


def _leg_losses(run: float, branch: float, joins: bool) -> tuple[float, float]:
    """Pressure lost between common leg and the other two by Crane's law, not below 0, in a tee of one bore [Pa]."""
    inputs = (BORE, BORE, run, branch)
    if joins:
        k = fittings.K_run_converging_Crane(*inputs), fittings.K_branch_converging_Crane(*inputs)
    else:
        k = fittings.K_run_diverging_Crane(*inputs), fittings.K_branch_diverging_Crane(*inputs)
    v = (run + branch) / (math.pi / 4 * BORE**2)
    still = 500.0 * WATER.viscosity / (2 * BORE) / (math.pi / 4 * BORE**2)  # 500/Re of each leg, as Hooper's tees
    whole = still * (run + branch)
    return tuple(
        max(each, 0.0) * WATER.density * v**2 / 2 + still * flow + whole
        for each, flow in zip(k, (run, branch), strict=True)
    )


@pytest.mark.parametrize(("kv_branch", "length"), [(0.5, 0.3), (1.0, 1.0), (0.3, 2.0)])
def test_two_tees_share_the_flow_as_library_and_root_finder_say(kv_branch: float, length: float) -> None:
    """A pump into a tee, two ways, and a tee back: what divides by the law is what the law is asked for."""
    pump, way = Pump.from_polynomial([5.0, 0.0, -2e7]), Tube(BORE, length, 0.0, 1.0)
    network = Network(WATER)
    network.add_junction("s", pressure=0.0)
    network.add_junction("d")
    for tee in ("first", "second"):
        network.add_junction(tee)
    ends = {"first": ("d", "first a", "first b"), "second": ("s", "second a", "second b")}
    for tee, (common, run, branch) in ends.items():
        network.add_junction(run)
        network.add_junction(branch)
        for end in (common, run, branch):
            network.add_element(f"{tee}/{end}", end, tee, Leg(BORE))
        network.add_meeting(tee, tuple(f"{tee}/{end}" for end in (common, run, branch)), TeeLaw(BORE, BORE))
    network.add_element("pump", "s", "d", pump)
    network.add_element("run", "first a", "second a", way)
    network.add_element("branch", "first b", "second b", Valve(kv_branch))

    def gaps(shares: np.ndarray) -> tuple[float, float]:
        run, branch = shares * 1e-4
        first, second = _leg_losses(run, branch, joins=False), _leg_losses(run, branch, joins=True)
        lift = -float(pump.dp(run + branch, WATER)[0])
        by_run = first[0] + second[0] + float(way.dp(run, WATER)[0])
        by_branch = first[1] + second[1] + float(Valve(kv_branch).dp(branch, WATER)[0])
        return (lift - by_run) / 1e4, (lift - by_branch) / 1e4

    wanted = root(gaps, (2.0, 1.0), tol=1e-12)
    assert wanted.success
    flow = solve_flow(network).flow
    assert [flow["run"], flow["branch"]] == pytest.approx(wanted.x * 1e-4, rel=1e-6)

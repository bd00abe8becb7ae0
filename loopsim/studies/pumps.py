"""What each pump does at the operating point, and what that says about it."""

from collections.abc import Collection, Iterable, Iterator

from loopsim import elements
from loopsim.build import Build, Layout
from loopsim.errors import SketchError, did_you_mean
from loopsim.network import Branch, LoopNetwork, pump_group
from loopsim.parts import Pump
from loopsim.solve import FlowResult
from loopsim.studies.results import Finding, PumpFlow, Unsteady
from loopsim.studies.words import NO_FLOW, WORTH_SAYING, l_h
from loopsim.units import GRAVITY, from_si

__all__ = ["at_rest", "check_pumps", "pump_findings", "pump_flow", "without_bare_levelling"]

USUAL_SPEED_RPM = 3500.0  # of small pumps at full speed, 2,000 to 5,000; a guess that enters with the power 1/4
THICK_LIQUID_LOSS = 0.05  # share of the head at the best flow, estimated, from which a thick liquid is marked


def check_pumps(build: Build, layout: Layout, stopped: Collection[str]) -> None:
    """Raise SketchError unless every name in `stopped` is a pump of the layout."""
    pumps = [part_id for part_id in layout.placements if isinstance(build.part(part_id), Pump)]
    for name in stopped:
        if name not in pumps:
            there = f"; pumps here: {', '.join(pumps)}" if pumps else "; there is no pump"
            hint = did_you_mean(name, pumps) or there
            raise SketchError(f"layout {layout.name!r} has no pump {name!r} to stop{hint}", part=name)


def pump_flow(loop: LoopNetwork, result: FlowResult, pump: Pump) -> PumpFlow:
    """What a pump does in a solved network, running or stopped."""
    if pump.id in loop.stopped:
        return _standing(loop, result, pump)
    flow, rise, density = result.flow[pump.id], -result.dp[pump.id], loop.network.state_in(pump.id).density
    element = _running_element(loop, pump.id)
    hydraulic = max(0.0, flow * rise)
    power = pump.electrical_power(flow, element.speed, density)
    to_coolant, to_air = pump.heat_shares(power, hydraulic)
    return PumpFlow(
        id=pump.id,
        name=pump.name,
        flow=flow,
        head=rise / (density * GRAVITY),
        dp=rise,
        state="running",
        speed=element.speed,
        provenance=pump.curve.provenance.kind,
        beyond_data=not 0 <= flow <= element.last_flow,
        power=power,
        power_provenance=pump.power_provenance(flow, element.speed),
        efficiency=hydraulic / power if power > 0 else 0.0,
        heat_to_coolant=to_coolant,
        heat_to_air=to_air,
        unsteady=_unsteady(loop, result, pump.id),
    )


def pump_findings(loop: LoopNetwork, pump: PumpFlow) -> Iterator[Finding]:
    """What a builder should know about one pump."""
    part = loop.build.part(pump.id)
    assert isinstance(part, Pump)
    if pump.flow < -WORTH_SAYING:
        how = "the stopped pump" if pump.state == "stopped" else "against its own head"
        yield Finding("back_flow", pump.id, f"{pump.name}: {l_h(pump.flow)} runs back through {how}")
    if pump.state == "stopped":
        yield from _standing_findings(part)
    else:
        yield from _running_findings(loop, part, pump)


def at_rest(pumps: tuple[PumpFlow, ...]) -> Iterator[Finding]:
    """A mark of a drawing in progress: pumps run, but move nothing yet."""
    running = [pump for pump in pumps if pump.state == "running"]
    if running and all(abs(pump.flow) < NO_FLOW for pump in running):
        yield Finding("nothing_flows", None, "nothing flows: no running pump lies in a closed loop yet", quiet=True)


def without_bare_levelling(found: Iterable[Finding], pumps: Iterable[PumpFlow]) -> Iterator[Finding]:
    """Findings of a drawing, less those on levelled curves whose pump is said to be unsteady, with its flows."""
    unsteady = {pump.id for pump in pumps if pump.unsteady is not None}
    return (each for each in found if each.code != "levelled_curve" or each.part not in unsteady)


def _standing(loop: LoopNetwork, result: FlowResult, pump: Pump) -> PumpFlow:
    rise = -result.dp[pump.id]
    return PumpFlow(
        id=pump.id,
        name=pump.name,
        flow=result.flow[pump.id],
        head=rise / (loop.network.state_in(pump.id).density * GRAVITY),
        dp=rise,
        state="stopped",
        speed=0.0,
        provenance=pump.stopped_provenance,
    )


def _running_element(loop: LoopNetwork, pump: str) -> elements.Pump:
    element = loop.network.links[pump].element
    assert isinstance(element, elements.Pump)
    return element


def _standing_findings(pump: Pump) -> Iterator[Finding]:
    if pump.stopped_is_estimate:
        band = from_si(elements.STANDING_BAND, "percent")
        text = (
            f"{pump.name}: what the standing impeller resists is a guess, by half more or less (±{band:.0f} %); "
            "measure its drop to be sure"
        )
        yield Finding("stopped_estimate", pump.id, text)


def _running_findings(loop: LoopNetwork, part: Pump, pump: PumpFlow) -> Iterator[Finding]:
    if pump.beyond_data and pump.flow >= 0:
        text = f"{pump.name}: {l_h(pump.flow)} is beyond its curve; the head is an estimate"
        yield Finding("beyond_data", pump.id, text)
    if pump.efficiency > 1:
        text = (
            f"{pump.name}: it would give the liquid {pump.flow * pump.dp:.1f} W but draw only {pump.power:.1f} W; "
            "its power or its curve is wrong"
        )
        yield Finding("power_data", pump.id, text)
    if pump.unsteady is not None:
        yield Finding("unsteady", pump.id, _unsteady_words(pump.name, pump.unsteady))
    yield from _thick_liquid(loop, part)


def _unsteady_words(name: str, swing: Unsteady) -> str:
    low, high = map(l_h, swing.flow)
    text = f"{name}: its curve is flat or rises here, so its flow may swing between {low} and {high}"
    if swing.share is None:
        return text
    least, most = (from_si(share, "percent") for share in swing.share)
    return f"{text}; side by side it may carry {least:.0f} to {most:.0f} % of what flows"


def _thick_liquid(loop: LoopNetwork, pump: Pump) -> Iterator[Finding]:
    """A coolant so much thicker than the liquid of the curve that the head there must be expected to be lower."""
    element, data, coolant = (
        _running_element(loop, pump.id),
        pump.curve.provenance.state,
        loop.network.state_in(pump.id),
    )
    flow, head = element.best_point()
    speed = USUAL_SPEED_RPM * element.speed
    on_data, here = (
        elements.viscous_head_factor(elements.viscosity_parameter(flow, head, state.viscosity / state.density, speed))
        for state in (data, coolant)
    )
    lost = 1 - here / on_data
    if lost > THICK_LIQUID_LOSS:
        ratio = coolant.viscosity / coolant.density / (data.viscosity / data.density)
        text = (
            f"{pump.name}: the coolant is {ratio:.1f} times as thick as the liquid of its curve; at its best flow "
            f"expect about {from_si(lost, 'percent'):.0f} % less head, and more power"
        )
        yield Finding("thick_liquid", pump.id, text)


def _unsteady(loop: LoopNetwork, result: FlowResult, pump: str) -> Unsteady | None:
    ends = _running_element(loop, pump).stretch_at(result.flow[pump])
    return None if ends is None else Unsteady(ends, _share(loop, result, pump))


def _share(loop: LoopNetwork, result: FlowResult, pump: str) -> tuple[float, float] | None:
    """Least and largest share that a pump may carry of what flows through it and those side by side with it.

    What flows through all is taken as it is; each pump stays between the flows of its levelled stretch, or at its
    flow outside of one.
    """
    others = [name for name in _side_by_side(loop, pump) if name != pump]
    if not others:
        return None
    whole = result.flow[pump] + sum(result.flow[name] for name in others)
    low, high = _between(loop, result, pump)
    ranges = [_between(loop, result, name) for name in others]
    least, most = whole - sum(upper for _, upper in ranges), whole - sum(lower for lower, _ in ranges)
    return max(low, least) / whole, min(high, most) / whole


def _between(loop: LoopNetwork, result: FlowResult, pump: str) -> tuple[float, float]:
    flow = result.flow[pump]
    return _running_element(loop, pump).stretch_at(flow) or (flow, flow)


def _side_by_side(loop: LoopNetwork, pump: str) -> list[str]:
    """A running pump and those that, each alone in its branch, lie between the same two points."""
    running = set(loop.running_pumps())
    group = pump_group(loop.network, sorted(running))
    bundles = [bundle for gap in group.gaps for bundle in _bundles(gap.branch)] if group else []
    for bundle in bundles:
        branches = [[name for name in child.names() if name in running] for child in bundle.children]
        alone = [names[0] for names in branches if len(names) == 1]
        if pump in alone:
            return alone
    return []


def _bundles(branch: Branch) -> Iterator[Branch]:
    """Every parallel piece in a branch."""
    if branch.kind == "parallel":
        yield branch
    for child in branch.children:
        yield from _bundles(child)

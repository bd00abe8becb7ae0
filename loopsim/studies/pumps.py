"""What each pump does at the operating point, and what that says about it."""

from collections.abc import Collection, Iterator

from loopsim import elements
from loopsim.build import Build, Layout
from loopsim.errors import SketchError, did_you_mean
from loopsim.network import LoopNetwork
from loopsim.parts import Pump
from loopsim.solve import FlowResult
from loopsim.studies.results import Finding, PumpFlow
from loopsim.studies.words import NO_FLOW, l_h
from loopsim.units import GRAVITY, to_si

__all__ = ["at_rest", "check_pumps", "pump_findings", "pump_flow"]


def check_pumps(build: Build, layout: Layout, stopped: Collection[str]) -> None:
    pumps = [part_id for part_id in layout.placements if isinstance(build.part(part_id), Pump)]
    for name in stopped:
        if name not in pumps:
            there = f"; pumps here: {', '.join(pumps)}" if pumps else "; there is no pump"
            hint = did_you_mean(name, pumps) or there
            raise SketchError(f"layout {layout.name!r} has no pump {name!r} to stop{hint}", part=name)


def pump_flow(loop: LoopNetwork, result: FlowResult, pump: Pump) -> PumpFlow:
    flow, rise = result.flow[pump.id], -result.dp[pump.id]
    running = pump.id not in loop.stopped
    element = loop.network.links[pump.id].element
    beyond = isinstance(element, elements.Pump) and not 0 <= flow <= element.last_flow
    return PumpFlow(
        id=pump.id,
        name=pump.name,
        flow=flow,
        head=rise / (loop.network.state.density * GRAVITY),
        dp=rise,
        state="running" if running else "stopped",
        speed=to_si(loop.layout.placement(pump.id).speed_percent, "percent") if running else 0.0,
        provenance=pump.curve.provenance.kind if running or not pump.stopped_is_estimate else "guess",
        beyond_data=beyond,
    )


def pump_findings(loop: LoopNetwork, pump: PumpFlow) -> Iterator[Finding]:
    part = loop.build.part(pump.id)
    assert isinstance(part, Pump)
    if pump.flow < -NO_FLOW:
        how = "the stopped pump" if pump.state == "stopped" else "against its own head"
        yield Finding("back_flow", pump.id, f"{pump.name}: {l_h(pump.flow)} runs back through {how}")
    if pump.state == "stopped" and part.stopped_is_estimate:
        text = f"{pump.name}: what the standing impeller resists is a guess; measure its drop to be sure"
        yield Finding("stopped_estimate", pump.id, text)
    if pump.state == "running" and pump.beyond_data and pump.flow >= 0:
        yield Finding(
            "beyond_data", pump.id, f"{pump.name}: {l_h(pump.flow)} is beyond its curve; the head is an estimate"
        )


def at_rest(pumps: tuple[PumpFlow, ...]) -> Iterator[Finding]:
    running = [pump for pump in pumps if pump.state == "running"]
    if running and all(abs(pump.flow) < NO_FLOW for pump in running):
        yield Finding("nothing_flows", None, "nothing flows: no running pump lies in a closed loop yet", quiet=True)

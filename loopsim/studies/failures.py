"""What is left when a pump stops: every pump in turn, its impeller standing and resisting."""

from dataclasses import replace

from loopsim import elements
from loopsim.build import Build
from loopsim.network import assemble
from loopsim.parts import Pump
from loopsim.solve import solve_flow
from loopsim.studies.operating import operating_point, solved_layout
from loopsim.studies.results import FailureCase, Failures, OperatingPoint, PumpFlow
from loopsim.studies.words import NO_FLOW, l_h, listed

__all__ = ["failures"]


def failures(build: Build, layout_name: str | None = None) -> Failures:
    """Solve a layout with every pump stopped in turn.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.

    Raises
    ------
    SketchError
        If there is no such layout, or nothing is placed in it.
    """
    base = operating_point(build, layout_name)
    pumps = [part_id for part_id in base.layout.placements if isinstance(build.part(part_id), Pump)]
    return Failures(base, tuple(_case(base, pump) for pump in pumps))


def _case(base: OperatingPoint, pump: str) -> FailureCase:
    point = operating_point(base.build, base.layout.name, {pump})
    stopped = next(each for each in point.pumps if each.id == pump)
    share, back_flow = _share(base, point), max(0.0, -stopped.flow)
    between = _share_between(base, pump, share) if stopped.provenance == "guess" else None
    sentence = _sentence(base, point, stopped, share, back_flow)
    if between is not None and len(point.pumps) > 1 and base.loop_flow > 0:
        sentence += _guess_words(*between)
    return FailureCase(pump, f"{stopped.name} stopped", point, share, back_flow, sentence, between)


def _flow_at(point: OperatingPoint, place: str | None) -> float:
    """Loop flow at the same place as with all running, even if that place no longer stands for the loop."""
    return abs(point.of(place).flow) if place is not None else 0.0


def _share(base: OperatingPoint, point: OperatingPoint) -> float:
    return _flow_at(point, base.loop_flow_at) / base.loop_flow if base.loop_flow > 0 else 0.0


def _share_between(base: OperatingPoint, pump: str, share: float) -> tuple[float, float]:
    """Share of the flow that stays as the standing impeller resists half as much less or more, in rising order."""
    shares = [share]
    for factor in (1 - elements.STANDING_BAND, 1 + elements.STANDING_BAND):
        loop = assemble(base.build, base.layout, {pump})
        link = loop.network.links[pump]
        assert isinstance(link.element, elements.StoppedPump)
        loop.network.links[pump] = replace(link, element=link.element.scaled(factor))
        shares.append(_share(base, solved_layout(loop, solve_flow(loop.network))))
    return min(shares), max(shares)


def _sentence(base: OperatingPoint, point: OperatingPoint, stopped: PumpFlow, share: float, back_flow: float) -> str:
    loop_flow = _flow_at(point, base.loop_flow_at)
    others = [pump.name for pump in point.pumps if pump.id != stopped.id]
    if base.loop_flow == 0:
        return "Nothing flows even with all pumps running."
    if not others:
        return f"Nothing flows: {stopped.name} is the only pump."
    if back_flow > NO_FLOW:
        return (
            f"Stopped {stopped.name} lets {l_h(back_flow)} back; "
            f"the loop keeps {l_h(loop_flow)}, {share * 100:.0f} % of the flow."
        )
    return (
        f"{listed(others)} {'carries' if len(others) == 1 else 'carry'} on against the standing impeller of "
        f"{stopped.name}: {l_h(loop_flow)}, {share * 100:.0f} % of the flow, stays."
    )


def _guess_words(least: float, most: float) -> str:
    return f" What the standing impeller resists is a guess: {least * 100:.0f} to {most * 100:.0f} % may stay."

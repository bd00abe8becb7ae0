"""What is left when a pump stops: every pump in turn, its impeller standing and resisting."""

from loopsim.build import Build
from loopsim.parts import Pump
from loopsim.studies.operating import operating_point
from loopsim.studies.results import FailureCase, Failures, OperatingPoint, PumpFlow
from loopsim.studies.words import NO_FLOW, l_h

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
    share = _flow_at(point, base.loop_flow_at) / base.loop_flow if base.loop_flow > 0 else 0.0
    stopped = next(each for each in point.pumps if each.id == pump)
    back_flow = max(0.0, -stopped.flow)
    name = base.build.part(pump).name
    sentence = _sentence(base, point, stopped, share, back_flow)
    return FailureCase(pump, f"{name} stopped", point, share, back_flow, sentence)


def _flow_at(point: OperatingPoint, place: str | None) -> float:
    """Loop flow at the same place as with all running, even if that place no longer stands for the loop."""
    return abs(point.of(place).flow) if place is not None else 0.0


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
        f"{_listed(others)} {'carries' if len(others) == 1 else 'carry'} on against the standing impeller of "
        f"{stopped.name}: {l_h(loop_flow)}, {share * 100:.0f} % of the flow, stays."
    )


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"

"""What is left when a pump stops: every pump in turn, its impeller standing and resisting."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from loopsim import elements
from loopsim.build import Build
from loopsim.media import State
from loopsim.network import assemble
from loopsim.parts import Pump
from loopsim.solve import solve_flow
from loopsim.studies.failing.bearable import SETTLED, at_rest
from loopsim.studies.failing.catalogue import Situation
from loopsim.studies.failing.results import FailureOutcome
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.operating import operating_point, solved_layout
from loopsim.studies.results import FailureCase, Failures, OperatingPoint, PumpFlow
from loopsim.studies.words import WORTH_SAYING, l_h, listed

__all__ = ["failures", "reason", "stopped_case"]

_ALIKE = 0.005  # difference of shares that a sentence in whole per cents would not show


def failures(build: Build, layout_name: str | None = None, heat: HeatPoint | None = None) -> Failures:
    """Solve a layout with every pump stopped in turn.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    heat : HeatPoint, optional
        The same layout at rest with its heat, in some load case. If given, all flows are those at the temperatures
        found with everything in order and with each pump stopped; else at the temperature stated for the coolant.

    Raises
    ------
    SketchError
        If there is no such layout, or nothing is placed in it.
    """
    base = operating_point(build, layout_name) if heat is None else heat.point
    pumps = [part_id for part_id in base.layout.placements if isinstance(build.part(part_id), Pump)]
    return Failures(base, tuple(_without(base, pump, heat) for pump in pumps), _states(heat))


def _without(base: OperatingPoint, pump: str, heat: HeatPoint | None) -> FailureCase:
    struck = None
    if heat is not None:
        struck = at_rest(Situation(base.build, base.layout.name, frozenset({pump})), heat.case.name, heat, SETTLED)
    if struck is not None:
        return stopped_case(base, pump, struck.point, _states(struck))
    return stopped_case(base, pump, operating_point(base.build, base.layout.name, {pump}))


def _states(heat: HeatPoint | None) -> Mapping[str, State]:
    """What flows in each link once the temperatures are found; nothing before."""
    return {} if heat is None else dict(heat.coupled.thermal.loop.network.states)


def stopped_case(
    base: OperatingPoint, pump: str, struck: OperatingPoint, states: Mapping[str, State] | None = None
) -> FailureCase:
    """What a stopped pump leaves, and why.

    Parameters
    ----------
    base, struck : OperatingPoint
        With all pumps running, and with this one stopped.
    pump : str
        Its id.
    states : mapping of str to State, optional
        What flows in each link of the struck network; liquid of the stated temperature if not given.
    """
    own = _own(base, pump)
    stopped = next(each for each in struck.pumps if each.id == pump)
    share, back_flow = _share(own, base, struck), max(0.0, -stopped.flow)
    between = _share_between(own, base, pump, share, states) if stopped.provenance == "guess" else None
    sentence = _sentence(own, base, struck, stopped, share)
    if between is not None and len(own.pumps) > 1 and own.flow(base) > 0 and between[1] - between[0] > _ALIKE:
        sentence += _guess_words(*between)
    return FailureCase(
        pump,
        f"{stopped.name} stopped",
        struck,
        own.flow(struck),
        share,
        back_flow,
        sentence,
        between,
        own.name,
        len(own.pumps) == 1,
        states or {},
    )


def reason(base: OperatingPoint, outcome: FailureOutcome) -> FailureCase | None:
    """Why a single stopped pump leaves the flow that it leaves; None where something else has failed.

    Parameters
    ----------
    base : OperatingPoint
        With everything in order.
    outcome : FailureOutcome
    """
    (item, *others) = outcome.failure.items or ("",)
    alone = not others and outcome.failure.events[0].what == "stopped"
    if not alone or not isinstance(base.build.part(item), Pump):
        return None
    return stopped_case(base, item, outcome.point, _states(outcome.heat))


@dataclass(frozen=True, slots=True)
class _Own:
    """The circuit of a pump: where its flow is read, and which pumps are in it."""

    place: str | None
    pumps: tuple[str, ...]
    name: str

    def flow(self, point: OperatingPoint) -> float:
        """Without direction [m3/s]."""
        return abs(point.of(self.place).flow) if self.place is not None else 0.0


def _own(base: OperatingPoint, pump: str) -> _Own:
    """Read where the loop flow is, if that lies in the pump's circuit; else in the tube through which most flows.

    In a tube, for what flows in a tee is one of its legs, and another one when a pump stands.
    """
    circuit = next(each for each in base.circuits if pump in each.items)
    pumps = tuple(each.id for each in base.pumps if each.id in circuit.items)
    name = circuit.name if sum(each.is_moving for each in base.circuits) > 1 else ""
    if base.loop_flow_at in circuit.items:
        return _Own(base.loop_flow_at, pumps, name)
    shared = frozenset[str]().union(*(each.items for each in base.circuits if each is not circuit))
    tubes = [run.id for run in base.layout.runs if run.id in circuit.items - shared]
    place = max(tubes, key=lambda tube: abs(base.of(tube).flow), default=None)
    return _Own(place, pumps, name)


def _share(own: _Own, base: OperatingPoint, point: OperatingPoint) -> float:
    return own.flow(point) / own.flow(base) if own.flow(base) > 0 else 0.0


def _share_between(
    own: _Own, base: OperatingPoint, pump: str, share: float, states: Mapping[str, State] | None
) -> tuple[float, float]:
    """Share of the flow that stays as the standing impeller resists half as much less or more, in rising order."""
    shares = [share]
    for factor in (1 - elements.STANDING_BAND, 1 + elements.STANDING_BAND):
        loop = assemble(base.build, base.layout, {pump})
        link = loop.network.links[pump]
        assert isinstance(link.element, elements.StoppedPump)
        loop.network.links[pump] = replace(link, element=link.element.scaled(factor))
        loop.network.states.update(states or {})
        shares.append(_share(own, base, solved_layout(loop, solve_flow(loop.network), drawn=False)))
    return min(shares), max(shares)


def _sentence(own: _Own, base: OperatingPoint, point: OperatingPoint, stopped: PumpFlow, share: float) -> str:
    others = [pump.name for pump in point.pumps if pump.id in own.pumps and pump.id != stopped.id]
    where = f" in the circuit of {own.name}" if own.name else ""
    if own.flow(base) == 0:
        return f"Nothing flows{where} even with all pumps running."
    only = f"{stopped.name} is the only pump{' there' if where else ''}"
    if not others and own.flow(point) > WORTH_SAYING:
        stays = f"{l_h(own.flow(point))}, {share * 100:.0f} % of the flow"
        return f"{only}; coolant that rises as it warms keeps {stays}."
    if not others:
        return f"Nothing drives the flow{where}: {only}."
    stays = f"{l_h(own.flow(point))}, {share * 100:.0f} % of the flow"
    carry = f"{listed(others)} {'carries' if len(others) == 1 else 'carry'} on"
    if -stopped.flow > WORTH_SAYING:
        return f"Stopped {stopped.name} lets {l_h(stopped.flow)} back; the loop keeps {stays}."
    if abs(stopped.flow) <= WORTH_SAYING:
        return f"{carry}, nothing runs back through {stopped.name}: {stays}, stays."
    return f"{carry} against the standing impeller of {stopped.name}: {stays}, stays."


def _guess_words(least: float, most: float) -> str:
    return f" What the standing impeller resists is a guess: {least * 100:.0f} to {most * 100:.0f} % may stay."

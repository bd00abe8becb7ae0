"""What the answers say, as sentences: pure functions from an answer to words."""

from collections.abc import Sequence
from typing import NamedTuple

from app import figures
from app.answer import Answer
from loopsim.build import Build, Layout
from loopsim.parts import Pump, TubeRun
from loopsim.studies import FailureCase, Finding, OperatingPoint, PartFlow, PumpFlow, measured_against, news_of_heat
from loopsim.studies.harm import by_harm
from loopsim.studies.words import listed
from loopsim.units import from_si

__all__ = [
    "Doubt",
    "all_run",
    "any_stopped",
    "either_stopped",
    "failures_headline",
    "failures_rest_on",
    "findings_of",
    "flow_at",
    "flow_headline",
    "flow_line",
    "loop_flow",
    "of_part",
    "pumps_of",
    "rests_on",
    "run_name",
    "sources",
    "stopped_at",
    "unsolved",
]

_SOURCES = {
    "measured": "a measurement",
    "table": "a table",
    "chart": "points read from a chart",
    "geometry": "worked out from the geometry",
    "guess": "a guess",
}


class Doubt(NamedTuple):
    """Why numbers are not sure, and the parts (id, name) that make them so."""

    why: str
    parts: tuple[tuple[str, str], ...]


def pumps_of(build: Build, layout: Layout) -> list[Pump]:
    """The pumps that a layout places."""
    return [part for part in build.parts if isinstance(part, Pump) and part.id in layout.placements]


def run_name(build: Build, run: TubeRun) -> str:
    """A tube run by what it joins."""
    start, end = (build.parts_by_id[part_id].name for part_id in run.part_ids)
    return f"{start} to {end}"


def all_run(pumps: int) -> str:
    """How the state in which nothing has failed is called."""
    return {0: "still", 1: "running", 2: "both run"}.get(pumps, "all run")


def either_stopped(names: Sequence[str], machines: int, machine: str = "pump") -> str:
    """Which pump or fan has stopped, where one of several would leave the same."""
    if len(names) == 1:
        return f"{names[0]} stopped"
    if len(names) == machines:
        return any_stopped(machines, machine)
    return f"{', '.join(names[:-1])} or {names[-1]} stopped"


def any_stopped(machines: int, machine: str = "pump") -> str:
    """The case in which whichever of them it is has stopped."""
    which = {1: "the only", 2: "either"}.get(machines, "any one")
    return f"{which} {machine} stopped"


def unsolved(answer: Answer, build: Build, layout: Layout) -> tuple[str, str] | None:
    """What is missing and what to do next, while nothing flows that could be spoken of; None where it does."""
    if not layout.placed:
        return (
            "Nothing placed yet",
            "Take a pump and a reservoir from the drawer, and join their ports with tube runs.",
        )
    if not pumps_of(build, layout):
        return "No pump yet", "Place a pump from the drawer and join it into the loop with tube runs."
    if answer.problem:
        return "Not solved yet", answer.problem
    if answer.point is None:
        return "Being worked out", ""
    if answer.point.loop_flow == 0:
        return "Nothing flows yet", "; ".join(figures.told(each.text) for each in findings_of(answer, quiet=True))
    return None


def flow_headline(answer: Answer) -> str:
    """The operating point in a sentence."""
    point = answer.point
    if point is None:
        return ""
    return f"{loop_flow(answer)} flow through the loop"


def loop_flow(answer: Answer) -> str:
    """The flow with no more digits than its band allows: ``"210 ± 20 L/h"``; without one while none is known."""
    return figures.shown(from_si(answer.point.loop_flow, "l_h"), "l_h", from_si(answer.flow_band, "l_h"))


def flow_line(answer: Answer) -> str:
    """What was measured, who takes the most, and what every pump does."""
    point = answer.point
    if point is None:
        return ""
    where = " in its circuit" if sum(each.is_moving for each in point.circuits) > 1 else ""
    most = [f"{part.name} takes {figures.percent(part.share)} % of the pressure{where}" for part in point.budget[:1]]
    pumps = [
        f"{pump.name}: {figures.amount(pump.flow, 'l_h')} at {figures.amount(pump.head, 'm')}" for pump in point.pumps
    ]
    checked = measured_against(point)
    read = [figures.capitalised(checked.sentence)] if checked is not None else []
    return ". ".join([*read, *most, *pumps]) + "." if read or most or pumps else ""


def failures_headline(answer: Answer) -> str:
    """The worst single failure in a sentence."""
    failures = answer.stopped
    if failures is None or failures.worst is None:
        return ""
    worst, pumps = failures.worst, len(failures.cases)
    alike = [case for case in failures.cases if figures.percent(case.share) == figures.percent(worst.share)]
    who = "either pump" if len(alike) == pumps == 2 else "any one pump" if len(alike) == pumps > 2 else _name(worst)
    where = f" in the circuit of {worst.circuit}" if worst.circuit else ""
    if worst.is_only:
        by_warmth = f"; warmth keeps {figures.percent(worst.share)} % of it" if worst.share > figures.NOTHING else ""
        return f"If {who} stops, no pump drives the flow{where}{by_warmth}"
    stays = f"{figures.percent(worst.share)} % of the flow{where} stays"
    return f"If {who} stops, {stays if worst.share > figures.NOTHING else f'nothing flows{where}'}"


def stopped_at(answer: Answer) -> str:
    """At which temperature it was worked out what is left, while those found are not there; empty once they are."""
    point = answer.point
    if point is None or answer.stopped is None or not answer.stopped_as_stated:
        return ""
    until = "" if answer.heat_problem else ", until it is worked out how warm it gets"
    return f"Coolant at the {_stated(point)} stated for it{until}."


def flow_at(answer: Answer) -> str:
    """At which temperature the flow is told, where it reads otherwise at those found; empty where it does not."""
    point, stopped = answer.point, answer.stopped
    if point is None or stopped is None or answer.stopped_as_stated or answer.stopped_is_old or point.stopped:
        return ""
    flows = {figures.amount(each.loop_flow, "l_h") for each in (point, stopped.base)}
    return f" with coolant at {_stated(point)}" if len(flows) > 1 else ""


def _stated(point: OperatingPoint) -> str:
    """The temperatures stated for the coolants."""
    return listed(list(dict.fromkeys(figures.amount(each.coolant.temperature_c, "c") for each in point.circuits)))


def findings_of(answer: Answer, quiet: bool = False) -> list[Finding]:
    """What the solved layout draws attention to; with `quiet`, the marks of a drawing in progress.

    The most harmful first, at any load case; each is said once.
    """
    point = answer.point
    if point is None:
        return []
    found = answer.in_view
    of_heat = news_of_heat(found.point, (each.point for each in answer.heat), point) if found is not None else ()
    return by_harm(each for each in (*of_heat, *point.findings) if each.quiet is quiet and _is_placed(each, point))


def rests_on(answer: Answer) -> list[Doubt]:
    """What the flow rests on where it is least sure: nothing, if all of it is better than a guess."""
    point = answer.point
    if point is None:
        return []
    used: list[PartFlow | PumpFlow] = [*point.pumps, *point.budget]
    return _doubts(
        ("Beyond its data, so an estimate", [each for each in used if each.beyond_data]),
        ("Data that are a guess", [each for each in used if each.provenance == "guess"]),
    )


def failures_rest_on(answer: Answer) -> list[Doubt]:
    """The same for what stays after a failure: the standing impellers first."""
    cases = answer.stopped.cases if answer.stopped is not None else ()
    standing = [case.point.of(case.stopped) for case in cases if len(cases) > 1]
    guessed = [pump for pump in standing if pump.provenance == "guess"]
    return [*_doubts(("Resistance of the standing impeller is a guess", guessed)), *rests_on(answer)]


def sources(answer: Answer) -> str:
    """The worst kind of source behind the numbers, in words."""
    kind = answer.point.worst_provenance if answer.point is not None else None
    return "" if kind is None else f"Worst source behind these numbers: {_SOURCES[kind]}."


def of_part(point: OperatingPoint, item: str) -> str:
    """What flows through a part or tube run, and what it costs or gives."""
    try:
        result = point.of(item)
    except KeyError:
        return ""
    if isinstance(result, PartFlow) and result.regime == "still":
        return "Nothing flows here."
    flow = figures.amount(abs(result.flow), "l_h")
    if isinstance(result, PumpFlow):
        draws = f"; draws {result.power:.1f} W, gives the liquid {figures.percent(result.efficiency)} % of it"
        return f"{flow} at {figures.amount(result.head, 'm')}{draws if result.power > 0 else ''}."
    words = [flow]
    if result.share > 0:
        words.append(
            f"takes {figures.amount(abs(result.dp), 'kpa')}, {figures.percent(result.share)} % of the pressure"
        )
    if result.velocity is not None and result.reynolds is not None:
        words.append(f"{figures.amount(abs(result.velocity), 'm_s')}, Re {result.reynolds:.0f} ({result.regime})")
    return "; ".join(words) + "."


def _doubts(*clauses: tuple[str, list[PartFlow | PumpFlow]]) -> list[Doubt]:
    return [Doubt(words, tuple((part.id, part.name) for part in parts)) for words, parts in clauses if parts]


def _is_placed(finding: Finding, point: OperatingPoint) -> bool:
    """False for what an older answer says of a part that is gone."""
    layout = point.layout
    return finding.part is None or finding.part in layout.placements or finding.part in layout.runs_by_id


def _name(case: FailureCase) -> str:
    return case.point.build.part(case.stopped).name

"""What failures lead to, in words: verdicts with a sign each, one line of figures for each case."""

from math import inf
from typing import NamedTuple

from app import figures
from app.failing.catalogue import Catalogue
from app.heat import heat_words
from loopsim.studies import ComponentHeat, FailureOutcome
from loopsim.studies.failing.results import Verdict
from loopsim.studies.words import duration

__all__ = [
    "ROLES",
    "SIGNS",
    "back_flow",
    "does",
    "figures_of",
    "headline",
    "in_order",
    "tally",
    "time_to_limit",
    "verdict",
    "warmest",
]

SIGNS = {"shut down": "✕", "holds with less load": "▼", "dark": "○", "holds": "✓"}
_DOES: dict[Verdict, tuple[str, str]] = {
    "shut down": ("shuts it down", "shut it down"),
    "holds with less load": ("wants less load", "want less load"),
    "dark": ("leaves it dark", "leave it dark"),
    "holds": ("holds", "hold"),
}
ROLES = {"shut down": "rust_text", "holds with less load": "amber_text", "dark": "soft_ink", "holds": "good_text"}

_SAME = 0.995  # share of the flow from which it counts as the same


class Tally(NamedTuple):
    """Single failures that shut the machine down, want less load, leave it dark in whole or part, or do no harm."""

    down: int
    less: int
    dark: int
    holds: int


def headline(found: Catalogue) -> str:
    """The answer to "does it survive" in a sentence."""
    cases = found.cases
    if not cases:
        return "Failures are being worked out" if found.is_working else "No failure worked out yet"
    said = tally(found)
    so_far = " so far" if found.is_working else ""
    of_all = f"of {len(cases)} failure{'s' if len(cases) > 1 else ''}"
    for number, judged in ((said.down, "shut down"), (said.less, "holds with less load"), (said.dark, "dark")):
        if number:
            return f"{number} {of_all} {does(judged, number)}{so_far}"
    return f"It survives any {of_all}{so_far}"


def in_order(found: Catalogue) -> str:
    """What there is while nothing has failed, and after that the worst that one failure does."""
    if found.base is None:
        return ""
    warmest = found.base.warmest
    flow = figures.amount(found.base.point.loop_flow, "l_h")
    told = ", ".join([flow] if warmest is None else [flow, f"{warmest.name} {_margin(warmest)}"])
    summary = found.summary
    worst = None if summary is None else summary.worst
    said = f" Worst failure: {figures.told(worst.sentence)}" if worst is not None else ""
    return f"Everything in order: {told}.{said}"


def does(judged: Verdict, number: int) -> str:
    """What so many failures of a verdict do to the machine."""
    one, several = _DOES[judged]
    return one if number == 1 else several


def tally(found: Catalogue) -> Tally:
    """How many single failures there are of each verdict."""
    verdicts = [each.verdict for each in found.cases]
    return Tally(*map(verdicts.count, ("shut down", "holds with less load", "dark", "holds")))


def verdict(outcome: FailureOutcome) -> str:
    """What is to be done, in a few words."""
    if outcome.verdict == "holds":
        return "holds"
    if outcome.verdict == "dark":
        return "dark" if outcome.load == 0 else f"partly dark, {figures.watts(outcome.load)} W holds"
    if outcome.bearable_load is not None:
        return f"holds with {figures.watts(outcome.bearable_load)} of {figures.watts(outcome.load)} W"
    soonest = outcome.time if outcome.time is not None else _soonest(outcome)
    if soonest is not None and soonest <= 0:
        return "shut down at once"
    return "shut down" if soonest is None else f"shut down within {duration(soonest)}"


def figures_of(outcome: FailureOutcome) -> str:
    """Flow and its share, what runs back, the warmest component, the time to the limit: one line."""
    said = [f"{figures.amount(outcome.flow, 'l_h')}, {figures.percent(outcome.share)} %"]
    said += [f"{back_flow(outcome)} back"] if outcome.back_flows else []
    said += [warmest(outcome)]
    said += [f"limit after {time_to_limit(outcome)}"] if outcome.bearable_load is not None else []
    return figures.unbroken(" · ".join(each for each in said if each))


def warmest(outcome: FailureOutcome) -> str:
    """The component nearest to its limit, and how far from it."""
    if outcome.heat is None:
        return "comes to no rest"
    found = outcome.warmest
    return "" if found is None else f"{found.name} {_margin(found)}"


def back_flow(outcome: FailureOutcome) -> str:
    """All that runs backwards, liquid before air; a dash where nothing does."""
    pumps = {pump.id for pump in outcome.point.pumps}
    liquid = sum(flow for item, flow in outcome.back_flows.items() if item in pumps)
    air = sum(flow for item, flow in outcome.back_flows.items() if item not in pumps)
    said = [figures.amount(liquid, "l_h")] if liquid > 0 else []
    said += [f"{figures.amount(air, 'm3_h')} of air"] if air > 0 else []
    return " and ".join(said) or figures.NONE


def time_to_limit(outcome: FailureOutcome) -> str:
    """Until the first limit: as followed in time, or between its bounds; a dash where none is met."""
    if outcome.time is not None:
        return duration(outcome.time)
    if outcome.time_between is None:
        return figures.NONE
    least, most = outcome.time_between
    return f"{duration(least)} to {duration(most)}" if most < inf else f"{duration(least)} or more"


def _soonest(outcome: FailureOutcome) -> float | None:
    return outcome.time_between[0] if outcome.time_between is not None else None


def _margin(component: ComponentHeat) -> str:
    return heat_words.temperature(component) if component.margin is None else heat_words.margin(component)

"""The plan after a failure: the answer as it would be then, and what is left of the flow in every tube."""

from dataclasses import replace

from app.answer import Answer, CaseHeat
from app.plan.tint import Tint
from loopsim.studies import FailureOutcome, Finding, OperatingPoint, findings

__all__ = ["flow_kept", "struck_answer"]

_STILL = 1e-3  # of the largest flow: what passes less tells nothing of what is left


def struck_answer(answer: Answer | None, case: FailureOutcome | None) -> Answer | None:
    """The answer as it would be after a failure of the layout in view; itself without one.

    What has failed stands among the findings, so that it is marked; what has stopped is marked anyhow.
    """
    if answer is None or answer.point is None or case is None or case.point.layout.name != answer.layout:
        return answer
    heat = () if case.heat is None else (CaseHeat(case.heat),)
    events = [event for event in case.failure.events if event.item is not None and event.what != "stopped"]
    failed = (Finding(event.what, event.item, f"{event.what}: {case.failure.title}") for event in events)
    drawn = findings(answer.point.build, answer.layout)
    return replace(answer, point=replace(case.point, findings=(*failed, *case.point.findings, *drawn)), heat=heat)


def flow_kept(before: OperatingPoint, case: FailureOutcome) -> Tint:
    """Of every tube's flow, what is left after a failure, as a share; negative where it runs back."""
    flows = {part.id: part.flow for part in before.parts if part.kind == "tube_run"}
    least = _STILL * max(map(abs, flows.values()), default=0.0)
    after = {part.id: part.flow for part in case.point.parts}
    values = {run: after[run] / flow for run, flow in flows.items() if run in after and abs(flow) > least}
    return Tint(values, "percent", {}, caption="of the flow is left", span=(0.0, 1.0))

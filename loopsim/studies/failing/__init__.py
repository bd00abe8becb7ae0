"""What if something fails: the catalogue of a layout, and what each failure leads to with flow, heat and air."""

from loopsim.studies.failing.catalogue import Failure, Situation, catalogue, pairs_of
from loopsim.studies.failing.outcomes import each_outcome, failure_outcomes, outcomes_from, timed_outcome
from loopsim.studies.failing.results import Alarms, FailureOutcome, FailureOutcomes

__all__ = [
    "Alarms",
    "Failure",
    "FailureOutcome",
    "FailureOutcomes",
    "Situation",
    "catalogue",
    "each_outcome",
    "failure_outcomes",
    "outcomes_from",
    "pairs_of",
    "timed_outcome",
]

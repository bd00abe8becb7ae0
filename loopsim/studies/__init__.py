"""The questions a builder asks, each answered from one build."""

from loopsim.studies.budget import Budget, BudgetLine, budgets
from loopsim.studies.failures import failures
from loopsim.studies.findings import findings
from loopsim.studies.grade_line import grade_line
from loopsim.studies.grade_results import GradeLine, GradePoint, GradeStep, Stretch
from loopsim.studies.measured import MeasuredFlow, measured_against
from loopsim.studies.operating import operating_point
from loopsim.studies.pump_plots import pump_plots
from loopsim.studies.results import (
    CurveLine,
    FailureCase,
    Failures,
    Finding,
    OperatingPoint,
    PartFlow,
    PumpFlow,
    PumpPlot,
    StoppedCase,
    Suction,
    Unsteady,
)

__all__ = [
    "Budget",
    "BudgetLine",
    "CurveLine",
    "FailureCase",
    "Failures",
    "Finding",
    "GradeLine",
    "GradePoint",
    "GradeStep",
    "MeasuredFlow",
    "OperatingPoint",
    "PartFlow",
    "PumpFlow",
    "PumpPlot",
    "StoppedCase",
    "Stretch",
    "Suction",
    "Unsteady",
    "budgets",
    "failures",
    "findings",
    "grade_line",
    "measured_against",
    "operating_point",
    "pump_plots",
]

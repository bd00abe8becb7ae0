"""The questions a builder asks, each answered from one build."""

from loopsim.studies.air_flows import AirFlow, air_flows
from loopsim.studies.air_plots import AirPlot, air_plots
from loopsim.studies.budget import Budget, BudgetLine, budgets
from loopsim.studies.comparing import ComparedRow, Comparison, compare
from loopsim.studies.failing import (
    Alarms,
    Failure,
    FailureOutcome,
    FailureOutcomes,
    Situation,
    catalogue,
    each_outcome,
    failure_outcomes,
    pairs_of,
)
from loopsim.studies.failures import failures
from loopsim.studies.figures import FIGURES, Figure, figures_of
from loopsim.studies.findings import findings
from loopsim.studies.grade_line import grade_line
from loopsim.studies.grade_results import GradeLine, GradePoint, GradeStep, Stretch
from loopsim.studies.heat import heat_point, heat_points
from loopsim.studies.heat_balance import HeatBalance, HeatLine, heat_balance
from loopsim.studies.heat_results import ComponentHeat, ExchangerHeat, FanFlow, HeatBudget, HeatPoint, SpaceAir
from loopsim.studies.heat_summary import air_drawn_in, heat_sentence, news_of_heat, settled
from loopsim.studies.measured import MeasuredFlow, measured_against
from loopsim.studies.operating import operating_point
from loopsim.studies.power import SupplyLoad
from loopsim.studies.pump_plots import pump_plots
from loopsim.studies.quiet import Quiet, QuietPoint, quiet
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
from loopsim.studies.staircase import CoolantStep, Staircase, staircases
from loopsim.studies.tolerance import Band, Chunk, Share, Tolerance, Uncertain, tolerance, uncertainties
from loopsim.studies.transient import transient
from loopsim.studies.transient_results import Boiling, ComponentCourse, Crossing, Transient
from loopsim.studies.varying import Parameter, Sweep, SweepPoint, Variation, each_point, parameter, sweep, varied

__all__ = [
    "FIGURES",
    "AirFlow",
    "AirPlot",
    "Alarms",
    "Band",
    "Boiling",
    "Budget",
    "BudgetLine",
    "Chunk",
    "ComparedRow",
    "Comparison",
    "ComponentCourse",
    "ComponentHeat",
    "CoolantStep",
    "Crossing",
    "CurveLine",
    "ExchangerHeat",
    "Failure",
    "FailureCase",
    "FailureOutcome",
    "FailureOutcomes",
    "Failures",
    "FanFlow",
    "Figure",
    "Finding",
    "GradeLine",
    "GradePoint",
    "GradeStep",
    "HeatBalance",
    "HeatBudget",
    "HeatLine",
    "HeatPoint",
    "MeasuredFlow",
    "OperatingPoint",
    "Parameter",
    "PartFlow",
    "PumpFlow",
    "PumpPlot",
    "Quiet",
    "QuietPoint",
    "Share",
    "Situation",
    "SpaceAir",
    "Staircase",
    "StoppedCase",
    "Stretch",
    "Suction",
    "SupplyLoad",
    "Sweep",
    "SweepPoint",
    "Tolerance",
    "Transient",
    "Uncertain",
    "Unsteady",
    "Variation",
    "air_drawn_in",
    "air_flows",
    "air_plots",
    "budgets",
    "catalogue",
    "compare",
    "each_outcome",
    "each_point",
    "failure_outcomes",
    "failures",
    "figures_of",
    "findings",
    "grade_line",
    "heat_balance",
    "heat_point",
    "heat_points",
    "heat_sentence",
    "measured_against",
    "news_of_heat",
    "operating_point",
    "pairs_of",
    "parameter",
    "pump_plots",
    "quiet",
    "settled",
    "staircases",
    "sweep",
    "tolerance",
    "transient",
    "uncertainties",
    "varied",
]

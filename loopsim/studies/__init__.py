"""The questions a builder asks, each answered from one build."""

from loopsim.studies.failures import failures
from loopsim.studies.findings import findings
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
)

__all__ = [
    "CurveLine",
    "FailureCase",
    "Failures",
    "Finding",
    "MeasuredFlow",
    "OperatingPoint",
    "PartFlow",
    "PumpFlow",
    "PumpPlot",
    "StoppedCase",
    "Suction",
    "failures",
    "findings",
    "measured_against",
    "operating_point",
    "pump_plots",
]

"""In which units a plot of pumps or fans shows flow and head, and what its machines are called."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app import figures
from loopsim.studies import CurveLine
from loopsim.units import GRAVITY

__all__ = ["CurveAxes", "air_axes", "liquid_axes"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class CurveAxes:
    """Units of one plot.

    Attributes
    ----------
    flow_unit : str
        Ending of a unit in `loopsim.units`.
    flow_scale : float
        What is shown for each m3/s.
    flow_words : str
        Caption of the axis to the right.
    head_name : str
        What is shown upwards, without its unit.
    head_words : str
        Caption of the axis upwards.
    head_scale : float
        What is shown for each metre of head.
    machine : str
        What one of the machines is called.
    """

    flow_unit: str
    flow_scale: float
    flow_words: str
    head_name: str
    head_words: str
    head_scale: float
    machine: str

    def across(self, flow: FloatArray) -> FloatArray:
        """Flows as shown [m3/s] -> in the builder's unit."""
        return np.asarray(flow) * self.flow_scale

    def up(self, head: FloatArray) -> FloatArray:
        """Heads as shown."""
        return np.asarray(head) * self.head_scale

    def shown(self, line: CurveLine) -> tuple[FloatArray, FloatArray]:
        """A line as shown."""
        return self.across(line.flow), self.up(line.head)

    def flow_text(self, flow: float) -> str:
        """A flow with its unit."""
        return figures.amount(flow, self.flow_unit)


def liquid_axes() -> CurveAxes:
    """Axes for pumps, in the builder's units of now."""
    return _axes("l_h", "head", "m", 1.0, "pump")


def air_axes(density: float) -> CurveAxes:
    """The same for fans: heads of a column of air of this density [kg/m3] as static pressure."""
    return _axes("m3_h", "pressure", "pa", density * GRAVITY, "fan")


def _axes(flow_unit: str, head_name: str, head_unit: str, si_of_head: float, machine: str) -> CurveAxes:
    return CurveAxes(
        flow_unit,
        figures.in_own(1.0, flow_unit),
        figures.heading("flow", flow_unit),
        head_name,
        figures.heading(head_name, head_unit),
        figures.in_own(si_of_head, head_unit),
        machine,
    )

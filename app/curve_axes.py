"""In which units a plot of pumps or fans shows flow and head, and what its machines are called."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app import figures
from loopsim.studies import CurveLine
from loopsim.units import GRAVITY, UNITS, from_si

__all__ = ["LIQUID", "CurveAxes", "air_axes"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class CurveAxes:
    """Units of one plot.

    Attributes
    ----------
    flow_unit : str
        Ending of a unit in `loopsim.units`.
    head_words : str
        Caption of the axis upwards.
    head_scale : float
        What is shown for each metre of head.
    machine : str
        What one of the machines is called.
    """

    flow_unit: str
    head_words: str
    head_scale: float
    machine: str

    @property
    def head_name(self) -> str:
        """What is shown upwards, without its unit."""
        return self.head_words.partition(",")[0]

    @property
    def flow_words(self) -> str:
        """Caption of the axis to the right."""
        return f"flow, {UNITS[self.flow_unit].label}"

    def across(self, flow: FloatArray) -> FloatArray:
        """Flows as shown [m3/s] -> [flow_unit]."""
        return np.asarray(flow) * from_si(1.0, self.flow_unit)

    def up(self, head: FloatArray) -> FloatArray:
        """Heads as shown."""
        return np.asarray(head) * self.head_scale

    def shown(self, line: CurveLine) -> tuple[FloatArray, FloatArray]:
        """A line as shown."""
        return self.across(line.flow), self.up(line.head)

    def flow_text(self, flow: float) -> str:
        """A flow with its unit."""
        shown = figures.flow_l_h(flow) if self.flow_unit == "l_h" else figures.air_m3_h(flow)
        return f"{shown} {UNITS[self.flow_unit].label}"


LIQUID = CurveAxes("l_h", "head, m", 1.0, "pump")


def air_axes(density: float) -> CurveAxes:
    """Axes for fans: heads of a column of air of this density [kg/m3] as static pressure."""
    return CurveAxes("m3_h", "pressure, Pa", density * GRAVITY, "fan")

"""Axes of the grade line's plot: distance along the stream to the right, head upwards."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF

from app.drawn_axes import DrawnAxes
from loopsim.studies import GradeLine

__all__ = ["GradeAxes"]

FloatArray = NDArray[np.float64]


class GradeAxes(DrawnAxes):
    """Room for both heads and for the tube's height; the floor is always in view."""

    def __init__(self) -> None:
        super().__init__("distance along the stream", "head", "m", "m")

    def fit_line(self, line: GradeLine, within: QRectF, *others: FloatArray) -> None:
        """Make room for a line, and for other heads along it, in a rectangle of the widget."""
        heads = np.concatenate([line.total_head, line.piezometric_head, line.elevation, *others])
        self.fit(min(float(np.nanmin(heads)), 0.0), max(float(np.nanmax(heads)), 1e-3), line.length, within)

"""Axes of the grade line's plot: distance along the stream to the right, head upwards."""

import numpy as np
from PySide6.QtCore import QRectF

from app.drawn_axes import DrawnAxes
from loopsim.studies import GradeLine

__all__ = ["GradeAxes"]


class GradeAxes(DrawnAxes):
    """Room for both heads and for the tube's height; the floor is always in view."""

    def __init__(self) -> None:
        super().__init__("distance along the stream, m", "head, m")

    def fit_line(self, line: GradeLine, within: QRectF) -> None:
        """Make room for a line in a rectangle of the widget."""
        heads = np.concatenate([line.total_head, line.piezometric_head, line.elevation])
        self.fit(min(float(heads.min()), 0.0), max(float(heads.max()), 1e-3), line.length, within)

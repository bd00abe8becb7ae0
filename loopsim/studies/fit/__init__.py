"""Whether it fits: heights, crossings, bends, what stands in the way of what, and what should not meet."""

from loopsim.studies.fit.checks import fit
from loopsim.studies.fit.direction import drawn_directions
from loopsim.studies.fit.remedies import proposed_corners, remedied

__all__ = ["drawn_directions", "fit", "proposed_corners", "remedied"]

"""Whether it fits: heights, crossings, bends, what stands in the way of what, and what should not meet."""

from loopsim.studies.fit.checks import fit
from loopsim.studies.fit.direction import drawn_directions
from loopsim.studies.fit.leading import is_clear, led_run, proposed_corners
from loopsim.studies.fit.remedies import remedied

__all__ = ["drawn_directions", "fit", "is_clear", "led_run", "proposed_corners", "remedied"]

"""Where things are: places in plan with heights, and the paths of tubes. Millimetres and degrees, no physics.

Plan axes: x to the right along the front edge, y away from it, height above the enclosure's floor. Angles run
counter-clockwise from x.
"""

from loopsim.geometry.path import Bend, Path
from loopsim.geometry.place import Lie, Outline, Place, Spot

__all__ = ["Bend", "Lie", "Outline", "Path", "Place", "Spot"]

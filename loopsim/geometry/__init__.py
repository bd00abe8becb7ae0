"""Where things are: places in plan with heights, and the paths of tubes. Millimetres and degrees, no physics.

Plan axes: x to the right along the front edge, y away from it, height above the enclosure's floor. Angles run
counter-clockwise from x.
"""

from loopsim.geometry.box import Box, box_of, overlapping
from loopsim.geometry.clearance import Approach, TubeBody, body, to_box, to_tube
from loopsim.geometry.path import Bend, Path
from loopsim.geometry.place import Lie, Outline, Place, Spot
from loopsim.geometry.route import boxes_along, route

__all__ = [
    "Approach",
    "Bend",
    "Box",
    "Lie",
    "Outline",
    "Path",
    "Place",
    "Spot",
    "TubeBody",
    "body",
    "box_of",
    "boxes_along",
    "overlapping",
    "route",
    "to_box",
    "to_tube",
]

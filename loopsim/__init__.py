"""Loopsim: the calculation behind a liquid-cooling loop drawn to scale, with heights.

The layers, each knowing only those before it: `units`, `errors`, `fields`, `media`, `curves`, `geometry`, `elements`,
`parts`, `build`, `network`, `solve`, `studies`, `report`, `cli`. Nothing here imports a window toolkit.
"""

__version__ = "0.1.0"

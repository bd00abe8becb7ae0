"""Which layout is better: drawings told apart in words, and what each of them gives, side by side."""

from loopsim.studies.comparing.compare import compare
from loopsim.studies.comparing.drawing import drawing_differences
from loopsim.studies.comparing.inventory import Inventory, inventory
from loopsim.studies.comparing.results import ComparedRow, Comparison

__all__ = ["ComparedRow", "Comparison", "Inventory", "compare", "drawing_differences", "inventory"]

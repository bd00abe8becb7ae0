"""In which order, what beside what, by which ports: arrangements of the blocks and radiators where they stand."""

from loopsim.studies.arranging.ranking import FIRST, RANKING, First, ranked
from loopsim.studies.arranging.results import Arrangement, Arrangements, Looking
from loopsim.studies.arranging.search import DRAWN, arrange, each_arrangement
from loopsim.studies.arranging.taking import taken

__all__ = [
    "DRAWN",
    "FIRST",
    "RANKING",
    "Arrangement",
    "Arrangements",
    "First",
    "Looking",
    "arrange",
    "each_arrangement",
    "ranked",
    "taken",
]

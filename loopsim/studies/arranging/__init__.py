"""In which order, what beside what, by which ports: arrangements of the blocks and radiators where they stand."""

from loopsim.studies.arranging.ranking import FIRST, First, ranked, ranking_words
from loopsim.studies.arranging.results import Arrangement, Arrangements, Looking
from loopsim.studies.arranging.search import DRAWN, arrange, each_arrangement
from loopsim.studies.arranging.taking import taken

__all__ = [
    "DRAWN",
    "FIRST",
    "Arrangement",
    "Arrangements",
    "First",
    "Looking",
    "arrange",
    "each_arrangement",
    "ranked",
    "ranking_words",
    "taken",
]

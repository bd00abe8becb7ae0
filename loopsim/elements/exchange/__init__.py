"""Heat between streams and walls: films, exchangers, effectiveness, the core of a radiator from its size."""

from loopsim.elements.exchange.core import CORE_BAND, Core
from loopsim.elements.exchange.effectiveness import (
    ARRANGEMENTS,
    MOST_UNITS,
    Arrangement,
    effectiveness,
    transfer_units,
)
from loopsim.elements.exchange.exchanger import PASSES, Exchanger, Passes
from loopsim.elements.exchange.film import Film
from loopsim.elements.exchange.fit import PLATES, RADIATOR, FilmGuess, fit_exchanger
from loopsim.elements.exchange.nusselt import channel_nusselt, developed_nusselt, turbulent_nusselt

__all__ = [
    "ARRANGEMENTS",
    "CORE_BAND",
    "MOST_UNITS",
    "PASSES",
    "PLATES",
    "RADIATOR",
    "Arrangement",
    "Core",
    "Exchanger",
    "Film",
    "FilmGuess",
    "Passes",
    "channel_nusselt",
    "developed_nusselt",
    "effectiveness",
    "fit_exchanger",
    "transfer_units",
    "turbulent_nusselt",
]

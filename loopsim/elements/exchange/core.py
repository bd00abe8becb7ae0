"""A radiator from the size of its core, where nobody has measured it."""

import math
from dataclasses import dataclass

import numpy as np

from loopsim.elements.exchange.exchanger import Exchanger, Passes
from loopsim.elements.exchange.film import Film
from loopsim.elements.exchange.nusselt import channel_nusselt
from loopsim.errors import PartDataError
from loopsim.media import State, air, water

__all__ = ["CORE_BAND", "Core"]

CORE_BAND = 0.4  # half width of the band of the estimate, as a share; a guess

# Guesses that no sheet gives: folded aluminium or copper foil, its conductivity between the two, a tube's wall.
_FIN_THICKNESS, _FIN_CONDUCTIVITY, _TUBE_WALL = 0.1e-3, 250.0, 0.2e-3
_FACE_VELOCITIES = (0.5, 3.0)  # between which the air's film is drawn through [m/s]
_FLOWS = (30e-3 / 3600, 300e-3 / 3600)  # and the coolant's [m3/s]


@dataclass(frozen=True, slots=True)
class Core:
    """Flat tubes along the length, a layer of folded fins beside each, air through the depth.

    Parameters
    ----------
    length, width, depth : float
        Of the finned part: along the tubes, across them, in the direction of the air, above 0 [m].
    fin_pitch : float
        From fin to fin, more than the fin's own 0.1 mm [m]; 25.4 mm over the fins per inch.
    tube_count : int
        Flat tubes side by side over the width, at least 1 (2 where the passes lie side by side).
    tube_thickness : float
        Outside, across the width, more than its two walls of 0.2 mm [m].

    Raises
    ------
    PartDataError
        If a size is out of range, or the tubes leave no room for fins.
    """

    length: float
    width: float
    depth: float
    fin_pitch: float
    tube_count: int
    tube_thickness: float

    def __post_init__(self) -> None:
        least = {"length": 0.0, "width": 0.0, "depth": 0.0, "fin_pitch": _FIN_THICKNESS, "tube_count": 0}
        for name, bound in {**least, "tube_thickness": 2 * _TUBE_WALL}.items():
            if not bound < getattr(self, name) < math.inf:
                shown = f"{1e3 * bound:g} mm, got {1e3 * getattr(self, name):g} mm" if name != "tube_count" else "0"
                raise PartDataError(f"core: {name.replace('_', ' ')} must be above {shown}", field=name)
        if self.fin_height <= 0:
            raise PartDataError(
                f"core: {self.tube_count} tubes of {1e3 * self.tube_thickness:g} mm leave no room for fins in a width "
                f"of {1e3 * self.width:g} mm",
                field="tube_count",
            )

    @property
    def fin_height(self) -> float:
        """From tube to tube [m]."""
        return self.width / self.tube_count - self.tube_thickness

    def exchanger(self, passes: Passes = "one") -> Exchanger:
        """The exchanger that such a core makes: an estimate, with a band of 40 %.

        Air between plain fins and coolant in flat tubes by laminar channel laws (water of 30 °C), fins by their
        efficiency. Left out: louvres, which can double the air's film; poor joints between fin and tube; dust. Each
        film is a power law through two flows, 0.5 and 3 m/s before the face, 30 and 300 L/h.

        References
        ----------
        `loopsim.elements.exchange.nusselt`; efficiency of a straight fin: Incropera and DeWitt, chapter 3. The band
        is a guess.
        """
        air_flows = tuple(velocity * self.length * self.width for velocity in _FACE_VELOCITIES)
        return Exchanger(
            _through(_FLOWS, [self._coolant_film(flow, passes) for flow in _FLOWS]),
            _through(air_flows, [self._air_film(flow) for flow in air_flows]),
            passes=passes,
            relative_tolerance=CORE_BAND,
        )

    def _air_film(self, flow: float) -> float:
        """Conductance from tubes and fins to air [W/K]."""
        gap, height = self.fin_pitch - _FIN_THICKNESS, self.fin_height
        open_share = gap / self.fin_pitch
        free_area = self.tube_count * self.length * height * open_share
        h = _coefficient(gap, height, self.depth, flow / free_area, air(20.0))
        tubes = 2 * self.tube_count * self.length * self.depth * open_share
        fins = 2 * self.tube_count * self.length / self.fin_pitch * height * self.depth
        reach = math.sqrt(2 * h / (_FIN_CONDUCTIVITY * _FIN_THICKNESS)) * height / 2
        return h * (tubes + fins * math.tanh(reach) / reach)

    def _coolant_film(self, flow: float, passes: Passes) -> float:
        """Conductance from coolant to tubes [W/K]; with two passes each takes half of the tubes' section."""
        gap = self.tube_thickness - 2 * _TUBE_WALL
        section = self.tube_count * gap * self.depth / (1 if passes == "one" else 2)
        wetted = 2 * self.tube_count * (gap + self.depth) * self.length
        return wetted * _coefficient(gap, self.depth, self.length, flow / section, water().at(30.0))


def _coefficient(side: float, other: float, length: float, velocity: float, state: State) -> float:
    """Film coefficient in a rectangular channel [W/(m2 K)]."""
    diameter = 2 * side * other / (side + other)
    reynolds = state.density * velocity * diameter / state.viscosity
    prandtl = state.viscosity * state.heat_capacity / state.conductivity
    aspect = min(side, other) / max(side, other)
    nusselt = channel_nusselt(aspect, length / diameter, np.array(reynolds), prandtl)
    return float(nusselt) * state.conductivity / diameter


def _through(flows: tuple[float, ...], conductances: list[float]) -> Film:
    (first, second), (one, two) = flows, conductances
    return Film.through((first, second), (one, two))

"""Liquid above a vessel's outlet, against what keeps a vortex from drawing air."""

from collections.abc import Iterator
from math import pi, sqrt
from typing import Literal

from loopsim.network import height_graph
from loopsim.studies.fill.places import millimetres
from loopsim.studies.fill.results import SuctionCover
from loopsim.studies.results import OperatingPoint
from loopsim.studies.words import NO_FLOW
from loopsim.units import GRAVITY, to_si

__all__ = ["least_cover", "suction_covers"]

HABIT_BORES = 2.0  # cover in bores of the outlet that builders usually leave; common practice


def least_cover(bore: float, flow: float) -> float:
    """Least liquid above an outlet so that no vortex draws air: ``D (1 + 2.3 Fr)``, ``Fr = V / sqrt(g D)`` [m].

    Measured on the intakes of large pumps; the only published criterion there is, and in bores of 10 mm its speeds
    are far outside what it was measured at.

    Parameters
    ----------
    bore : float
        [m].
    flow : float
        [m3/s].

    References
    ----------
    ANSI/HI 9.8, Rotodynamic pumps for pump intake design, after Hecker (1987); from memory. Checked in
    tests/studies/fill/test_suction_cover.py.
    """
    speed = abs(flow) / (pi / 4 * bore**2)
    return bore * (1 + 2.3 * speed / sqrt(GRAVITY * bore))


def suction_covers(point: OperatingPoint) -> tuple[SuctionCover, ...]:
    """Every port through which liquid leaves a vessel with a free surface, at the level as drawn."""
    graph = height_graph(point.build, point.layout)
    heights = graph.heights()
    found = []
    for port, flow in _outlets(point):
        part, hole = point.build.port(port)
        surface = point.layout.placement(part.id).height_mm + (part.surface_mm or 0.0)
        cover = to_si(surface, "mm") - float(heights[graph.number[port]])
        found.append(_cover(port, part.name, cover, to_si(hole.bore_mm, "mm"), flow))
    return tuple(found)


def _outlets(point: OperatingPoint) -> Iterator[tuple[str, float]]:
    for run in point.layout.runs:
        flow = point.of(run.id).flow
        for port, leaving in ((run.start, flow), (run.end, -flow)):
            if leaving > NO_FLOW and point.build.port(port)[0].surface_mm is not None:
                yield port, leaving


def _cover(port: str, name: str, cover: float, bore: float, flow: float) -> SuctionCover:
    least, habit = least_cover(bore, flow), HABIT_BORES * bore
    asked = sorted((least, habit))
    verdict: Literal["enough", "debatable", "too little"] = (
        "enough" if cover >= asked[1] else "debatable" if cover >= asked[0] else "too little"
    )
    sentence = (
        f"{name}: {millimetres(cover)} of liquid above its outlet; the published criterion asks for "
        f"{millimetres(least)} at this flow, the habit of two bores for {millimetres(habit)}: {verdict}"
    )
    if verdict != "enough":
        sentence += "; raise the level, widen the outlet, or put a plate over it"
    speed = flow / (pi / 4 * bore**2)
    return SuctionCover(port, name, cover, least, habit, speed, verdict, sentence)

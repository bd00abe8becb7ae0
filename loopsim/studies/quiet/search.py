"""The quietest speeds at which every limit holds, and what more margin costs in sound."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build
from loopsim.errors import SketchError
from loopsim.parts import Pump
from loopsim.studies.failing.bearable import at_rest
from loopsim.studies.failing.catalogue import Situation
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.heat.sound import incoherent_sum
from loopsim.studies.quiet.groups import SpeedGroup, set_speeds, speed_groups, whole_percent
from loopsim.studies.sentence import quantity, read_marks

__all__ = ["CURVE", "Quiet", "QuietPoint", "each_quiet", "quiet"]

FloatArray = NDArray[np.float64]

_NO_REST = -1000.0  # margin where temperatures do not settle [K]
CURVE = 6  # points of the trade-off, the last at the highest speeds
_AIM = 0.002  # above the margin that is wanted, so that the search ends inside [K]
_CLOSE = 1e-3  # of the way back to most speed
_SLOWER = 0.5  # decibels that full speed of a machine without known sound counts: of two equally loud, the slower


@dataclass(frozen=True)
class QuietPoint:
    """A machine at some speeds.

    Attributes
    ----------
    speeds : tuple of float
        Of each group, share of full speed.
    sound : float or None
        At 1 m [dB(A)]; None where none is known.
    margin : float
        Least of any component to its limit, in all cases looked at [K]; of no meaning unless it `settles`.
    heat : HeatPoint or None
        With all running; None where it comes to no rest.
    """

    speeds: tuple[float, ...]
    sound: float | None
    margin: float
    heat: HeatPoint | None

    @property
    def settles(self) -> bool:
        """False where a coolant boils or something warms without end, in any of the cases looked at."""
        return self.margin > _NO_REST


@dataclass(frozen=True)
class Quiet:
    """How quiet a layout can run.

    Attributes
    ----------
    groups : tuple of SpeedGroup
    survive : bool
        True if limits must hold with each single pump stopped too.
    wanted : float
        Margin that every component must keep [K].
    now : QuietPoint
        As the layout has it.
    best : QuietPoint or None
        The quietest that keeps the margin; None if even the highest speeds do not.
    curve : tuple of QuietPoint
        The quietest for rising margins, from what is wanted to the most there is.
    sentence : str
    """

    groups: tuple[SpeedGroup, ...]
    survive: bool
    wanted: float
    now: QuietPoint
    best: QuietPoint | None
    curve: tuple[QuietPoint, ...]
    sentence: str

    def __post_init__(self) -> None:
        read_marks(self, "sentence")


def quiet(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    survive: bool = False,
    margin: float = 0.0,
) -> Quiet:
    """Find the slowest speeds of pumps and groups of fans that hold every limit.

    Parameters
    ----------
    build : Build
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    survive : bool
        Limits must hold with each single pump stopped too.
    margin : float
        That every component must keep to its limit [K].

    Raises
    ------
    SketchError
        If there is no such layout or case, no pump or fan to set, no component with a limit, or no margin to keep.

    References
    ----------
    Sequential least squares programming, as in `scipy.optimize.minimize`. Checked against a grid of all speeds in
    tests/studies/quiet/test_quiet.py.
    """
    *_, found = each_quiet(build, layout_name, case_name, survive, margin)
    return found


def each_quiet(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    survive: bool = False,
    margin: float = 0.0,
) -> Iterator[Quiet]:
    """The same as it is found, so that a front end can show it and stop: after each point of the trade-off.

    Parameters and errors are those of `quiet`; the last is its answer.
    """
    layout, case = build.layout(layout_name), build.load_case(case_name)
    groups = speed_groups(build, layout)
    if not groups:
        raise SketchError(f"layout {layout.name!r} has no pump or fan whose speed could be set")
    if not np.isfinite(margin):
        raise SketchError(f"quiet: the margin must be a number of kelvin, got {margin:g}")
    search = _Search(build, layout.name, case.name, groups, survive)
    now, most = search.point([group.speed for group in groups]), search.point([group.most for group in groups])
    if most.heat is not None and not search.limits:
        raise SketchError(f"layout {layout.name!r} has no component with a limit that its speeds could hold")
    if most.margin < margin:
        yield Quiet(groups, survive, margin, now, None, (), _sentence(groups, now, most, None))
        return
    curve: list[QuietPoint] = []
    for wanted in np.linspace(margin, most.margin, CURVE)[:-1]:
        curve.append(search.quietest(float(wanted), curve[-1] if curve else most))
        sentence = _sentence(groups, now, most, curve[0])
        yield Quiet(groups, survive, margin, now, curve[0], (*curve, most), sentence)


class _Search:
    """Margins at given speeds, and the quietest speeds for a margin."""

    def __init__(self, build: Build, layout: str, case: str, groups: Sequence[SpeedGroup], survive: bool) -> None:
        self.build, self.layout, self.case, self.groups = build, layout, case, groups
        pumps = [part_id for group in groups for part_id in group.parts if isinstance(build.part(part_id), Pump)]
        self.stops = [frozenset[str](), *(frozenset([pump]) for pump in pumps if survive)]
        self.near: dict[frozenset[str], HeatPoint] = {}
        self.limits = 0  # components that have one, in all cases together
        self.least = np.array([group.least for group in groups])
        self.most = np.array([group.most for group in groups])
        self._kept: dict[tuple[float, ...], tuple[FloatArray, HeatPoint | None]] = {}

    def margins(self, speeds: Sequence[float]) -> tuple[FloatArray, HeatPoint | None]:
        """Of every component with a limit in every case [K], and the machine with all running."""
        key = tuple(float(speed) for speed in speeds)
        if key not in self._kept:
            self._kept[key] = self._solved(key)
        return self._kept[key]

    def _solved(self, speeds: Sequence[float]) -> tuple[FloatArray, HeatPoint | None]:
        build = set_speeds(self.build, self.layout, self.groups, speeds)
        found: list[float] = []
        heats = []
        for stopped in self.stops:
            heat = at_rest(Situation(build, self.layout, stopped), self.case, self.near.get(stopped))
            heats.append(heat)
            if heat is not None:
                self.near[stopped] = heat
                found += _margins(heat)
        self.limits = max(self.limits, len(found))
        missing = [_NO_REST] * (self.limits - len(found))
        return np.array([*found, *missing]), heats[0]

    def point(self, speeds: Sequence[float]) -> QuietPoint:
        """What some speeds give."""
        margins, heat = self.margins(speeds)
        return QuietPoint(tuple(map(float, speeds)), self._sound(speeds), float(margins.min(initial=np.inf)), heat)

    def quietest(self, margin: float, start: QuietPoint) -> QuietPoint:
        """The quietest speeds that keep a margin which the highest speeds keep."""
        from scipy.optimize import minimize  # loads slowly

        found = minimize(
            self._loudness,
            np.array(start.speeds),
            method="SLSQP",
            bounds=list(zip(self.least, self.most, strict=True)),
            constraints={"type": "ineq", "fun": lambda speeds: self.margins(speeds)[0] - margin - _AIM},
            options={"ftol": 1e-4, "maxiter": 60, "eps": 1e-3},
        )
        return self._back_inside(np.clip(found.x, self.least, self.most), margin)

    def _back_inside(self, speeds: FloatArray, margin: float) -> QuietPoint:
        """The nearest point on the way to the highest speeds at which the margin is kept."""
        low, high, found = 0.0, 1.0, self.point(speeds.tolist())
        if found.margin >= margin:
            return found
        found = self.point(self.most.tolist())
        while high - low > _CLOSE:
            middle = (low + high) / 2
            tried = self.point((speeds + middle * (self.most - speeds)).tolist())
            if tried.margin >= margin:
                high, found = middle, tried
            else:
                low = middle
        return found

    def _sound(self, speeds: Sequence[float]) -> float | None:
        levels = [
            self.build.part(part_id).sound_dba_at(float(speed))
            for group, speed in zip(self.groups, speeds, strict=True)
            for part_id in group.parts
        ]
        return incoherent_sum(level for level in levels if level is not None)

    def _loudness(self, speeds: FloatArray) -> float:
        return (self._sound(speeds.tolist()) or 0.0) + _SLOWER * float(np.mean(speeds / self.most))


def _margins(heat: HeatPoint) -> list[float]:
    """In the order in which components stand in the layout, so that each number keeps its meaning."""
    limited = (each for each in heat.components if each.limit is not None)
    order = sorted(limited, key=lambda each: (each.part, each.name))
    return [_NO_REST if each.margin is None or each.boils else each.margin for each in order]


def _sentence(groups: Sequence[SpeedGroup], now: QuietPoint, most: QuietPoint, best: QuietPoint | None) -> str:
    if best is None and not most.settles:
        return "Even at the highest speeds a coolant boils or the heat has no way out: it cannot run slower."
    if best is None:
        return f"Even at the highest speeds the least margin is {quantity(most.margin, 'k', 1)}: it cannot run slower."
    speeds = ", ".join(
        f"{group.name} at {whole_percent(speed)} %" for group, speed in zip(groups, best.speeds, strict=True)
    )
    if best.sound is None or now.sound is None:
        return f"{speeds} hold every limit; how loud that is, no part says."
    change = now.sound - best.sound
    against = f"{abs(change):.1f} dB(A) {'less' if change >= 0 else 'more'} than now"
    return f"{speeds} hold every limit: {best.sound:.1f} dB(A) at 1 m, {against}."

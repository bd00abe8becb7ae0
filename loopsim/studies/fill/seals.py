"""How a lid is held and sealed: its edge between bolts, squeeze and fill of its gasket, walls beside threads."""

from collections.abc import Iterator
from math import hypot, inf, pi

from loopsim.parts import ChannelPlate, Cover, Reservoir, SidePort
from loopsim.studies.fill.cover_results import CoverCheck
from loopsim.studies.fill.lid import ClearPlastic
from loopsim.studies.sentence import datum, quantity
from loopsim.units import to_si

__all__ = ["Home", "fitting_walls", "screwed_lid"]

SQUEEZE = (0.15, 0.30)  # of the cord, and with the worst of its tolerance the band below
WORST_SQUEEZE = (0.10, 0.35)
MOST_FILL, WORST_FILL = 0.85, 0.95  # of the groove by the cord, as stated and with the worst of its tolerance
BOW = 0.25  # share of the squeeze by which the edge may lift between two bolts; a guess
THREAD_WALL = 1.0  # solid wall beside a bolt's thread, in its diameters
THREAD_DEPTH = 2.0  # of a bolt's thread in plastic, in its diameters
FITTING_WALL = 0.5  # solid wall beside a fitting's thread, in its diameters

_ORINGS = "usual for static face seals in O-ring handbooks and after ISO 3601-2, from memory"
_THREADS = "common practice in brittle plastic, no source"
_EDGE = "the rim as a beam over the bolts that carries half of the lid's load, an estimate; a quarter is a guess"

Home = Reservoir | ChannelPlate


def screwed_lid(part: Home, pressure: float, plastic: ClearPlastic) -> Iterator[CoverCheck]:
    """What holds and seals a lid that is screwed down on a gasket.

    Parameters
    ----------
    part : Reservoir or ChannelPlate
    pressure : float
        Gauge [Pa].
    plastic : ClearPlastic
    """
    yield _edge(part, pressure, plastic)
    yield _squeeze(part.cover)
    yield _fill(part.cover)
    yield _wall_beside_bolts(part.cover)
    yield _thread_depth(part.cover)


def _edge(part: Home, pressure: float, plastic: ClearPlastic) -> CoverCheck:
    """Between two bolts the edge lifts, and the gasket must follow.

    A beam over many supports: ``w = q s^4 / (384 E I)``, as in every handbook of strength.
    """
    cover, lid = part.cover, to_si(part.lid_thickness_mm, "mm")
    line_load = pressure * to_si(min(part.lid_spans_mm), "mm") / 2
    stiffness = plastic.modulus * to_si(cover.rim_mm, "mm") * lid**3 / 12
    bow = line_load * to_si(cover.bolt_spacing_mm, "mm") ** 4 / (384 * stiffness) if lid > 0 else inf
    squeezed = to_si(max(cover.cord_mm - cover.groove_depth_mm, 0.0), "mm")
    most, lifts = BOW * squeezed, quantity(bow, "mm", 2)
    sentence = (
        f"edge between bolts {datum(cover.bolt_spacing_mm, 'mm')} apart: lifts by {lifts}, of the gasket's squeeze of "
        f"{quantity(squeezed, 'mm', 2)}"
    )
    margin = most / bow if bow > 0 else inf
    remedy = "set the bolts closer, make the lid thicker or the rim wider"
    return _judged("edge between bolts", lifts, f"at most {quantity(most, 'mm', 2)}", margin, sentence, remedy, _EDGE)


def _squeeze(cover: Cover) -> CoverCheck:
    low, nominal, high = ((cord - cover.groove_depth_mm) / cord for cord in _cords(cover))
    asked = f"{SQUEEZE[0]:.0%} to {SQUEEZE[1]:.0%}"
    sentence = (
        f"gasket squeeze: {nominal:.0%} of the cord, {low:.0%} to {high:.0%} with its tolerance; {asked} are usual"
    )
    bands = ((nominal, nominal, SQUEEZE), (low, high, WORST_SQUEEZE))
    margin = min(min(least / band[0], band[1] / max(most, 1e-9)) for least, most, band in bands)
    is_tight = nominal > sum(SQUEEZE) / 2
    remedy = "cut the groove deeper" if is_tight else "cut the groove less deep, or take a thicker cord"
    return _judged("gasket squeeze", f"{nominal:.0%}", asked, margin, sentence, remedy, _ORINGS)


def _fill(cover: Cover) -> CoverCheck:
    groove = cover.groove_depth_mm * cover.groove_width_mm
    _, nominal, high = (pi / 4 * cord**2 / groove for cord in _cords(cover))
    asked = f"at most {MOST_FILL:.0%}"
    sentence = (
        f"gasket fill: the cord fills {nominal:.0%} of its groove, {high:.0%} with its tolerance; {asked} is usual, "
        "for rubber does not give way where the groove is full"
    )
    margin = min(MOST_FILL / nominal, WORST_FILL / high)
    return _judged("gasket fill", f"{nominal:.0%}", asked, margin, sentence, "make the groove wider", _ORINGS)


def _cords(cover: Cover) -> tuple[float, float, float]:
    """Thinnest, as stated, thickest [mm]."""
    spread = min(cover.cord_tolerance_mm, cover.cord_mm / 2)
    return cover.cord_mm - spread, cover.cord_mm, cover.cord_mm + spread


def _wall_beside_bolts(cover: Cover) -> CoverCheck:
    """Rim: outer wall, thread, wall, groove, wall; what is left is taken as shared out evenly."""
    left = max((cover.rim_mm - cover.bolt_mm - cover.groove_width_mm) / 3, 0.0)
    asked = THREAD_WALL * cover.bolt_mm
    sentence = (
        f"wall beside bolts: {_tenths(left)} are left on each side of thread and groove in a rim of "
        f"{datum(cover.rim_mm, 'mm')}; at least one thread diameter, {datum(asked, 'mm')}, is usual"
    )
    return _at_least("wall beside bolts", left, asked, sentence, "make the rim wider, or take thinner bolts or cord")


def _thread_depth(cover: Cover) -> CoverCheck:
    asked = THREAD_DEPTH * cover.bolt_mm
    sentence = (
        f"thread depth: {datum(cover.thread_depth_mm, 'mm')} in the plastic; at least two diameters, "
        f"{datum(asked, 'mm')}, are usual"
    )
    remedy = "cut the thread deeper, or set threaded inserts or nuts"
    return _at_least("thread depth", cover.thread_depth_mm, asked, sentence, remedy)


def fitting_walls(part: Home, thread_mm: float) -> Iterator[CoverCheck]:
    """The least solid wall beside the threads of fittings; nothing where there is no port."""
    walls = [(wall, hole.name) for hole in part.port_list for wall in _walls_beside(part, hole, thread_mm)]
    if walls:
        least, name = min(walls)
        left, asked = max(least, 0.0), FITTING_WALL * thread_mm
        sentence = (
            f"wall beside fittings: {_tenths(left)} are left beside the thread at port {name}; half a thread diameter, "
            f"{_tenths(asked)}, is usual"
        )
        yield _at_least("wall beside fittings", left, asked, sentence, "move the port, or take a smaller thread")


def _walls_beside(part: Home, hole: SidePort, thread_mm: float) -> Iterator[float]:
    """To the underside, the top, the nearer end of its side, and each neighbour [mm]."""
    side = part.width_mm if hole.side in ("left", "right") else part.length_mm
    yield hole.height_mm - thread_mm / 2
    yield part.height_mm - hole.height_mm - thread_mm / 2
    yield side / 2 - abs(hole.offset_mm) - thread_mm / 2
    for other in part.port_list:
        if other is not hole and other.side == hole.side:
            yield hypot(other.offset_mm - hole.offset_mm, other.height_mm - hole.height_mm) - thread_mm


def _tenths(length_mm: float) -> str:
    return quantity(to_si(length_mm, "mm"), "mm", 1)


def _at_least(what: str, found_mm: float, asked_mm: float, sentence: str, remedy: str) -> CoverCheck:
    asked = f"at least {_tenths(asked_mm)}"
    return _judged(what, _tenths(found_mm), asked, found_mm / asked_mm, sentence, remedy, _THREADS)


def _judged(what: str, found: str, asked: str, margin: float, sentence: str, remedy: str, source: str) -> CoverCheck:
    if margin >= 1:
        return CoverCheck(what, found, asked, margin, "fine", sentence, "", source)
    return CoverCheck(what, found, asked, margin, "change", sentence, remedy, source)

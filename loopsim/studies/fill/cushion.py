"""How the coolant swells from cold to hot: where that goes in a vented loop, and what a sealed one must bear."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from loopsim.errors import PartDataError
from loopsim.media import Coolant, Cushion, swell
from loopsim.network import Circuit, LoopNetwork, assemble
from loopsim.parts import ExpansionVessel
from loopsim.studies.fill.leak import USUAL_TEST_PRESSURE
from loopsim.studies.fill.places import millilitres, millimetres
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.results import OperatingPoint
from loopsim.units import STANDARD_ATMOSPHERE, ZERO_C, from_si, to_si

__all__ = ["SWELL_CAUTIONS", "CircuitSwell", "VesselRise", "expansion_vessel", "least_gas", "swell_sheet"]

RESERVE = 0.01  # of the coolant, kept in an expansion vessel when cold against losses through soft tube; a guess
USUAL_PRECHARGE = 10_000.0  # of a vessel that is not drawn; a guess [Pa]
HOTTEST_C = 100.0  # up to which coolants are known

SWELL_CAUTIONS = (
    "A sealed loop without gas bursts when it warms: liquid does not give way. Fit a relief valve below the lowest "
    "rating, lead its outlet where nobody stands, and never rely on glued plastic or on one made at home to hold.",
    "Let a sealed loop cool before you open it: hot coolant under pressure scalds.",
)

Verdict = Literal["holds", "overflows", "too high", "bursts", "nowhere to go"]


@dataclass(frozen=True, slots=True)
class VesselRise:
    """The level of a vented vessel from cold to hot.

    Attributes
    ----------
    vessel, name : str
        Its id and name.
    rise : float
        Of its level [m].
    room : float
        From its level as drawn up to the lid's underside [m].
    """

    vessel: str
    name: str
    rise: float
    room: float


@dataclass(frozen=True, slots=True)
class CircuitSwell:
    """One circuit from cold to hot.

    Attributes
    ----------
    name : str
        Of the vessel that holds its pressure; of its coolant without one.
    coolant : str
    volume : float
        When cold, at the level as drawn [m3].
    cold_c, hot_c : float
        The room's temperature, at which it is filled, and the hottest coolant anywhere in it [°C].
    swell : float
        By how much the coolant grows; all of it is taken to be at its hottest, the safe side [m3].
    rises : tuple of VesselRise
        Of all vented vessels.
    cushion : str or None
        Id of the vessel whose gas holds the pressure where the circuit is sealed.
    gas : float
        Shut in, or above the levels of vented vessels: what there would be if they were sealed [m3].
    cold, hot : float
        Gauge pressure of that gas, sealed as drawn; inf where the swell takes up all of it [Pa].
    most : float
        To which it may go: the lowest rating, less what the pumps and the heights add at that part [Pa].
    weakest : str or None
        Name of that part; None where none states a rating and the usual test pressure counts.
    least_gas : float
        Air, shut in when cold at ambient pressure, that keeps below `most`; inf if heat alone exceeds it [m3].
    precharge : float
        Of the expansion vessel as drawn, or a usual one, gauge [Pa].
    vessel_size : float
        Least size of an expansion vessel with that charge; inf where `most` does not exceed it [m3].
    verdict : str
    sentences : tuple of str
    """

    name: str
    coolant: str
    volume: float
    cold_c: float
    hot_c: float
    swell: float
    rises: tuple[VesselRise, ...]
    cushion: str | None
    gas: float
    cold: float
    hot: float
    most: float
    weakest: str | None
    least_gas: float
    precharge: float
    vessel_size: float
    verdict: Verdict = "holds"
    sentences: tuple[str, ...] = ()


def swell_sheet(
    point: OperatingPoint, heats: Sequence[HeatPoint] = (), hot_c: float | None = None
) -> tuple[CircuitSwell, ...]:
    """What every circuit of a layout does from cold to hot, vented or sealed.

    Parameters
    ----------
    point : OperatingPoint
        With all pumps running: what they add to the pressure at the weakest part.
    heats : sequence of HeatPoint
        Of the same layout, at all its load cases: how hot the coolant gets. Without them the stated temperature counts.
    hot_c : float, optional
        Taken instead [°C].

    Raises
    ------
    MediumError
        If `hot_c` lies outside what is known of the coolant.
    """
    loop = assemble(point.build, point.layout)
    return tuple(_told(_Circuit(point, loop, circuit, heats, hot_c).result()) for circuit in loop.circuits)


class _Circuit:
    def __init__(
        self,
        point: OperatingPoint,
        loop: LoopNetwork,
        circuit: Circuit,
        heats: Sequence[HeatPoint],
        hot_c: float | None,
    ) -> None:
        self.point, self.loop, self.circuit = point, loop, circuit
        self.build, self.coolant = point.build, circuit.coolant.medium
        self.items = loop.items_in(circuit.body)
        self.volume = loop.volume_of(circuit)
        self.cold_c = max(self.build.ambient.temperature_c, self.coolant.lowest_temperature_c)
        self.hot_c = self._hottest(heats) if hot_c is None else hot_c
        self.ambient = self.build.ambient.pressure

    def result(self) -> CircuitSwell:
        grown = swell(self.volume, self.coolant, self.cold_c, self.hot_c)
        cushion = self._cushion()
        most, weakest = self._most()
        sealed = (self.volume, self.coolant, self.cold_c, self.hot_c)
        precharge = self._precharge()
        size = inf = float("inf")
        if most > precharge:
            size = expansion_vessel(max(grown, 0.0), precharge, most, RESERVE * self.volume, self.ambient)
        holder = self.circuit.cushion or next(iter(self.circuit.surfaces), None)
        return CircuitSwell(
            name=self.circuit.coolant.id if holder is None else self.build.part(holder).name,
            coolant=self.coolant.name,
            volume=self.volume,
            cold_c=self.cold_c,
            hot_c=self.hot_c,
            swell=grown,
            rises=tuple(self._rises(grown)),
            cushion=self.circuit.cushion,
            gas=0.0 if cushion is None else cushion.gas - cushion.taken_up,
            cold=0.0
            if cushion is None
            else cushion.pressure(0.0, self.coolant, self.cold_c, self.cold_c, self.ambient),
            hot=inf if cushion is None else cushion.pressure(*sealed, self.ambient),
            most=most,
            weakest=weakest,
            least_gas=least_gas(*sealed, most, ambient=self.ambient),
            precharge=precharge,
            vessel_size=size,
        )

    def _hottest(self, heats: Sequence[HeatPoint]) -> float:
        """Anywhere in the circuit in any load case; never below the temperature that it states."""
        found = [each for heat in heats for item in self.items for each in heat.streams.get(item, ())]
        return min(max([self.circuit.coolant.temperature_c, *found]), HOTTEST_C)

    def _cushion(self) -> Cushion | None:
        """The gas shut in; else the air above all vented levels, as if it were."""
        if self.circuit.cushion is not None:
            return self.build.part(self.circuit.cushion).cushion
        vessels = [self.build.part(each) for each in self.circuit.surfaces]
        heights = (max(each.level_range_mm[1] - (each.surface_mm or 0.0), 0.0) for each in vessels)
        air = sum(each.surface_m2 * to_si(height, "mm") for each, height in zip(vessels, heights, strict=True))
        return Cushion(air) if vessels else None

    def _rises(self, grown: float) -> Iterator[VesselRise]:
        vessels = [self.build.part(each) for each in self.circuit.surfaces]
        area = sum(each.surface_m2 for each in vessels)
        for each in vessels:
            room = to_si(each.level_range_mm[1] - (each.surface_mm or 0.0), "mm")
            yield VesselRise(each.id, each.name, grown / area if area > 0 else 0.0, room)

    def _most(self) -> tuple[float, str | None]:
        """Highest gauge pressure of the gas that no rating forbids, and the part that sets it [Pa]."""
        held = self.loop.network.junctions[self.circuit.cushion].pressure or 0.0 if self.circuit.cushion else 0.0
        found = []
        for part_id in self.items:
            part = self.build.parts_by_id.get(part_id)
            if part is None or part.rating_kpa is None:
                continue
            ports = [each for port, each in self.point.pressures.items() if port.partition(".")[0] == part_id]
            found.append((to_si(part.rating_kpa, "kpa") - max(max(ports, default=held) - held, 0.0), part.name))
        return min(found) if found else (USUAL_TEST_PRESSURE, None)

    def _precharge(self) -> float:
        vessels = [part for each in self.items if isinstance(part := self.build.parts_by_id.get(each), ExpansionVessel)]
        return to_si(vessels[0].precharge_bar, "bar") if vessels else USUAL_PRECHARGE


def least_gas(
    volume: float,
    coolant: Coolant,
    cold_c: float,
    hot_c: float,
    most: float,
    gauge: float = 0.0,
    ambient: float = STANDARD_ATMOSPHERE,
) -> float:
    """Least gas over the cold coolant that keeps a sealed loop at a pressure when hot [m3]; inf if heat exceeds it.

    The inverse of `loopsim.media.Cushion.pressure`.

    Parameters
    ----------
    volume : float
        Of coolant when cold [m3].
    coolant : Coolant
    cold_c, hot_c : float
        [°C].
    most : float
        Gauge pressure that is allowed when hot [Pa].
    gauge : float
        At which it is sealed [Pa].
    ambient : float
        [Pa].

    Raises
    ------
    MediumError
        If a temperature lies outside what is known of the coolant.
    """
    grown = swell(volume, coolant, cold_c, hot_c)
    dry = (gauge + ambient - coolant.at(cold_c).vapour_pressure) * (hot_c + ZERO_C) / (cold_c + ZERO_C)
    allowed = most + ambient - coolant.at(hot_c).vapour_pressure
    return max(grown, 0.0) * allowed / (allowed - dry) if allowed > dry else float("inf")


def expansion_vessel(
    grown: float, precharge: float, most: float, reserve: float = 0.0, ambient: float = STANDARD_ATMOSPHERE
) -> float:
    """Least size of an expansion vessel with a membrane [m3].

    Parameters
    ----------
    grown : float
        What it must take up, see `swell` [m3].
    precharge, most : float
        Gauge pressure of its gas when empty, and the highest allowed when hot [Pa].
    reserve : float
        Coolant that it holds when cold, against losses [m3].
    ambient : float
        [Pa].

    Raises
    ------
    PartDataError
        If the highest pressure is not above the precharge.

    References
    ----------
    EN 12828, ``V = (Ve + Vwr) (pe + 1) / (pe - p0)`` in bar, from memory. Checked in
    tests/studies/fill/test_cushion.py.
    """
    if not most > precharge:
        raise PartDataError(
            f"expansion vessel: the highest pressure must be above the precharge of {from_si(precharge, 'bar'):g} bar, "
            f"got {from_si(most, 'bar'):g} bar",
            field="precharge_bar",
        )
    return (grown + reserve) * (most + ambient) / (most - precharge)


def _told(found: CircuitSwell) -> CircuitSwell:
    verdict, sentence = _sealed(found) if not found.rises else _vented(found)
    said = (_grows(found), sentence, *(_instead(found) if found.rises else ()), _sizes(found))
    return replace(found, verdict=verdict, sentences=said)


def _grows(found: CircuitSwell) -> str:
    change = "swell" if found.swell >= 0 else "shrink"
    return (
        f"{millilitres(found.volume)} of {found.coolant}, filled at {found.cold_c:.0f} °C, {change} by "
        f"{millilitres(abs(found.swell))} up to {found.hot_c:.0f} °C"
    )


def _vented(found: CircuitSwell) -> tuple[Verdict, str]:
    over = [each for each in found.rises if each.rise > each.room]
    said = [
        f"{each.name}: its level rises by {_mm(each.rise)} of {_mm(each.room)} up to the lid" for each in found.rises
    ]
    end = f"; {over[0].name} overflows: fill it lower, or take a larger one" if over else ""
    return ("overflows" if over else "holds"), f"vented, {'; '.join(said)}{end}"


def _sealed(found: CircuitSwell) -> tuple[Verdict, str]:
    if found.cushion is None:
        return "nowhere to go", (
            "no vessel takes that up: a loop full of liquid bursts as it warms; add a reservoir or an expansion vessel"
        )
    gas = f"sealed, {found.name}: {millilitres(found.gas)} of gas at {_bar(found.cold)} when cold"
    if found.hot == float("inf"):
        return "bursts", f"{gas} are taken up whole by the swell: the loop bursts"
    verdict: Verdict = "holds" if found.hot <= found.most else "too high"
    return verdict, f"{gas} stand at {_bar(found.hot)} when hot; {_bar(found.most)} are allowed{_by(found)}: {verdict}"


def _instead(found: CircuitSwell) -> Iterator[str]:
    if found.gas <= 0 or found.hot == float("inf"):
        yield "sealed as it is drawn it would burst: the air above its level has no room for the swell"
        return
    verdict = "within" if found.hot <= found.most else "above"
    yield (
        f"sealed as it is drawn, with {millilitres(found.gas)} of air, it would stand at {_bar(found.hot)} when hot, "
        f"{verdict} the {_bar(found.most)} allowed{_by(found)}"
    )


def _sizes(found: CircuitSwell) -> str:
    air = "no amount of air" if found.least_gas == float("inf") else f"at least {millilitres(found.least_gas)} of air"
    size = "none" if found.vessel_size == float("inf") else f"at least {millilitres(found.vessel_size)}"
    return (
        f"to stay below {_bar(found.most)} sealed takes {air} above the cold coolant, or an expansion vessel of {size} "
        f"charged to {_bar(found.precharge)}"
    )


def _by(found: CircuitSwell) -> str:
    """Why no more is allowed."""
    if found.weakest is None:
        return " (no part states a rating: the usual test pressure)"
    return f" by {found.weakest}, the pumps' own pressure there taken off"


def _mm(length: float) -> str:
    return millimetres(length) if abs(length) >= to_si(1.0, "mm") else f"{from_si(length, 'mm'):.1f} mm"


def _bar(pressure: float) -> str:
    return f"{from_si(pressure, 'bar') + 0.0:.2f} bar"

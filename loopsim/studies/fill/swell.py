"""How the coolant swells from cold to hot: where that goes in a vented loop, and what a sealed one must bear."""

from collections.abc import Iterable, Iterator, Sequence

from loopsim.errors import PartDataError
from loopsim.media import Cushion, least_gas, swell
from loopsim.network import Circuit, LoopNetwork, assemble
from loopsim.parts import ExpansionVessel, part_of
from loopsim.studies.fill.leak import USUAL_TEST_PRESSURE
from loopsim.studies.fill.swell_results import CircuitSwell, VesselRise
from loopsim.studies.fill.swell_words import told
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.results import OperatingPoint
from loopsim.units import STANDARD_ATMOSPHERE, from_si, to_si

__all__ = ["expansion_vessel", "standing_pressure", "swell_sheet"]

RESERVE = 0.01  # of the coolant, kept in an expansion vessel when cold against losses through soft tube; a guess
USUAL_PRECHARGE = 10_000.0  # of a vessel that is not drawn; a guess [Pa]
HOTTEST_C = 100.0  # up to which coolants are known


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
    return tuple(told(_Circuit(point, loop, circuit, heats, hot_c).result()) for circuit in loop.circuits)


def standing_pressure(swells: Iterable[CircuitSwell]) -> float:
    """The highest gauge pressure that sealed circuits stand at when hot; 0 where all are vented [Pa]."""
    hot = (each.hot for each in swells if each.cushion is not None and each.verdict != "bursts")
    return max(hot, default=0.0)


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
        self.cold_c = loop.cold_of(circuit)
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
        air = sum(self.build.part(each).gas_above for each in self.circuit.surfaces)
        return Cushion(air) if self.circuit.surfaces else None

    def _rises(self, grown: float) -> Iterator[VesselRise]:
        vessels = [self.build.part(each) for each in self.circuit.surfaces]
        area = sum(each.surface_m2 for each in vessels)
        for each in vessels:
            yield VesselRise(each.id, each.name, grown / area if area > 0 else 0.0, each.headroom)

    def _most(self) -> tuple[float, str | None]:
        """Highest gauge pressure of the gas that no rating forbids, and the part that sets it [Pa]."""
        held = self.loop.network.junctions[self.circuit.cushion].pressure or 0.0 if self.circuit.cushion else 0.0
        found = []
        for part_id in self.items:
            part = self.build.parts_by_id.get(part_id)
            if part is None or part.rating_kpa is None:
                continue
            ports = [each for port, each in self.point.pressures.items() if part_of(port) == part_id]
            found.append((to_si(part.rating_kpa, "kpa") - max(max(ports, default=held) - held, 0.0), part.name))
        return min(found) if found else (USUAL_TEST_PRESSURE, None)

    def _precharge(self) -> float:
        vessels = [part for each in self.items if isinstance(part := self.build.parts_by_id.get(each), ExpansionVessel)]
        return to_si(vessels[0].precharge_bar, "bar") if vessels else USUAL_PRECHARGE


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
    tests/studies/fill/test_swell.py.
    """
    if not most > precharge:
        raise PartDataError(
            f"expansion vessel: the highest pressure must be above the precharge of {from_si(precharge, 'bar'):g} bar, "
            f"got {from_si(most, 'bar'):g} bar",
            field="precharge_bar",
        )
    return (grown + reserve) * (most + ambient) / (most - precharge)

"""What the studies answer with. SI throughout; front ends convert at their edge."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, BuildCoolant, Layout
from loopsim.curves import ProvenanceKind
from loopsim.geometry import Spot
from loopsim.media import State
from loopsim.studies.levels import Level
from loopsim.studies.sentence import read_marks

__all__ = [
    "CircuitFlow",
    "CurveLine",
    "FailureCase",
    "Failures",
    "Finding",
    "OperatingPoint",
    "PartFlow",
    "PumpFlow",
    "PumpPlot",
    "Regime",
    "StoppedCase",
    "Suction",
    "Unsteady",
]

FloatArray = NDArray[np.float64]
Regime = Literal["laminar", "transitional", "turbulent", "still"]

SUCTION_MARGIN = 10_000.0  # least distance from boiling at a pump's inlet, where the maker states none [Pa]
NPSH_MARGIN = 0.5  # metres above what the maker states; common practice, no source


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the builder should know, said once, at the part it speaks of.

    Attributes
    ----------
    code : str
        Fixed word for programs, such as ``"open_port"``.
    part : str or None
        Id of the part or tube run; None where it speaks of the whole layout.
    text : str
        A plain sentence.
    quiet : bool
        True for marks of a drawing in progress (an open port), which are no warnings while drawing.
    remedy : str
        What to do about it, a plain sentence; empty where it goes without saying.
    fix : str
        Fixed word for programs for the same; `loopsim.studies.fit.remedied` makes the edit where it knows one.
    at : Spot or None
        The place, where it is more exact than the part's.
    others : tuple of str
        Ids of the other parts and runs that are in it.
    """

    code: str
    part: str | None
    text: str
    quiet: bool = False
    remedy: str = ""
    fix: str = ""
    at: Spot | None = None
    others: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        read_marks(self, "text", "remedy")


@dataclass(frozen=True, slots=True)
class PartFlow:
    """Flow through one part (other than a pump) or tube run, and what it costs.

    Attributes
    ----------
    id, name, kind : str
        `kind` is the part's kind, or ``"tube_run"``.
    flow : float
        Positive from the first port (start) to the second (end); for a reservoir or junction the sum of all that
        enters [m3/s].
    dp : float
        Total pressure at the first port minus at the second, without the weight of the column [Pa]; 0 where ports
        are merged.
    share : float
        Of its circuit's pressure budget: this part's loss of power over the sum of all, 0 to 1.
    velocity, reynolds : float or None
        Of tube runs [m/s], [-].
    regime : str or None
        Of tube runs: ``"laminar"``, ``"transitional"``, ``"turbulent"``, or ``"still"``.
    provenance : str or None
        Worst kind of the data behind the drop.
    beyond_data : bool
        True where the flow lies beyond the part's data, in coordinates free of the medium.
    way : str
        Which of its ways, where a part lies between several circuits; empty otherwise.
    """

    id: str
    name: str
    kind: str
    flow: float
    dp: float
    share: float
    provenance: ProvenanceKind | None
    velocity: float | None = None
    reynolds: float | None = None
    regime: Regime | None = None
    beyond_data: bool = False
    way: str = ""


@dataclass(frozen=True, slots=True)
class Unsteady:
    """How far the flow of a pump may swing where its curve is flat or rises.

    Attributes
    ----------
    flow : tuple of float
        The flows at which the raw curve gives the head of the levelled stretch, lower and upper [m3/s].
    share : tuple of float or None
        Of a pump side by side with others: its least and largest share of what they carry together, 0 to 1.
    """

    flow: tuple[float, float]
    share: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class PumpFlow:
    """What one pump does at the operating point.

    Attributes
    ----------
    flow : float
        Positive from inlet to outlet; negative where liquid runs back through it [m3/s].
    head : float
        Rise in total head from inlet to outlet; negative where it resists [m].
    dp : float
        The same as a pressure rise [Pa].
    state : str
        ``"running"`` or ``"stopped"``.
    speed : float
        Share of full speed; 0 when stopped.
    provenance : str or None
        Worst kind of the data behind flow and head.
    beyond_data : bool
        True where the operating point lies on an estimated part of the curve.
    power : float
        Electrical power that it draws; 0 when stopped [W].
    power_provenance : str or None
        Kind of the data behind the power; None when stopped.
    efficiency : float
        Hydraulic power ``rho g H Q`` over electrical power; 0 where it gives none.
    heat_to_coolant, heat_to_air : float
        Where the power ends as heat: in the coolant, the hydraulic power with it, and in the air around [W].
    unsteady : Unsteady or None
        Set where the operating point lies in a levelled stretch of the curve.
    """

    id: str
    name: str
    flow: float
    head: float
    dp: float
    state: Literal["running", "stopped"]
    speed: float
    provenance: ProvenanceKind | None
    beyond_data: bool = False
    power: float = 0.0
    power_provenance: ProvenanceKind | None = None
    efficiency: float = 0.0
    heat_to_coolant: float = 0.0
    heat_to_air: float = 0.0
    unsteady: Unsteady | None = None
    kind: str = "pump"


@dataclass(frozen=True, slots=True)
class Suction:
    """The inlet of one pump.

    Attributes
    ----------
    pump : str
        Id.
    pressure : float
        Static, absolute [Pa].
    vapour_pressure : float
        Of the coolant at its temperature [Pa].
    npsh_available : float
        Net positive suction head: total head at the inlet above boiling [m].
    npsh_required : float or None
        What the maker states [m].
    """

    pump: str
    pressure: float
    vapour_pressure: float
    npsh_available: float
    npsh_required: float | None

    @property
    def is_safe(self) -> bool:
        """True if the liquid stays clear of boiling by the usual margin."""
        if self.npsh_required is not None:
            return self.npsh_available >= self.npsh_required + NPSH_MARGIN
        return self.pressure - self.vapour_pressure >= SUCTION_MARGIN


@dataclass(frozen=True)
class CircuitFlow:
    """One connected body of liquid.

    Attributes
    ----------
    name : str
        That of its first vessel; empty without one.
    coolant : BuildCoolant
        What fills it.
    items : frozenset of str
        Ids of its parts and tube runs.
    is_held : bool
        True if a vessel gives its pressures a meaning; else only differences are known.
    is_moving : bool
        True if anything flows in it.
    levels : tuple of Level
        Where the surfaces settle, if there are several.
    """

    name: str
    coolant: BuildCoolant
    items: frozenset[str]
    is_held: bool
    is_moving: bool
    levels: tuple[Level, ...] = ()


@dataclass(frozen=True)
class OperatingPoint:
    """A layout solved.

    Attributes
    ----------
    build, layout : Build, Layout
        What was solved.
    stopped : frozenset of str
        Ids of the pumps without power.
    loop_flow : float
        Flow at the part that stands for the loop [m3/s].
    loop_flow_at : str or None
        Id of that part.
    pumps : tuple of PumpFlow
    parts : tuple of PartFlow
        All other parts, then the tube runs, in the order of the layout.
    pressures : mapping of str to float
        Static gauge pressure at each port ``"part.port"`` that a tube run joins [Pa].
    suctions : tuple of Suction
        The inlets of the pumps; empty where no free surface gives the pressures a meaning.
    budget : tuple of PartFlow
        The parts and runs that cost pressure, largest first.
    findings : tuple of Finding
    iterations : int
    mass_imbalance : float
        Largest at any junction [kg/s].
    pressure_imbalance : float
        Largest round any loop [Pa].
    datum : tuple of str
        Names of places whose pressure was set to 0 for want of a free surface.
    worst_provenance : str or None
        The least trustworthy kind of data that fed the result.
    circuits : tuple of CircuitFlow
        The connected bodies of liquid, in the order of the layout.
    states : mapping of str to State
        What flows in each part and tube run by id.
    """

    build: Build
    layout: Layout
    stopped: frozenset[str]
    loop_flow: float
    loop_flow_at: str | None
    pumps: tuple[PumpFlow, ...]
    parts: tuple[PartFlow, ...]
    pressures: Mapping[str, float]
    suctions: tuple[Suction, ...]
    findings: tuple[Finding, ...]
    iterations: int
    mass_imbalance: float
    pressure_imbalance: float
    datum: tuple[str, ...]
    worst_provenance: ProvenanceKind | None
    circuits: tuple[CircuitFlow, ...] = ()
    states: Mapping[str, State] = field(default_factory=dict)

    def state_of(self, item_id: str) -> State:
        """What flows in a part or tube run; KeyError if it is not in the layout."""
        return self.states[item_id]

    def circuits_of(self, item_id: str) -> tuple[CircuitFlow, ...]:
        """The circuits to which a part or tube run belongs: one, or two for an exchanger between liquids."""
        return tuple(circuit for circuit in self.circuits if item_id in circuit.items)

    @property
    def budget(self) -> tuple[PartFlow, ...]:
        """The parts and runs that cost pressure, largest first."""
        return tuple(sorted((part for part in self.parts if part.share > 0), key=lambda part: -part.share))

    def of(self, item_id: str) -> PartFlow | PumpFlow:
        """The result for a part or tube run by id; KeyError if it is not in the layout."""
        found: dict[str, PartFlow | PumpFlow] = {part.id: part for part in reversed(self.parts)}
        found.update({pump.id: pump for pump in self.pumps})
        return found[item_id]


@dataclass(frozen=True)
class CurveLine:
    """A line of a plot: head [m] against flow [m3/s], both shape (n,).

    `sure_up_to` is the flow beyond which (or None: nowhere) the line is an estimate, to be dashed. `band`, shape (n,),
    is how far the head may lie from the line in 95 of 100 machines; None where nothing is known of it.
    """

    label: str
    flow: FloatArray
    head: FloatArray
    sure_up_to: float | None = None
    band: FloatArray | None = None


@dataclass(frozen=True)
class StoppedCase:
    """One pump stopped, as lines of the plot: the curve of what still runs, the system curve, their crossing."""

    stopped: str
    name: str
    combined: CurveLine
    system: CurveLine
    flow: float
    head: float


@dataclass(frozen=True)
class PumpPlot:
    """Pump curves against the system curve, for one group of pumps.

    Attributes
    ----------
    pumps : tuple of str
        Ids of the pumps in the group.
    combined : CurveLine
        Curve of the group as it runs.
    system : CurveLine
        Head that the rest of the layout needs at each flow through the group.
    each : tuple of CurveLine
        The curve of every pump of the group by itself; empty if there is only one.
    flow, head : float
        Operating point [m3/s], [m].
    stopped : tuple of StoppedCase
        The same with each pump stopped in turn.
    why_single : str
        Why this plot shows one pump alone although the layout has several; empty otherwise.
    """

    pumps: tuple[str, ...]
    combined: CurveLine
    system: CurveLine
    each: tuple[CurveLine, ...]
    flow: float
    head: float
    stopped: tuple[StoppedCase, ...] = ()
    why_single: str = ""


@dataclass(frozen=True)
class FailureCase:
    """One pump stopped.

    Attributes
    ----------
    stopped : str
        Id of the pump.
    title : str
        ``"Pump B stopped"``.
    point : OperatingPoint
    flow : float
        What stays of the flow in the pump's own circuit: the loop flow, or the largest flow of another circuit [m3/s].
    share : float
        The same, of that flow with all running, 0 to 1.
    circuit : str
        Name of its circuit, where liquid flows in several; empty otherwise.
    share_between : tuple of float or None
        The same for the band of what the standing impeller resists; None where that is no guess.
    back_flow : float
        Flow back through the stopped pump, 0 if none [m3/s].
    sentence : str
        What happens, in one sentence.
    is_only : bool
        True if its circuit has no other pump.
    states : mapping of str to State
        What flows in each link of its network at the temperatures found; empty where the stated one counts.
    """

    stopped: str
    title: str
    point: OperatingPoint
    flow: float
    share: float
    back_flow: float
    sentence: str
    share_between: tuple[float, float] | None = None
    circuit: str = ""
    is_only: bool = False
    states: Mapping[str, State] = field(default_factory=dict)

    def __post_init__(self) -> None:
        read_marks(self, "sentence")


@dataclass(frozen=True)
class Failures:
    """Every pump stopped in turn.

    Attributes
    ----------
    base : OperatingPoint
        With everything in order.
    cases : tuple of FailureCase
    states : mapping of str to State
        What flows in each link with everything in order, at the temperatures found; empty where those stated count.
    """

    base: OperatingPoint
    cases: tuple[FailureCase, ...] = field(default=())
    states: Mapping[str, State] = field(default_factory=dict)

    @property
    def worst(self) -> FailureCase | None:
        """The case that leaves the least share of its circuit's flow; None if there is no pump."""
        return min(self.cases, key=lambda case: case.share, default=None)

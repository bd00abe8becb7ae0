"""Sentences of the fill plan."""

from collections.abc import Sequence

from loopsim.build import Build, Layout
from loopsim.network import Tilt
from loopsim.parts import Pump
from loopsim.studies.fill.drain import tilt_words
from loopsim.studies.fill.places import millilitres, millimetres, opening_words
from loopsim.studies.fill.plan_results import LevelFall, Mix
from loopsim.studies.sentence import marked, quantity
from loopsim.studies.words import duration, listed

__all__ = ["PlanWords"]

SHORT = 5.0  # a run of less is a burst: switch on and off at once [s]


class PlanWords:
    """Sentences about one layout."""

    def __init__(self, build: Build, layout: Layout) -> None:
        self.build, self.layout = build, layout
        self.pumps_follow = any(isinstance(build.part(each), Pump) for each in layout.placements)

    def opening(self, place: str) -> str:
        """``"the cap of Fill port"``, ``"the lid of Reservoir"``."""
        return opening_words(self.build, place)

    def parts(self, ids: Sequence[str]) -> str:
        """Names, in a sentence."""
        return listed([self.build.part(each).name for each in ids])

    def make_ready(self, mix: Mix) -> str:
        """What to do before the first drop."""
        stuff = f"{millilitres(mix.water)} of water"
        if mix.glycol > 0:
            stuff += f" ({mix.water_mass:.2f} kg) and {millilitres(mix.glycol)} of glycol ({mix.glycol_mass:.2f} kg)"
        return (
            f"Unplug the machine, keep all electronics unpowered and dry, put paper and trays under every joint. "
            f"Supply the pumps from a supply of their own. Measure out {stuff}: {millilitres(mix.needed)} for the loop "
            f"and {mix.margin * 100:.0f} % to spare"
        )

    def open_valve(self, shut: str) -> str:
        """After the first pour."""
        return f"Open {self.build.part(shut).name} fully, as drawn"

    def set_valves(self, shut: str | None) -> str:
        """Before the first pour; empty without valves."""
        others = [each for each in self._valves() if each != shut]
        if shut is None:
            return f"Set {self.parts(others)} as drawn" if others else ""
        rest = f"; set {self.parts(others)} as drawn" if others else ""
        return f"Shut {self.build.part(shut).name}, so that liquid from above fills the rest of the loop first{rest}"

    def _valves(self) -> list[str]:
        return [each for each in self.layout.placements if "opening_percent" in self.build.part(each).placement_fields]

    def pour(
        self, at: str, vents: Sequence[str], volume: float, seconds: float, level: float, to_cap: str | None
    ) -> str:
        """One stage of the first pour."""
        off = [at, *vents]
        caps = f"Take off {listed([self.opening(each) for each in off])}. "
        until = (
            f"until liquid shows at {self.opening(to_cap)}" if to_cap else f"until the level stands at {_height(level)}"
        )
        return f"{caps}Pour {millilitres(volume)} slowly in at {self.opening(at)}, about {duration(seconds)}, {until}"

    def cap(self, places: Sequence[str]) -> str:
        """Openings that must not stay open."""
        return f"Put {listed([self.opening(each) for each in places])} on again"

    def run(self, pumps: Sequence[str], vessel: str, least: float, taken: float, seconds: float) -> str:
        """One run, with the vessel as buffer."""
        return (
            f"{self._start(pumps, seconds)}, until {self.build.part(vessel).name} has fallen to {_height(least)}: "
            f"{millilitres(taken)} go into the loop; then stop"
        )

    def _start(self, pumps: Sequence[str], seconds: float) -> str:
        burst = "in one short burst of about" if seconds < SHORT else "for about"
        return f"Run {self.parts(pumps)} {burst} {duration(seconds)}"

    def run_on(self, pumps: Sequence[str], seconds: float, others: Sequence[str] = ()) -> str:
        """A run that ends before the vessel is at its least."""
        if others:
            are = "are" if len(others) > 1 else "is"
            return f"{self._start(pumps, seconds)}, until {self.parts(others)} {are} flooded too; leave it running"
        return f"{self._start(pumps, seconds)}, until no more air comes and the level stands still; then stop"

    def run_stalled(self, pumps: Sequence[str], seconds: float) -> str:
        """A run that lifts the liquid no higher."""
        return f"{self._start(pumps, seconds)}: the liquid gets no further, the columns in front hold the pumps; stop"

    def run_and_pour(self, pumps: Sequence[str], vessel: str, volume: float, seconds: float, least: float) -> str:
        """Where liquid would run back if the pump stopped."""
        per_minute = millilitres(volume / seconds * 60)
        return (
            f"Run {self.parts(pumps)} and pour {millilitres(volume)} into {self.build.part(vessel).name} meanwhile, as "
            f"fast as it falls: {per_minute} per minute for about {duration(seconds)}; slow the pump down or throttle "
            f"it to that. Two people; stop if it falls to {_height(least)}. Stopped earlier, what was lifted runs back"
        )

    def top_up(self, vessel: str, at: str, volume: float, level: float) -> str:
        """After a run."""
        name = self.build.part(vessel).name
        return f"Top up: {millilitres(volume)} in at {self.opening(at)}, until {name} stands at {_height(level)} again"

    def bleed(self, own: float | None, practice: tuple[float, float], pumps: Sequence[str]) -> str:
        """How long nobody can say."""
        stated = f"Your own time for this loop: {duration(own)}" if own is not None else "Note your own time when done"
        return (
            f"Bleed: run {self.parts(pumps)} with the vessel's lid open, tap the parts, stop for a minute now and then "
            "so that bubbles gather and rise, and go on until none has come for ten minutes. How long that takes "
            f"cannot be worked out from published data. {stated}; usual are {duration(practice[0])} to "
            f"{duration(practice[1])} (common practice, no source)"
        )

    def tilt(self, tilt: Tilt, freed: float, spills: Sequence[str]) -> str:
        """One way to hold the machine."""
        first = f"Close {listed(list(spills))} first, it would spill. " if spills else ""
        return (
            f"Pumps off. {first}Hold the machine {tilt_words(tilt)} until no more air comes: up to "
            f"{millilitres(freed)}. Two people; it is heavy with liquid"
        )

    def check(self, poured: float, capacity: float, left: float, fall: LevelFall | None) -> str:
        """The end of a whole plan."""
        test = f". {marked(fall.sentence)}" if fall is not None else ""
        return (
            f"Check: {millilitres(poured)} poured in all are expected of {millilitres(capacity)} that the loop holds; "
            f"what is missing is air inside, {millilitres(left)} where the plan went well{test}"
        )

    def seal(self, vessel: str) -> str:
        """Where a vessel is sealed."""
        part = self.build.part(vessel)
        cushion = part.cushion
        assert cushion is not None
        charge = f", then press air in up to {quantity(cushion.gauge, 'bar', 2)}" if cushion.gauge > 0 else ""
        return (
            f"Close the lid of {part.name} for good while the loop is cold: {millilitres(cushion.gas)} of air stay "
            f"above its level{charge}. Let it warm slowly the first time, and watch the gauge"
        )

    def stop_here(self, not_flooded: Sequence[str], room: float) -> str:
        """The end of a plan that cannot go on."""
        if not self.pumps_follow:
            return f"{millilitres(room)} of the loop are still air, and no pump is there to go on with"
        if not_flooded:
            return (
                f"Stop here: {self.parts(not_flooded)} would run dry. {millilitres(room)} of the loop are still full "
                "of air; see the warnings for what to change"
            )
        return f"Stop here: the pumps do not get the liquid round. {millilitres(room)} are still air; see the warnings"


def _height(level: float) -> str:
    return f"{millimetres(level)} above the floor"

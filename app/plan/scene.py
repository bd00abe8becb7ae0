"""The items of the plan, kept in step with the layout in view."""

from collections.abc import Mapping
from typing import Any

from PySide6.QtWidgets import QGraphicsScene

from app import words
from app.answer import Answer
from app.fill.marks import Marks
from app.plan.air_arrows import space_words
from app.plan.crossings import Crossing
from app.plan.layers import DIMMED, Layer, layer_of
from app.plan.liquid_item import LiquidItem
from app.plan.overlaps import Overlaps
from app.plan.part_item import PartItem
from app.plan.run_item import RunItem
from app.plan.tint import Tint
from app.theme import Theme
from loopsim.build import Build, Layout
from loopsim.build.free_ports import FreePorts, free_ports
from loopsim.studies import AirFlow, Finding, air_flows

__all__ = ["PlanScene"]

_WORLD_MM = 50_000.0


class PlanScene(QGraphicsScene):
    """Parts, runs and crossings of one layout. Rebuilds only what has changed since it was last shown."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(-_WORLD_MM, -_WORLD_MM, 2 * _WORLD_MM, 2 * _WORLD_MM)
        self.setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        self.theme = theme
        self.parts: dict[str, PartItem] = {}
        self.runs: dict[str, RunItem] = {}
        self.findings: tuple[Finding, ...] = ()
        self.back_flows: dict[str, float] = {}  # of pumps through which liquid runs back, by part [m3/s]
        self.tint: Tint | None = None
        self.air: tuple[AirFlow, ...] = ()
        self.spaces = ""  # the air's spaces in words
        self.marks: Marks | None = None  # what the fill bench asks for
        self.selection: frozenset[str] = frozenset()
        self.dimmed: frozenset[Layer] = frozenset()
        self.rebuilt = 0  # items rebuilt by the last change
        self.stamp = 0  # another number after every change of what is shown
        self._shown: dict[str, tuple[Any, ...]] = {}
        self._overlaps = Overlaps(self, theme)
        self._liquid = LiquidItem(theme)
        self.addItem(self._liquid)
        self._flows: dict[str, int] = {}
        self._stopped: frozenset[str] = frozenset()

    def show_layout(self, build: Build, layout: Layout) -> None:
        """Bring every item in step with a layout."""
        self.rebuilt = 0
        self.stamp += 1
        self._drop_all_but(layout)
        moved = frozenset(part_id for part_id in layout.placements if self._show_part(build, part_id, layout))
        changed = frozenset(run.id for run in layout.runs if self._show_run(build, layout, run.id))
        self._show_open_ports(free_ports(build, layout))
        self._overlaps.update(self.runs, self.parts, changed, moved)

    def show_answer(self, answer: Answer | None) -> None:
        """Show which way liquid flows, which pumps stand, and what was found."""
        self.stamp += 1
        point = answer.point if answer else None
        flows = [*point.parts, *point.pumps] if point else []
        self._flows = {each.id: (each.flow > 0) - (each.flow < 0) for each in flows}
        found = answer.in_view if answer else None
        machines = [*(point.pumps if point else ()), *(found.point.fans if found else ())]
        self._stopped = frozenset(each.id for each in machines if each.state == "stopped")
        self.findings = tuple(words.findings_of(answer)) if answer else ()
        self.back_flows = {pump.id: -pump.flow for pump in point.pumps if pump.flow < 0} if point else {}
        for item in (*self.parts.values(), *self.runs.values()):
            self._mark(item)

    def show_tint(self, tint: Tint | None) -> None:
        """Colour tubes and parts by a quantity; plain without one."""
        if tint is None and self.tint is None:
            return
        self.stamp += 1
        self.tint = tint
        for item in (*self.parts.values(), *self.runs.values()):
            self._mark(item)
        self._overlaps.show_tint({run_id: item.tint for run_id, item in self.runs.items() if item.tint is not None})

    def show_air(self, answer: Answer | None) -> None:
        """Show what air passes through the parts, and how the spaces are."""
        self.stamp += 1
        found = answer.in_view if answer is not None else None
        self.air = air_flows(found.point) if found is not None else ()
        self.spaces = space_words(found.point.spaces, answer.heat_is_old) if found is not None else ""

    def show_marks(self, marks: Marks | None) -> None:
        """Show high points, or what is liquid at one moment of the fill."""
        self.stamp += 1
        self.marks = marks
        self._liquid.show_moment(marks.moment if marks is not None else None, self.runs, self.parts)

    def show_selection(self, selection: frozenset[str]) -> None:
        """Mark the selected items."""
        self.stamp += 1
        self.selection = selection
        for item in (*self.parts.values(), *self.runs.values()):
            self._mark(item)

    def show_dimmed(self, layers: frozenset[Layer]) -> None:
        """Draw some layers faintly, out of the hand's way."""
        self.stamp += 1
        self.dimmed = layers
        for item in (*self.parts.values(), *self.runs.values()):
            self._mark(item)

    def is_dimmed(self, item: PartItem | RunItem) -> bool:
        """True for what belongs to a dimmed layer."""
        return (layer_of(item.part) if isinstance(item, PartItem) else "liquid") in self.dimmed

    def show_hovered(self, at: str, port: str) -> None:
        """Mark the port of a part that is under the pointer; no port: none."""
        for part_id, item in self.parts.items():
            item.show_as(hovered_port=port if part_id == at else "")

    def show_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.theme = theme
        self._overlaps.show_theme(theme)
        self._liquid.theme = theme
        for item in (*self.parts.values(), *self.runs.values()):
            item.show_as(theme=theme)

    @property
    def crossings(self) -> list[Crossing]:
        """Every crossing of two runs."""
        return self._overlaps.crossings

    def _drop_all_but(self, layout: Layout) -> None:
        for items, kept in ((self.parts, layout.placements), (self.runs, layout.runs_by_id)):
            for item_id in [each for each in items if each not in kept]:
                self.removeItem(items.pop(item_id))
                self._shown.pop(_key(items is self.parts, item_id), None)

    def _show_part(self, build: Build, part_id: str, layout: Layout) -> bool:
        shows = (build.part(part_id), layout.placement(part_id))
        if not self._is_new(_key(True, part_id), shows):
            return False
        self._item(self.parts, part_id, PartItem).show_part(*shows)
        return True

    def _show_run(self, build: Build, layout: Layout, run_id: str) -> bool:
        run = layout.run(run_id)
        tube = build.tube(run.tube)
        shows = (run, tube, *(each for end in run.part_ids for each in (build.part(end), layout.placement(end))))
        if not self._is_new(_key(False, run_id), shows):
            return False
        self._item(self.runs, run_id, RunItem).show_run(run, build.run_path(layout, run), tube.outer_mm)
        return True

    def _is_new(self, key: str, shows: tuple[Any, ...]) -> bool:
        """True if an item shows other records than these; from now on it shows them."""
        before = self._shown.get(key, ())
        if len(before) == len(shows) and all(a is b for a, b in zip(before, shows, strict=True)):
            return False
        self._shown[key] = shows
        self.rebuilt += 1
        return True

    def _item(self, items: dict[str, Any], item_id: str, kind: type[PartItem] | type[RunItem]) -> Any:
        if item_id not in items:
            items[item_id] = kind(item_id, self.theme)
        return items[item_id]

    def _show_open_ports(self, free: Mapping[str, FreePorts]) -> None:
        for part_id, item in self.parts.items():
            waiting, plugged = free.get(part_id, ((), ()))
            item.show_as(open_ports=frozenset((*waiting, *plugged)), plugged_ports=frozenset(plugged))
        for item in (*self.parts.values(), *self.runs.values()):
            if item.scene() is None:
                self._mark(item)
                self.addItem(item)

    def _mark(self, item: PartItem | RunItem) -> None:
        item.setOpacity(DIMMED if self.is_dimmed(item) else 1.0)
        is_part = isinstance(item, PartItem)
        item_id = item.part_id if is_part else item.run_id
        item.show_as(tint=self.tint.colour(item_id) if self.tint else None, is_selected=item_id in self.selection)
        if is_part:
            item.show_as(is_stopped=item_id in self._stopped)
        else:
            item.show_as(flow_sign=self._flows.get(item_id, 0))


def _key(is_part: bool, item_id: str) -> str:
    return f"{'part' if is_part else 'run'} {item_id}"

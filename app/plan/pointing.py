"""From what draws attention to its place, and to what can be done about it."""

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRectF

from app import figures
from app.plan.coordinates import to_scene
from app.plan.surface import Surface
from loopsim.studies import Finding
from loopsim.studies.fit import remedied

__all__ = ["Pointing", "place_of"]

_MARGIN_PX = 60.0  # from the edge of the view; nearer to it, a place is brought to the middle


class Pointing:
    """Goes from one finding to the next, most harmful first, and makes the edit that one asks for."""

    def __init__(self, plan: Surface) -> None:
        self._plan = plan
        self.finding: Finding | None = None

    def go(self, step: int) -> None:
        """Show the next finding, or the one before."""
        found = self._plan.scene().findings
        if not found:
            self._plan.message.emit("There is nothing to look at in this layout.")
            return
        at = found.index(self.finding) + step if self.finding in found else (0 if step > 0 else -1)
        self.show(found[at % len(found)])

    def show(self, finding: Finding) -> None:
        """Select what a finding speaks of, bring its place into view, and say it."""
        self.finding = finding
        layout = self._plan.document.layout
        known = {*layout.placements, *layout.runs_by_id}
        self._plan.document.select({finding.part, *finding.others} & known)
        self._bring_into_view(place_of(finding, self._plan))
        said, remedy = figures.sentence(finding.text), figures.capitalised(finding.remedy)
        can = " (Shift+J does it)" if finding.fix else ""
        self._plan.message.emit(f"{said} {remedy}".strip() + can)

    def mend(self, finding: Finding | None = None) -> None:
        """Make the edit that a finding asks for, or else the one in view."""
        finding, document = finding or self.finding, self._plan.document
        if finding is None or finding not in self._plan.scene().findings:
            self._plan.message.emit("First go to what is to be mended: J goes from one warning to the next.")
            return
        edit = remedied(document.build, document.layout.name, finding)
        if edit is None:
            self._plan.message.emit(f"That is for you to decide. {figures.told(finding.remedy)}".strip())
        elif self._plan.do(lambda: edit):
            self._plan.message.emit(f"{edit.text}: done. Undo takes it back.")

    def bring(self, ids: Iterable[str]) -> None:
        """Bring the first of some parts and runs into view."""
        scene = self._plan.scene()
        for item_id in ids:
            if item_id in scene.parts or item_id in scene.runs:
                item = scene.parts.get(item_id)
                self._bring_into_view(item.pos() if item is not None else scene.runs[item_id].middle())
                return

    def _bring_into_view(self, place: QPointF | None) -> None:
        if place is None:
            return
        view = QRectF(self._plan.viewport().rect())
        pixel = self._plan.to_pixel(place)
        if not view.adjusted(_MARGIN_PX, _MARGIN_PX, -_MARGIN_PX, -_MARGIN_PX).contains(pixel):
            self._plan.pan(view.center() - pixel)


def place_of(finding: Finding, plan: Surface) -> QPointF | None:
    """Where a finding is, in the scene; None where it speaks of the whole layout."""
    if finding.at is not None:
        return to_scene(finding.at.x_mm, finding.at.y_mm)
    scene = plan.scene()
    if finding.part in scene.parts:
        return scene.parts[finding.part].pos()
    return scene.runs[finding.part].middle() if finding.part in scene.runs else None

"""Joints above what a drop would ruin."""

from collections.abc import Iterator

from loopsim.geometry import Box
from loopsim.studies.fit.drawing import Drawing
from loopsim.studies.results import Finding

__all__ = ["joint_findings"]


def joint_findings(drawing: Drawing) -> Iterator[Finding]:
    """Ports, elbows and mitres that sit above electronics: joints are where loops leak (common practice)."""
    for name, part_id, box in _below(drawing):
        for joint in drawing.joints:
            if joint.spot.height_mm >= box.low and box.holds(joint.spot.x_mm, joint.spot.y_mm):
                text = f"{drawing.joint_words(joint)} sits above {name}; joints are where a loop leaks"
                remedy = "move the joint aside, pass there with whole tube, or put a drip tray between"
                others = () if part_id is None else (part_id,)
                yield Finding("joint_above", joint.run.id, text, False, remedy, "", joint.spot, others)


def _below(drawing: Drawing) -> Iterator[tuple[str, str | None, Box]]:
    """What is to be kept dry: its name, its part if it is one, and its box."""
    for stands in drawing.standing:
        if stands.part.has_electronics:
            yield stands.part.name, stands.part.id, stands.box
    for space in drawing.layout.reserved:
        if space.rule == "electronics below":
            yield space.name, None, drawing.space_box(space)

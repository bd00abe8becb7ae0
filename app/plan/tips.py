"""What the plan says of a thing when the pointer rests on it."""

from html import escape

from app.answer import Answer
from app.document import Document
from app.plan.scene import Hit
from loopsim.units import from_si

__all__ = ["tip"]


def tip(hit: Hit, document: Document, answer: Answer | None) -> str:
    """A few lines for a tool tip."""
    lines = _of_run(hit.id, document, answer) if hit.kind in ("run", "corner") else _of_part(hit, document)
    findings = answer.point.findings if answer and answer.point else ()
    lines += [each.text for each in findings if each.part == hit.id]
    return "<br>".join(f"<nobr>{escape(line)}</nobr>" for line in lines)


def _of_part(hit: Hit, document: Document) -> list[str]:
    part, placement = document.build.part(hit.id), document.layout.placement(hit.id)
    if hit.kind == "port":
        spot = document.build.port_spot(document.layout, hit.reference)
        return [f"{part.name}, {hit.port}: open, {spot.height_mm:g} mm above the floor"]
    size = f"{part.length_mm:g} × {part.width_mm:g} × {part.height_mm:g} mm"
    return [f"{part.name}, {part.title}", f"{size}, {placement.height_mm:g} mm above the floor"]


def _of_run(run_id: str, document: Document, answer: Answer | None) -> list[str]:
    build, layout = document.build, document.layout
    run = layout.run(run_id)
    ends = " to ".join(build.port(reference)[0].name for reference in (run.start, run.end))
    lines = [f"tube run, {ends}", f"{build.run_path(layout, run).length_mm:.0f} mm of {build.tube(run.tube).name}"]
    solved = {each.id: each for each in answer.point.parts} if answer and answer.point else {}
    if run_id in solved and solved[run_id].velocity is not None:
        flow = abs(from_si(solved[run_id].flow, "l_h"))
        lines.append(f"{flow:.0f} L/h, {abs(solved[run_id].velocity):.2f} m/s, {solved[run_id].regime}")
    return lines

"""What the plan says of a thing when the pointer rests on it."""

from html import escape

from app import figures, words
from app.answer import Answer
from app.document import Document
from app.fill.marks import Marks, tip_lines
from app.heat import heat_words
from app.plan.handles import Hit
from loopsim.build.free_ports import free_ports
from loopsim.units import to_si

__all__ = ["tip"]


def tip(hit: Hit, document: Document, answer: Answer | None, marks: Marks | None = None) -> str:
    """A few lines for a tool tip."""
    lines = (
        _of_run(hit.id, document, answer) if hit.kind in ("run", "corner", "end") else _of_part(hit, document, answer)
    )
    findings = [*words.findings_of(answer), *words.findings_of(answer, quiet=True)] if answer else ()
    lines += [figures.told(each.text) for each in findings if each.part == hit.id]
    lines += tip_lines(marks, hit.id)
    return "<br>".join(f"<nobr>{escape(line)}</nobr>" for line in lines)


def _of_part(hit: Hit, document: Document, answer: Answer | None) -> list[str]:
    part, placement = document.build.part(hit.id), document.layout.placement(hit.id)
    if hit.kind == "port":
        spot = document.build.port_spot(document.layout, hit.reference)
        free = free_ports(document.build, document.layout)[hit.id]
        state = "plugged while no run leads to it" if hit.port in free.plugged else "open"
        return [f"{part.name}, {hit.port_words}: {state}, {figures.length_mm(spot.height_mm)} above the floor"]
    size = figures.lengths_mm((part.length_mm, part.width_mm, part.height_mm), " × ")
    lines = [f"{part.name}, {part.title}", f"{size}, {figures.length_mm(placement.height_mm)} above the floor"]
    return lines + _solved(hit.id, answer)


def _of_run(run_id: str, document: Document, answer: Answer | None) -> list[str]:
    build, layout = document.build, document.layout
    run = layout.run(run_id)
    ends = " to ".join(build.port(reference)[0].name for reference in (run.start, run.end))
    length = figures.amount(to_si(build.run_path(layout, run).length_mm, "mm"), "mm")
    lines = [f"tube run, {ends}", f"{length} of {build.tube(run.tube).name}"]
    return lines + _solved(run_id, answer)


def _solved(item: str, answer: Answer | None) -> list[str]:
    """Flow, drop, velocity and state of flow, or a pump's head, heat and air; nothing while the answer is out."""
    said = words.of_part(answer.point, item) if answer and answer.point else ""
    warm = heat_words.of_item(answer.in_view.point, item) if answer and answer.in_view else []
    return [*([said.removesuffix(".")] if said else []), *warm]

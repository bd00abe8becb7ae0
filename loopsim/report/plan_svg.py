"""The plan of a layout as an SVG drawing to scale: enclosure, parts, tube runs, and their lettering."""

import re
from collections.abc import Iterable, Mapping
from itertools import groupby, pairwise

import icons
from loopsim.build import Build, Layout, Placement
from loopsim.geometry import Spot
from loopsim.parts import Part
from loopsim.report.plan_lettering import Lettering
from loopsim.report.plan_sheet import SHEET_WIDTH, PlanSheet
from loopsim.report.svg import INK, LIQUID, PAPER, Point, drawing, line, polygon

__all__ = ["plan_svg"]

_LARGEST_SYMBOL = 9.0


def plan_svg(build: Build, layout: Layout, flows: Mapping[str, float]) -> str:
    """The plan of a layout.

    Parameters
    ----------
    build, layout : Build, Layout
    flows : mapping of str to float
        Flow of each tube run by id, positive from start to end; a run without flow, or not named, gets no arrow
        [m3/s].

    Returns
    -------
    str
        One SVG element, 174 mm wide, black on white. Runs are numbered in the order of the layout. A height label
        that finds no free place near by is left out; names and run numbers always stand.
    """
    sheet = PlanSheet(build, layout)
    marks = [
        f'<rect width="{SHEET_WIDTH:g}" height="{sheet.height:.2f}" fill="{PAPER}"/>',
        polygon(sheet.room, INK, 0.5),
        *_tubes(sheet),
        *_parts(sheet),
        *Lettering(sheet).marks(flows),
    ]
    return drawing(marks, SHEET_WIDTH, f"{sheet.height:.2f}", 'stroke-linejoin="round"')


def _tubes(sheet: PlanSheet) -> Iterable[str]:
    """Lower stretches first; higher ones have a white margin, so that a crossing shows which tube lies above."""
    stretches = sorted(_stretches(sheet), key=lambda stretch: stretch[0])
    for _, level in groupby(stretches, key=lambda stretch: stretch[0]):
        together = list(level)
        yield from (line(a, b, PAPER, width + 0.9) for _, width, a, b in together)
        yield from (line(a, b, LIQUID, width, "round") for _, width, a, b in together)


def _stretches(sheet: PlanSheet) -> Iterable[tuple[float, float, Point, Point]]:
    """Height, width on paper and ends of every straight stretch, arcs in short pieces."""
    for run_id, path in sheet.paths.items():
        width = sheet.tube_width(run_id)
        for start, end in pairwise(path.centre_line()):
            yield max(start.height_mm, end.height_mm), width, sheet.point(start), sheet.point(end)


def _parts(sheet: PlanSheet) -> Iterable[str]:
    for part, placement in sheet.placed:
        yield polygon(sheet.corners(part, placement), INK, 0.35, PAPER)
        yield _symbol(sheet, part, placement)


def _symbol(sheet: PlanSheet, part: Part, placement: Placement) -> str:
    """The kind's symbol in the middle of the outline, turned with the part; nothing where there is no drawing."""
    if part.symbol not in icons.names():
        return ""
    side = min(0.8 * min(part.length_mm, part.width_mm) * sheet.scale, _LARGEST_SYMBOL)
    x, y = sheet.point(Spot(placement.x_mm, placement.y_mm, 0.0))
    opening, _, rest = icons.svg(part.symbol).strip().partition(">")
    left, top, width, height = map(float, re.findall(r'viewBox="([^"]*)"', opening)[0].split())
    look = re.sub(r' (?:xmlns|viewBox)="[^"]*"', "", opening.removeprefix("<svg"))
    place = (
        f"translate({x:.2f} {y:.2f}) rotate({-placement.rotation_deg:g}) scale({side / max(width, height):.4f}) "
        f"translate({-left - width / 2:g} {-top - height / 2:g})"
    )
    group = f'<g transform="{place}"{look}>{rest.removesuffix("</svg>")}</g>'  # some readers skip an svg in an svg
    return group.replace("currentColor", INK)

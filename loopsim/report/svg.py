"""Marks of a drawing as SVG text; lengths in millimetres of paper, y downwards."""

from collections.abc import Iterable
from xml.sax.saxutils import escape

from loopsim.report.text import printable

__all__ = [
    "INK",
    "LIQUID",
    "PAPER",
    "SOFT",
    "WARM",
    "Point",
    "dimension",
    "drawing",
    "line",
    "polygon",
    "polyline",
    "rectangle",
    "text",
]

Point = tuple[float, float]

INK, SOFT, LIQUID, WARM, PAPER = "#111111", "#555555", "#1D6F7A", "#A4511C", "#ffffff"


def drawing(marks: Iterable[str], width: float, height: str, look: str = "") -> str:
    """An SVG element of this size [mm], the height as it is to be written; `look` holds for all its marks."""
    size = f'width="{width:g}mm" height="{height}mm" viewBox="0 0 {width:g} {height}"'
    words = f'font-family="DejaVu Sans, sans-serif" fill="none"{look and " " + look}'
    body = "\n".join(mark for mark in marks if mark)
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} {words}>\n{body}\n</svg>\n'


def polygon(points: Iterable[Point], ink: str, width: float, fill: str = "none") -> str:
    """A closed outline."""
    corners = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    return f'<polygon points="{corners}" stroke="{ink}" stroke-width="{width:g}" fill="{fill}"/>'


def polyline(points: Iterable[Point], ink: str, width: float, dashes: str = "") -> str:
    """An open line through points; `dashes` as SVG writes them."""
    places = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<polyline points="{places}" stroke="{ink}" stroke-width="{width:g}"{dashed}/>'


def rectangle(x: float, y: float, width: float, height: float, fill: str) -> str:
    """A filled rectangle by its upper left corner."""
    return f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" fill="{fill}"/>'


def line(a: Point, b: Point, ink: str, width: float, cap: str = "butt") -> str:
    """A straight line."""
    ends = f'x1="{a[0]:.2f}" y1="{a[1]:.2f}" x2="{b[0]:.2f}" y2="{b[1]:.2f}"'
    return f'<line {ends} stroke="{ink}" stroke-width="{width:.2f}" stroke-linecap="{cap}"/>'


def dimension(a: Point, b: Point, ink: str = SOFT) -> str:
    """A level or upright line with a stroke across each end."""
    dx, dy = (0.0, 1.0) if a[1] == b[1] else (1.0, 0.0)
    ticks = [line((x - dx, y - dy), (x + dx, y + dy), ink, 0.2) for x, y in (a, b)]
    return "".join([line(a, b, ink, 0.2), *ticks])


def text(words: str, at: Point, size: float, ink: str, anchor: str = "middle", turned_deg: float = 0.0) -> str:
    """A line of text; `at` is on its base line."""
    x, y = at
    turn = f' transform="rotate({turned_deg:g} {x:.2f} {y:.2f})"' if turned_deg else ""
    place = f'x="{x:.2f}" y="{y:.2f}" font-size="{size:g}" fill="{ink}" text-anchor="{anchor}"'
    return f"<text {place}{turn}>{escape(printable(words))}</text>"

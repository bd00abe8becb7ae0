"""Marks of a drawing as SVG text; lengths in millimetres of paper, y downwards."""

from collections.abc import Iterable
from xml.sax.saxutils import escape

from loopsim.report.text import printable

__all__ = ["INK", "LIQUID", "PAPER", "SOFT", "Point", "dimension", "line", "polygon", "text"]

Point = tuple[float, float]

INK, SOFT, LIQUID, PAPER = "#111111", "#555555", "#1D6F7A", "#ffffff"


def polygon(points: Iterable[Point], ink: str, width: float, fill: str = "none") -> str:
    """A closed outline."""
    corners = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    return f'<polygon points="{corners}" stroke="{ink}" stroke-width="{width:g}" fill="{fill}"/>'


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

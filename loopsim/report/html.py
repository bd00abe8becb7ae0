"""A report as one HTML file: drawings inside, nothing fetched from elsewhere, fit to be printed."""

import html
from typing import Any

from loopsim.report.content import Figure, Report
from loopsim.report.templates import render
from loopsim.report.text import printable

__all__ = ["to_html"]


def to_html(report: Report) -> str:
    """The report as an HTML page."""
    return render("report.html.j2", report, _escaped, drawing=_drawing)


def _escaped(text: str) -> str:
    return html.escape(printable(text))


def _drawing(figure: Figure) -> Any:
    """The figure's SVG with its description, for a page that is read aloud."""
    from markupsafe import Markup

    return Markup(figure.svg.replace("<svg ", f'<svg role="img" aria-label="{_escaped(figure.alt)}" ', 1))

"""A report as Markdown with its drawings as SVG files beside it."""

import re
from typing import Any
from urllib.parse import quote

from loopsim.report.content import Figure, Report
from loopsim.report.templates import render
from loopsim.report.text import printable

__all__ = ["to_markdown"]

_MARKS = re.compile(r"([\\`*_{}\[\]<>#|~$&!])")
_BLOCK_MARKS = re.compile(r"^(\d+)([.)])(?=\s|$)|^([-+=])")


def to_markdown(report: Report, stem: str) -> tuple[str, dict[str, str]]:
    """The report as text, and its drawings by file name; all names begin with `stem`."""
    names = {figure.name: f"{stem}-{figure.name}.svg" for figure in report.figures}

    def link(figure: Figure) -> Any:
        from markupsafe import Markup

        return Markup(quote(names[figure.name]))

    text = render("report.md.j2", report, _escaped, link=link)
    return text, {names[figure.name]: figure.svg for figure in report.figures}


def _escaped(text: str) -> str:
    """Text that stands for itself: a backslash before every mark that Markdown would read."""
    escaped = _MARKS.sub(r"\\\1", printable(text))
    return _BLOCK_MARKS.sub(lambda found: f"{found[1]}\\{found[2]}" if found[1] else f"\\{found[3]}", escaped)

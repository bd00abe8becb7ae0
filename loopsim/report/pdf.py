"""A report as PDF on A4, set by Typst."""

import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from loopsim.report.content import Report
from loopsim.report.templates import render
from loopsim.report.text import printable

__all__ = ["to_pdf", "to_typst"]

_LONG_WORD = re.compile(r"\S{25,}")


def to_pdf(report: Report) -> bytes:
    """The report as a PDF file."""
    import matplotlib as mpl
    import typst

    files = {"main.typ": to_typst(report).encode()}
    files |= {f"{figure.name}.svg": figure.svg.encode() for figure in report.figures}
    day = datetime(report.dated.year, report.dated.month, report.dated.day, tzinfo=UTC)
    fonts = [str(Path(mpl.get_data_path()) / "fonts" / "ttf")]
    compile_files: Any = typst.compile  # its declared types leave out files given by name
    pdf: bytes = compile_files(files, font_paths=fonts, format="pdf", timestamp=int(day.timestamp()))
    return pdf


def to_typst(report: Report) -> str:
    """The report as Typst source; its drawings are expected beside it, named after the figures."""
    return render("report.typ.j2", report, _literal)


def _literal(text: str) -> str:
    """A Typst string: nothing in it is read as markup. Long words may break, so that no table leaves the page."""
    text = _LONG_WORD.sub(lambda word: "\u200b".join(re.findall(".{1,12}", word[0])), printable(text))
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'

"""Writing the report of a layout to a file."""

from datetime import date
from pathlib import Path

from loopsim.atomic import write_atomically
from loopsim.build import Build
from loopsim.errors import FileError
from loopsim.report.content import Report
from loopsim.report.flow_report import report_content
from loopsim.report.html import to_html
from loopsim.report.markdown import to_markdown
from loopsim.report.pdf import to_pdf

__all__ = ["REPORT_ENDINGS", "write_report"]

REPORT_ENDINGS = (".html", ".pdf", ".md")


def write_report(
    build: Build, path: str | Path, layout_name: str | None = None, dated: date | None = None
) -> list[Path]:
    """Write the report of a layout; the ending of the file's name chooses the format.

    Parameters
    ----------
    build : Build
    path : str or Path
        Ends in ``.html``, ``.pdf`` or ``.md``. The drawings of a Markdown report go beside it, named after it.
    layout_name : str, optional
        The first layout if not given.
    dated : date, optional
        Date of the report, today if not given.

    Returns
    -------
    list of Path
        The files written, the report itself first.

    Raises
    ------
    FileError
        If the ending is another one, or a file cannot be written.
    SketchError
        If there is no such layout, or nothing is placed in it.
    """
    path = Path(path)
    if path.suffix.lower() not in REPORT_ENDINGS:
        raise FileError(
            f"{path.name}: a report cannot be written with the ending {path.suffix!r}; "
            f"allowed are {', '.join(REPORT_ENDINGS)}"
        )
    files = _files(report_content(build, layout_name, dated), path)
    for file, content in reversed(files.items()):  # the report last, so that it never names a drawing not yet there
        _write(file, content)
    return list(files)


def _files(report: Report, path: Path) -> dict[Path, bytes]:
    """Contents of every file of a report, the report itself first."""
    if path.suffix.lower() == ".pdf":
        return {path: to_pdf(report)}
    if path.suffix.lower() == ".html":
        return {path: to_html(report).encode()}
    text, drawings = to_markdown(report, path.stem)
    return {path: text.encode(), **{path.with_name(name): svg.encode() for name, svg in drawings.items()}}


def _write(path: Path, content: bytes) -> None:
    try:
        write_atomically(path, content)
    except OSError as error:
        raise FileError(f"{path.name}: cannot be written ({error.strerror}); nothing was changed there") from error

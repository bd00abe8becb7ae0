"""Templates: every value they print is escaped for their format, unless it is marked as already written for it."""

from collections.abc import Callable
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from loopsim.report.content import Report

if TYPE_CHECKING:
    from jinja2 import Template

__all__ = ["render"]


def render(name: str, report: Report, escape: Callable[[str], str], **helpers: Callable[..., Any]) -> str:
    """A report through one template of this package.

    Parameters
    ----------
    name : str
        File name of the template.
    report : Report
    escape : callable
        Applied to every string that the template prints, except those of type `markupsafe.Markup`.
    **helpers : callable
        Functions that the template calls.
    """
    return _template(name, escape).render(report=report, **helpers)


@cache
def _template(name: str, escape: Callable[[str], str]) -> "Template":
    import jinja2
    from markupsafe import Markup

    def finalize(value: Any) -> Any:
        return Markup(escape(value)) if isinstance(value, str) and not isinstance(value, Markup) else value

    environment = jinja2.Environment(
        undefined=jinja2.StrictUndefined,
        finalize=finalize,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        autoescape=True,  # finds `Markup`, the output of macros too, ready to be printed
    )
    return environment.from_string((resources.files(__package__) / name).read_text(encoding="utf-8"))

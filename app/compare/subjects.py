"""The layouts that can be set side by side: those of the open build, and those of other files."""

from typing import NamedTuple

from loopsim.build import Build
from loopsim.errors import LoopsimError
from loopsim.studies import GradeLine, PumpPlot, grade_line, pump_plots
from loopsim.studies.comparing.compare import SolvedLayout, solved_layout

__all__ = ["Looked", "Subject", "is_same", "look"]

_NOT_THE_MACHINE = ("name", "note", "layouts")


class Subject(NamedTuple):
    """A layout of a build; `file` is empty for the open one."""

    build: Build
    layout: str
    file: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What stays while the build is edited."""
        return self.file, self.layout

    @property
    def title(self) -> str:
        """The layout, with its file where it comes from another."""
        return f"{self.layout} ({self.file})" if self.file else self.layout


class Looked(NamedTuple):
    """What was worked out of a layout, or why nothing could be."""

    subject: Subject
    solved: SolvedLayout | None
    plots: tuple[PumpPlot, ...] = ()
    lines: tuple[GradeLine, ...] = ()
    problem: str = ""


def look(subject: Subject) -> Looked:
    """Work out all that is compared of a layout."""
    build, layout = subject.build, subject.layout
    try:
        solved = solved_layout(build, layout)
        return Looked(subject, solved, pump_plots(build, layout), grade_line(solved.heats[0].point))
    except LoopsimError as error:
        return Looked(subject, None, problem=str(error))


def is_same(one: Subject, other: Subject) -> bool:
    """True if two subjects are the same layout with the same data, whatever else of their builds has changed."""
    if one.key != other.key or one.layout not in one.build.layouts_by_name:
        return False
    names = (name for name in Build.model_fields if name not in _NOT_THE_MACHINE)
    same_layout = one.build.layouts_by_name[one.layout] is other.build.layouts_by_name.get(one.layout)
    return same_layout and all(getattr(one.build, name) == getattr(other.build, name) for name in names)

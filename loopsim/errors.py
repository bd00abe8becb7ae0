"""The errors of Loopsim, branched by who must act.

Every error names the part as the builder named it, the field, the value with its unit, what is allowed, and the way
out. `part` and `field` are attributes too, so that an editor can select them.
"""

from collections.abc import Iterable
from difflib import get_close_matches

__all__ = [
    "FileError",
    "LoopsimError",
    "MediumError",
    "NotSolved",
    "PartDataError",
    "SketchError",
    "WorkerError",
    "did_you_mean",
]


class LoopsimError(Exception):
    """Root of all errors that Loopsim raises on purpose.

    Attributes
    ----------
    part, field : str or None
        Id of the part, and name of the field, that the message speaks of.
    """

    def __init__(self, message: str, *, part: str | None = None, field: str | None = None) -> None:
        super().__init__(message)
        self.part, self.field = part, field


class SketchError(LoopsimError):
    """The drawing cannot be solved as it stands: the builder must change the sketch."""


class PartDataError(LoopsimError):
    """A part's data are not usable: the numbers must be corrected."""


class MediumError(PartDataError):
    """A coolant outside the range in which its properties are known."""


class FileError(LoopsimError):
    """A file cannot be read as a build, or not be written."""


class WorkerError(LoopsimError):
    """Whoever was to share the work cannot be reached, or ended: another number of workers, or another cluster."""


class NotSolved(LoopsimError):  # noqa: N818  a result that is missing, and our own defect
    """The solver gave up. The equations have one solution, so this is a defect of Loopsim."""


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Offer the nearest of the `known` names, as the tail of a message; empty where none is near."""
    near = get_close_matches(name, list(known), n=1, cutoff=0.5)
    return f"; did you mean {near[0]!r}?" if near else ""

"""Edits of the builder's own failure cases."""

from loopsim.build.document import Build
from loopsim.build.edits import Edit, change_build
from loopsim.build.failing import OwnFailure
from loopsim.errors import SketchError, did_you_mean

__all__ = ["add_failure", "free_failure_name", "remove_failure"]


def add_failure(build: Build, case: OwnFailure) -> Edit:
    """Keep a case with the build, behind the others.

    Raises
    ------
    SketchError
        If there is one of this name, or it speaks of something that the build has not.
    """
    return change_build(build, own_failures=(*build.own_failures, case))._replace(text=f"Keep case {case.name}")


def remove_failure(build: Build, name: str) -> Edit:
    """Forget a case.

    Raises
    ------
    SketchError
        If there is none of this name.
    """
    names = [case.name for case in build.own_failures]
    if name not in names:
        raise SketchError(f"this build has no failure case {name!r}{did_you_mean(name, names)}")
    kept = tuple(case for case in build.own_failures if case.name != name)
    return change_build(build, own_failures=kept)._replace(text=f"Forget case {name}")


def free_failure_name(build: Build, wanted: str) -> str:
    """`wanted`, or with the first free number behind it."""
    taken = {case.name for case in build.own_failures}
    numbered = (f"{wanted} {number}" for number in range(2, len(taken) + 3))
    return next(name for name in (wanted, *numbered) if name not in taken)

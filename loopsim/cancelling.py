"""A calculation that nobody waits for any longer gives up, at the next step of its solver."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["Cancelled", "cancellable", "check_cancelled"]


class Cancelled(Exception):  # noqa: N818 - nothing went wrong
    """The answer is not wanted any more. Nothing that was kept is harmed by it."""


def _never() -> bool:
    return False


_is_cancelled: ContextVar[Callable[[], bool]] = ContextVar("is_cancelled", default=_never)


@contextmanager
def cancellable(is_cancelled: Callable[[], bool]) -> Iterator[None]:
    """Let what is calculated within, in this thread, raise `Cancelled` once `is_cancelled` says so.

    It is asked at every step of a solver, so it must be quick and may be called from this thread at any time.
    """
    token = _is_cancelled.set(is_cancelled)
    try:
        yield
    finally:
        _is_cancelled.reset(token)


def check_cancelled() -> None:
    """Raise `Cancelled` where the answer is not wanted any more."""
    if _is_cancelled.get()():
        raise Cancelled

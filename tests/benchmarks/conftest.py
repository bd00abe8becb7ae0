"""Benchmarks run on one core and print what they measured."""

import os
from collections.abc import Callable, Iterator

import pytest


@pytest.fixture(scope="session", autouse=True)
def one_core() -> Iterator[None]:
    """Keep to one core where the system allows it, so that no library's threads help or get in the way."""
    if not hasattr(os, "sched_setaffinity"):
        yield
        return
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {max(before)})
    yield
    os.sched_setaffinity(0, before)


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Callable[[str], None]:
    """Print past the capture."""

    def say(line: str) -> None:
        with capsys.disabled():
            print(f"\n    {line}", end="")

    return say

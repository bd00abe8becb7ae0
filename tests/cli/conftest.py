"""The program as a builder starts it, in the process of the tests."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from loopsim.cli import main

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Takes the words of a command line; gives exit status, standard output and standard error."""

    def run(*arguments: object) -> tuple[int, str, str]:
        status = main([str(each) for each in arguments])
        out, err = capsys.readouterr()
        return status, out, err

    return run


@pytest.fixture
def printed(run: Run) -> Callable[..., str]:
    """The same for a command that succeeds without complaint: what it prints."""

    def printed(*arguments: object) -> str:
        status, out, err = run(*arguments)
        assert (status, err) == (0, "")
        return out

    return printed


@pytest.fixture
def as_json(printed: Callable[..., str]) -> Callable[..., dict[str, Any]]:
    """The same asked for as JSON, read."""

    def as_json(*arguments: object) -> dict[str, Any]:
        data: dict[str, Any] = json.loads(printed(*arguments, "--json"))
        return data

    return as_json

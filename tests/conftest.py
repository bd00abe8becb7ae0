"""Tests run without a screen unless one is asked for."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from pathlib import Path

import pytest

import sample_loops


@pytest.fixture(scope="session")
def plinth_path() -> Path:
    """File of the sample on which most tests of the whole run."""
    return Path(str(sample_loops.sample("render-plinth")))


@pytest.fixture(autouse=True, scope="session")
def own_data_folder(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The shelf of whoever runs the tests is left alone, also by programs that tests start."""
    os.environ["XDG_DATA_HOME"] = str(tmp_path_factory.mktemp("data"))

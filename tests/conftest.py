"""Tests run without a screen unless one is asked for, and say the same on every machine and at every run."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

import sample_loops

settings.register_profile(
    "searching",  # other examples at each run: pytest --hypothesis-profile searching
    deadline=None,  # a loaded machine is slow
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],  # builds never change
)
settings.register_profile("the same at each run", settings.get_profile("searching"), derandomize=True, database=None)
settings.load_profile("the same at each run")


@pytest.fixture(scope="session")
def plinth_path() -> Path:
    """File of the sample on which most tests of the whole run."""
    return Path(str(sample_loops.sample("render-plinth")))


@pytest.fixture(autouse=True, scope="session")
def own_data_folder(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The shelf of whoever runs the tests is left alone, also by programs that tests start."""
    os.environ["XDG_DATA_HOME"] = str(tmp_path_factory.mktemp("data"))

"""Tests run without a screen unless one is asked for, and say the same on every machine and at every run.

Several processes may share them (``pytest -n 2``): each has folders of its own, and a file belongs to one of them.
"""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from xdist.scheduler import LoadFileScheduling

import sample_loops

LOOKS_BACK = "tests/reference/"  # its table is made of all that its files compared

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


class ByFile(LoadFileScheduling):
    """A file's tests share what its fixtures made; files of a folder that looks back on itself stay together."""

    def _split_scope(self, nodeid: str) -> str:
        return LOOKS_BACK if nodeid.startswith(LOOKS_BACK) else super()._split_scope(nodeid)


def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> ByFile:
    return ByFile(config, log)


@pytest.fixture(autouse=True, scope="session")
def own_folders(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Shelf and settings of whoever runs the tests are left alone, also by programs that tests start."""
    os.environ["XDG_DATA_HOME"] = str(tmp_path_factory.mktemp("data"))
    os.environ["XDG_CONFIG_HOME"] = str(tmp_path_factory.mktemp("config"))

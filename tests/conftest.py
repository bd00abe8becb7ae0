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

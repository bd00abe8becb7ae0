"""Published cases as a fixture; the tests that look back on the whole run come last."""

from pathlib import Path

import pytest

from .case import CASES, Case, published

__all__ = ["Case", "case", "published"]

HERE = Path(__file__).parent
LOOKS_BACK = HERE / "test_table.py"
_left_out: list[pytest.Item] = []


@pytest.fixture
def case(request: pytest.FixtureRequest) -> Case:
    """The case whose id the test names with ``@published("id")``."""
    return Case(CASES[request.param])


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path == LOOKS_BACK)


def pytest_deselected(items: list[pytest.Item]) -> None:
    _left_out.extend(item for item in items if item.path.parent == HERE and item.path != LOOKS_BACK)


@pytest.fixture
def whole_run(request: pytest.FixtureRequest) -> None:
    """Skip where only some of the published cases were run: what was compared then says nothing about the rest."""
    ran = {item.path for item in request.session.items}
    if _left_out or not ran.issuperset(HERE.glob("test_*.py")):
        pytest.skip("needs all of tests/reference in one run")

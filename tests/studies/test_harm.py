"""Every finding has its place in the order of harm."""

import ast
from pathlib import Path

import loopsim
from loopsim.studies import Finding
from loopsim.studies.harm import BY_HARM, by_harm


def raised_codes() -> set[str]:
    """First arguments of every ``Finding(...)`` in the calculation."""
    found = set()
    for path in Path(loopsim.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Finding":
                found.add(node.args[0].value)
    return found


def test_every_code_that_is_raised_has_one_place() -> None:
    assert len(set(BY_HARM)) == len(BY_HARM)
    assert raised_codes() == set(BY_HARM)


def test_what_ruins_something_comes_before_what_is_not_sure() -> None:
    codes = ("transitional", "open_port", "too_high", "boils", "backwards")
    found = by_harm(Finding(code, None, "") for code in codes)
    assert [each.code for each in found] == ["boils", "backwards", "too_high", "transitional", "open_port"]

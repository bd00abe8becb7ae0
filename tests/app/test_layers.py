"""Imports in the window run one way, too; what is imported for its type alone counts."""

import ast
from pathlib import Path

import networkx as nx

import app

ROOT = Path(app.__file__).parent


def modules() -> dict[str, Path]:
    found = {}
    for path in ROOT.rglob("*.py"):
        name = ".".join(path.relative_to(ROOT.parent).with_suffix("").parts)
        found[name.removesuffix(".__init__")] = path
    return found


def imported(path: Path, known: dict[str, Path]) -> set[str]:
    """Modules of the window that a file names in ``from ... import ...``."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            wanted = {f"{node.module}.{each.name}" for each in node.names}
            found |= {each if each in known else node.module for each in wanted} & known.keys()
    return found


def test_no_module_of_the_window_belongs_to_a_circle_of_imports():
    known = modules()
    arrows = nx.DiGraph((name, other) for name, path in known.items() for other in imported(path, known) - {name})
    assert len(arrows) > 100
    assert [sorted(circle) for circle in nx.strongly_connected_components(arrows) if len(circle) > 1] == []

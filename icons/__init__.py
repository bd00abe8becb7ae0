"""Symbols, drawn for this project after the open standards for fluid systems (ISO 14617, ISO 10628, ISO 1219)."""

from functools import cache
from importlib import resources

__all__ = ["names", "svg"]


def names() -> tuple[str, ...]:
    """Names of all symbols, in order."""
    files = (entry.name for entry in resources.files(__name__).iterdir())
    return tuple(sorted(name.removesuffix(".svg") for name in files if name.endswith(".svg")))


@cache
def svg(name: str) -> str:
    """The drawing of one symbol, stroked in ``currentColor``.

    Raises
    ------
    FileNotFoundError
        If there is no symbol of this name.
    """
    return resources.files(__name__).joinpath(f"{name}.svg").read_text(encoding="utf-8")

"""Builds that open and solve as they are. All of them are invented."""

from importlib.resources import files
from importlib.resources.abc import Traversable

__all__ = ["names", "sample"]

_ENDING = ".loop.json"


def names() -> list[str]:
    """Names of the samples, without the ending."""
    return sorted(each.name.removesuffix(_ENDING) for each in files(__name__).iterdir() if each.name.endswith(_ENDING))


def sample(name: str) -> Traversable:
    """The file of a sample, as an installed package has it; read it with `read_text`."""
    return files(__name__) / f"{name}{_ENDING}"

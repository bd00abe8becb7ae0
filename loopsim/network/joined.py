"""What hangs together, found by joining things two by two."""

from collections import defaultdict
from collections.abc import Hashable, Iterable
from typing import Generic, TypeVar

__all__ = ["Joined"]

T = TypeVar("T", bound=Hashable)


class Joined(Generic[T]):
    """Things that hang together, found by joining them two by two."""

    def __init__(self) -> None:
        self._of: dict[T, T] = {}

    def root(self, name: T) -> T:
        """The one thing that stands for all that hang together with this one."""
        of = self._of
        while (above := of.setdefault(name, name)) != name:
            of[name] = of[above]
            name = above
        return name

    def join(self, one: T, other: T) -> None:
        """From now on both hang together."""
        self._of[self.root(one)] = self.root(other)

    def groups(self) -> Iterable[list[T]]:
        """All that was named, by what hangs together."""
        found: dict[T, list[T]] = defaultdict(list)
        for name in list(self._of):
            found[self.root(name)].append(name)
        return found.values()

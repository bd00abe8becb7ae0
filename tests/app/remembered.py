"""What windows ask of a build that many tests open, worked out once in a run: such a test is about the window."""

from collections.abc import Callable, Iterable, Iterator
from importlib import import_module
from inspect import isfunction
from types import GeneratorType
from typing import Any

import pytest

from loopsim import studies
from loopsim.build import Build

ASKERS = ("app.solving", "app.compare.subjects", "app.failing.catalogue", "app.fill.air_watch", "app.fill.plans")


class UnknownError(Exception):
    """Asked of something that is not shared."""


class Remembered:
    """Answers about builds that are known, and about these answers in turn; all else is worked out as ever.

    Builds and answers never change, so they are told apart by identity; being known keeps them alive.
    """

    def __init__(self) -> None:
        self._known: dict[int, object] = {}
        self._answers: dict[object, Any] = {}

    def __getattr__(self, name: str) -> Callable[..., Any]:
        """Stands for `loopsim.studies`."""
        return self.once(getattr(studies, name))

    def know(self, what: object) -> None:
        """What is asked of it is remembered from now on."""
        for each in what if isinstance(what, tuple) else (what,):
            self._known[id(each)] = each

    def once(self, study: Callable[..., Any]) -> Callable[..., Any]:
        """The study, which works out nothing twice."""

        def ask(*asked: Any, **named: Any) -> Any:
            try:
                key = study, self._key(asked), self._key(tuple(named.items()))
            except UnknownError:
                return study(*asked, **named)
            if key not in self._answers:
                answer = study(*asked, **named)
                if isinstance(answer, GeneratorType):
                    return self._as_it_comes(key, answer)
                self.know(answer)
                self._answers[key] = answer
            return self._answers[key]

        return ask

    def _as_it_comes(self, key: object, coming: Iterable[object]) -> Iterator[object]:
        """An answer in steps is known once it is complete."""
        found = []
        for each in coming:
            self.know(each)
            found.append(each)
            yield each
        self._answers[key] = tuple(found)

    def _key(self, asked: object) -> object:
        if asked is None or isinstance(asked, str | int | float | frozenset):
            return asked
        if isinstance(asked, tuple):
            return tuple(map(self._key, asked))
        if id(asked) in self._known:
            return id(asked)
        raise UnknownError

    def put_in_place(self, patch: pytest.MonkeyPatch) -> None:
        """Every study that these modules import is asked through this, until the patch is undone."""
        patch.setattr("app.solving.studies", self)
        for module in map(import_module, ASKERS):
            for name, study in list(vars(module).items()):
                if isfunction(study) and study.__module__.startswith(studies.__name__):
                    patch.setattr(module, name, self.once(study))


REMEMBERED = Remembered()


def shared(build: Build) -> Build:
    """The same build, to be opened by many tests."""
    REMEMBERED.know(build)
    return build

"""Which layouts are compared, and the comparison as it is worked out, layout by layout."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.compare.subjects import Looked, Subject, is_same, look
from app.stepwise import Stepwise
from loopsim.build import FILE_ENDING, Build, load
from loopsim.studies import Comparison
from loopsim.studies.comparing.compare import LEAST, MOST, side_by_side

__all__ = ["Comparing", "looks"]

Key = tuple[str, str]


def looks(subjects: tuple[Subject, ...]) -> Iterator[Looked]:
    """The study that answers."""
    return (look(subject) for subject in subjects)


class Comparing(QObject):
    """Keeps what was worked out of each layout until its drawing or data change.

    Signals
    -------
    changed()
        Other layouts are on offer or chosen, one more is worked out, or one has grown old.
    failed(Exception)
        A study broke down.
    """

    changed = Signal()
    failed = Signal(object)

    def __init__(
        self, build: Build, study: Callable[[Any], Iterator[Looked]] = looks, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.build = build
        self.is_held = False  # stopped by hand, or by a study that broke down
        self._files: dict[str, Build] = {}
        self._left_out: set[Key] = set()
        self._base: Key | None = None
        self._looked: dict[Key, Looked] = {}
        self._work = Stepwise(study, self)
        self._work.came.connect(self._on_came)
        self._work.ended.connect(self._on_ended)

    def close(self) -> None:
        """Work out nothing more."""
        self._work.close()

    @property
    def is_working(self) -> bool:
        """True while layouts are being worked out."""
        return self._work.is_working

    @property
    def offered(self) -> tuple[Subject, ...]:
        """All layouts that are drawn, those of the open build first."""
        builds = {"": self.build, **self._files}
        drawn = ((build, layout, file) for file, build in builds.items() for layout in build.layouts if layout.placed)
        return tuple(Subject(build, layout.name, file) for build, layout, file in drawn)

    @property
    def chosen(self) -> tuple[Subject, ...]:
        """Those that are compared, six at most."""
        return tuple(each for each in self.offered if each.key not in self._left_out)[:MOST]

    @property
    def missing(self) -> tuple[Subject, ...]:
        """Those of the chosen that are to be worked out, or to be worked out anew."""
        return tuple(each for each in self.chosen if not self._is_known(each))

    @property
    def base(self) -> Subject | None:
        """The one that the others are told against; the first if none was chosen."""
        shown = [each.subject for each in self.looked]
        return next((each for each in shown if each.key == self._base), shown[0] if shown else None)

    @property
    def looked(self) -> tuple[Looked, ...]:
        """What is known of the chosen layouts, each with its build as it is now."""
        return tuple(self._now(each) for each in self.chosen if self._has_answer(each))

    @property
    def problems(self) -> tuple[Looked, ...]:
        """The chosen layouts that cannot be worked out."""
        found = (self._looked.get(each.key) for each in self.chosen)
        return tuple(each for each in found if each is not None and each.problem)

    @property
    def comparison(self) -> Comparison | None:
        """The chosen layouts side by side, as far as they are worked out; None for fewer than two."""
        shown = self.looked
        if len(shown) < LEAST or self.base is None:
            return None
        number = [each.subject.key for each in shown].index(self.base.key)
        return side_by_side([each.solved for each in shown], number)

    def let_go(self) -> None:
        """Something is changing: leave the machine to the hand that does it."""
        self._work.stop()

    def set_build(self, build: Build) -> None:
        """The open build has changed, and is at rest."""
        if build is not self.build:
            self.build, self.is_held = build, False
            self.let_go()
            self.changed.emit()

    def ask(self) -> None:
        """Work out what is missing, unless that was stopped by hand or there is nothing to compare it with."""
        may = not self.is_held and not self._work.is_working and len(self.chosen) >= LEAST
        if may and self.missing:
            self._work.start(self.missing)
            self.changed.emit()

    def stop(self) -> None:
        """Let go of what is under way, until it is asked for again."""
        self._work.stop()
        self.is_held = True
        self.changed.emit()

    def go_on(self) -> None:
        """Go on after a stop."""
        self.is_held = False
        self.ask()

    def choose(self, subject: Subject, wanted: bool) -> None:
        """Take a layout in, or leave it out."""
        (self._left_out.discard if wanted else self._left_out.add)(subject.key)
        self._begin_anew()

    def tell_against(self, subject: Subject) -> None:
        """Tell the others against this one."""
        self._base = subject.key
        self.changed.emit()

    def add_file(self, path: Path) -> None:
        """Take in the layouts of another file; FileError if it cannot be read."""
        self._files[path.name.removesuffix(FILE_ENDING)] = load(path)
        self._begin_anew()

    def _begin_anew(self) -> None:
        self._work.stop()
        self.is_held = False
        self.changed.emit()

    def _is_known(self, subject: Subject) -> bool:
        known = self._looked.get(subject.key)
        return known is not None and is_same(known.subject, subject)

    def _has_answer(self, subject: Subject) -> bool:
        known = self._looked.get(subject.key)
        return known is not None and known.solved is not None

    def _now(self, subject: Subject) -> Looked:
        """What is known of a layout that was not changed, with its build as it is now; else as it was."""
        known = self._looked[subject.key]
        if not self._is_known(subject) or known.subject.build is subject.build:
            return known
        solved = replace(known.solved, build=subject.build, layout=subject.build.layout(subject.layout))
        return known._replace(subject=subject, solved=solved)

    def _on_came(self, _: object, looked: Looked) -> None:
        self._looked[looked.subject.key] = looked
        self.changed.emit()

    def _on_ended(self, _: object, error: Exception | None) -> None:
        self.is_held = error is not None
        self.changed.emit()
        if error is not None:
            self.failed.emit(error)

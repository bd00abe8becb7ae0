"""How the layout in view is filled and drained: worked out in the background once the hand has let go."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any, Literal, NamedTuple

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication

from app.answer import Answer
from app.solving import REST_MS
from app.stepwise import Stepwise
from loopsim.build import Build
from loopsim.build.ticks import differ_in_ticks_only
from loopsim.errors import LoopsimError
from loopsim.network import HeightGraph, height_graph
from loopsim.studies.fill import (
    DrainPlan,
    FillPlan,
    TiltPlan,
    drain_plan,
    fill_plan,
)

__all__ = ["Came", "Filled", "PlanQuestion", "Plans", "What", "plans"]

What = Literal["fill", "drain"]


class PlanQuestion(NamedTuple):
    """What is to be filled and drained, and through which opening it is poured in; None: the usual one."""

    build: Build
    layout: str
    opening: str | None = None
    tilts: TiltPlan | None = None


class Filled(NamedTuple):
    """The fill plan, and the graph of which its moments speak."""

    plan: FillPlan
    graph: HeightGraph


class Came(NamedTuple):
    """One of the plans; None where it cannot be made, and why."""

    what: What
    result: Any
    problem: str = ""


def plans(question: PlanQuestion) -> Iterator[Came]:
    """The study that answers: one plan after the other, that of filling first."""
    filled = _came("fill", _filled, question)
    yield filled
    yield _came("drain", partial(_drained, filled=filled.result), question)


def _came(what: What, study: Callable[[PlanQuestion], Any], question: PlanQuestion) -> Came:
    try:
        return Came(what, study(question))
    except LoopsimError as error:
        return Came(what, None, str(error))


def _filled(question: PlanQuestion) -> Filled:
    build, layout, opening, tilts = question
    return Filled(fill_plan(build, layout, opening, tilts), height_graph(build, build.layout(layout)))


def _drained(question: PlanQuestion, filled: Filled | None) -> DrainPlan:
    build, layout, *_ = question
    return drain_plan(build, layout, filled=None if filled is None else filled.plan)


class Plans(QObject):
    """Follows answers. What was found before stays until it is found anew, as old.

    Signals
    -------
    changed()
        A plan came, grew old, or is gone.
    failed(Exception)
        They could not be worked out.
    """

    changed = Signal()
    failed = Signal(object)

    def __init__(self, study: Callable[[Any], Iterator[Any]] = plans, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.opening: str | None = None  # chosen by the builder
        self.tilts: TiltPlan | None = None  # found by a search for the build as it is
        self.is_old = False
        self._key: tuple[int, str] | None = None
        self._question: PlanQuestion | None = None
        self._work = Stepwise(study, self)
        self._release = QTimer(self, singleShot=True, interval=REST_MS)
        self._release.timeout.connect(self._on_release)
        self._work.came.connect(self._on_came)
        self._work.ended.connect(self._on_ended)
        self._found: dict[What, Came] = {}

    @property
    def is_working(self) -> bool:
        """True while plans may still come."""
        return self._work.is_working or self._release.isActive()

    @property
    def filled(self) -> Filled | None:
        """The fill plan."""
        return self._result("fill")

    @property
    def drained(self) -> DrainPlan | None:
        """The drain plan."""
        return self._result("drain")

    def problem(self, what: What) -> str:
        """Why a plan cannot be made; empty where it can, or is not asked for yet."""
        return self._found[what].problem if what in self._found else ""

    @property
    def question(self) -> PlanQuestion | None:
        """What the plans are about; None where nothing can be planned."""
        return self._question

    def follow(self, answer: Answer) -> None:
        """Follow an answer: plans come once the hand has let go."""
        key = None if answer.point is None else (answer.revision, answer.layout)
        if key == self._key:
            return
        if self._only_ticked(answer):
            self._key = key
            self.changed.emit()
            return
        was = self.filled, self.drained, self.is_old, self.is_working
        if key is None or (self._key is not None and self._key[1] != answer.layout):
            self._found, self.opening = {}, None
        self._key, self.tilts, self.is_old = key, None, self.filled is not None
        self._work.stop()
        self._question = None if answer.point is None else PlanQuestion(answer.point.build, answer.layout)
        self._release.start()
        if (self.filled, self.drained, self.is_old, self.is_working) != was:  # once in a drag
            self.changed.emit()

    def _only_ticked(self, answer: Answer) -> bool:
        """True where steps were ticked and nothing else: the plans stand, and belong to the new build."""
        asked, point = self._question, answer.point
        if asked is None or point is None or asked.layout != answer.layout:
            return False
        if not differ_in_ticks_only(asked.build, point.build):
            return False
        self._question = asked._replace(build=point.build)
        return True

    def pour_at(self, opening: str | None) -> None:
        """Plan to pour in at another opening; None: the usual one."""
        if opening != self.opening:
            self.opening = opening
            self._begin()

    def use_tilts(self, tilts: TiltPlan | None) -> None:
        """Let air out at the end by tilts that a search has found."""
        if tilts is not self.tilts:
            self.tilts = tilts
            self._begin()

    def close(self) -> None:
        """Work out nothing more."""
        self._release.stop()
        self._work.close()

    def _on_release(self) -> None:
        """While a button of the mouse is held, a drag may go on."""
        if QGuiApplication.mouseButtons() == Qt.MouseButton.NoButton:
            self._begin()
        else:
            self._release.start()

    def _begin(self) -> None:
        asked = self._question
        if asked is None:
            return
        self._release.stop()
        known = height_graph(asked.build, asked.build.layout(asked.layout)).openings
        self.opening = self.opening if self.opening in known else None
        self._question = asked._replace(opening=self.opening, tilts=self.tilts)
        self.is_old = self.filled is not None
        self._work.start(self._question)
        self.changed.emit()

    def _on_came(self, _: PlanQuestion, item: Came) -> None:
        self._found[item.what] = item
        self.is_old = self.is_old and item.what != "fill"
        self.changed.emit()

    def _result(self, what: What) -> Any:
        return self._found[what].result if what in self._found else None

    def _on_ended(self, _: PlanQuestion, error: Exception | None) -> None:
        if error is not None:
            self.failed.emit(error)
        self.changed.emit()

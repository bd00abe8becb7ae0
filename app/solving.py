"""Asks the studies whenever the build changes, and announces what they answer.

In the frame, the operating point; after a short rest, heat and air, the curves and the failures. A study that was
quick the last time runs on the window's thread; a slow one runs in a worker, which holds a reference to the immutable
build. Of several questions that pile up behind a slow study only the newest is asked, an answer to an older build
is dropped, and what belongs to a rest is given up at once when the build changes.
"""

import logging
from dataclasses import replace
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, QThreadPool, QTimer, Signal

from app.answer import Answer, CaseHeat
from app.asker import QUICK_S, Asker, Study
from app.document import Document
from loopsim import studies
from loopsim.build import Build
from loopsim.errors import LoopsimError
from loopsim.studies import Failures, HeatPoint, OperatingPoint, PumpPlot
from loopsim.studies.tolerance.quick import quick_bands

__all__ = [
    "QUICK_S", "REST_MS", "Curves", "Frame", "Heat", "Question", "Scenario", "Solving", "course", "curves",
]  # fmt: skip

REST_MS = 150  # the builder's hand is at rest after this time without a change

_log = logging.getLogger(__name__)


class Question(NamedTuple):
    """What is to be solved."""

    build: Build
    layout: str


class Scenario(NamedTuple):
    """What is to be followed in time."""

    build: Build
    layout: str
    case: str
    stopped: tuple[str, ...]
    from_cold: bool
    minutes: float


class Curves(NamedTuple):
    """What is worked out at rest; no failures where they could not be."""

    plots: tuple[PumpPlot, ...]
    failures: Failures | None


class Frame:
    """The answer in the frame; each solve begins at the flows of the one before."""

    def __init__(self) -> None:
        self._last: OperatingPoint | None = None

    def __call__(self, question: Question) -> OperatingPoint:
        self._last = studies.operating_point(*question, near=self._last)
        return self._last


def course(scenario: Scenario) -> Any:
    """The course in time."""
    build, layout, case, stopped, from_cold, minutes = scenario
    return studies.transient(build, layout, case, stopped, minutes, from_cold)


def curves(question: Question) -> Curves:
    """The answer at rest."""
    return Curves(
        studies.pump_plots(question.build, question.layout), studies.failures(question.build, question.layout)
    )


class Heat:
    """Heat and air at rest, at every load case; each begins where the last answer stood.

    What a stopped pump leaves is worked out at the first case, for it hardly differs at the others.
    """

    def __init__(self) -> None:
        self._last: dict[str, HeatPoint] = {}

    def __call__(self, question: Question) -> tuple[CaseHeat, ...]:
        found = []
        for case in question.build.load_cases:
            near = self._last.get(case.name) or next(iter(self._last.values()), None)
            point = studies.heat_point(question.build, question.layout, case.name, near=near)
            self._last[case.name] = point
            stopped = None if found else studies.failures(question.build, question.layout, point)
            plots = () if stopped is None else studies.pump_plots(question.build, question.layout, stopped)
            found.append(CaseHeat(point, studies.air_plots(point), stopped, plots, quick_bands(point)))
        return tuple(found)


class Solving(QObject):
    """Keeps the answer in step with the document.

    Signals
    -------
    answered(Answer)
        After every change, and again when heat, or curves and failures, have followed.
    course_answered(Scenario, Transient or str)
        What was asked of `follow_course`, or why it could not be followed.
    failed(str)
        A study broke down; a short message for the builder. The rest of the program goes on.
    """

    answered = Signal(object)
    course_answered = Signal(object, object)
    failed = Signal(str)

    def __init__(
        self,
        document: Document,
        point_study: Study | None = None,
        curve_study: Study = curves,
        heat_study: Study | None = None,
        course_study: Study = course,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.answer: Answer | None = None
        self._pool = QThreadPool(self)
        self._points = Asker(point_study or Frame(), self._pool, self)
        self._curves = Asker(curve_study, self._pool, self)
        self._heat = Asker(heat_study or Heat(), self._pool, self, is_quick=False)
        self._courses = Asker(course_study, self._pool, self, is_quick=False)
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._asked: tuple[int, str] | None = None
        self._early: dict[str, Any] = {}  # parts of the answer that came before their operating point
        self._case = ""
        self._points.answered.connect(self._on_point)
        self._curves.answered.connect(self._on_curves)
        self._heat.answered.connect(self._on_heat)
        self._courses.answered.connect(self._on_course)
        self._rest.timeout.connect(self._on_rest)
        document.build_changed.connect(self._on_changed)
        document.layout_changed.connect(self._on_layout_changed)

    def start(self) -> None:
        """Solve the build that is open now, curves and all; heat follows at rest, for its laws load slowly.

        The rest begins with the first events, or heat would compete with the first picture of the window.
        """
        self._on_changed()
        self._curves.ask(self.question)
        self._rest.stop()
        QTimer.singleShot(0, self._rest, self._rest.start)

    def close(self) -> None:
        """Ask nothing more, and wait for what is still being worked out."""
        self._rest.stop()
        for asker in (self._points, self._curves, self._heat, self._courses):
            asker.close()
        self._pool.waitForDone()

    @property
    def question(self) -> Question:
        """What the window shows now."""
        return Question(self.document.build, self.document.layout.name)

    def view_case(self, name: str) -> None:
        """Bring another load case into view."""
        self._case = name
        if self.answer is not None:
            self._announce(self.answer)

    def stop_for_now(self, stopped: frozenset[str]) -> None:
        """Announce what would flow with some pumps stopped; with none, what does flow."""
        answer = self.answer
        if answer is None or answer.point is None or answer.revision != self.document.build.revision:
            return
        if stopped:
            answer = replace(answer, point=studies.operating_point(*self.question, stopped))
        self.answered.emit(answer)

    def follow_course(self, scenario: Scenario) -> None:
        """Work out a course in time, in a worker; one that was asked for before and still waits is forgotten."""
        self._courses.ask(scenario)

    def _on_course(self, scenario: Scenario, result: object) -> None:
        self.course_answered.emit(scenario, self._words(result) if isinstance(result, Exception) else result)

    def _on_layout_changed(self) -> None:
        self.answer = None  # curves of another layout are not older, they are wrong
        self._on_changed()
        if self.answer is None:
            self._announce(Answer(*_key(self.question), None))  # being worked out

    def _on_changed(self, *_: object) -> None:
        question = self.question
        if self._asked == _key(question):
            return
        self._asked = _key(question)
        self._rest.stop()
        for study in (self._heat, self._curves):
            study.drop()  # it speaks of a build that is gone, and would compete with the hand
        self._points.ask(question)

    def _on_rest(self) -> None:
        """Heat and curves, unless the sketch is known to have none; then the older ones go too."""
        self._rest.stop()
        answer = self.answer
        if answer is not None and answer.problem and answer.revision == self.document.build.revision:
            gone = {"plots_revision": answer.revision, "heat_revision": answer.revision}
            self._announce(Answer(answer.revision, answer.layout, None, problem=answer.problem, **gone))
        else:
            self._heat.ask(self.question)
            if answer is None or answer.plots_revision != self.document.build.revision:
                self._curves.ask(self.question)

    def _on_point(self, question: Question, result: object) -> None:
        if _key(question) != self._asked:
            return
        self._rest.start()  # it counts from the answer, however long that took
        problem = self._words(result) if isinstance(result, Exception) else ""
        if problem and not isinstance(result, LoopsimError):
            self.failed.emit(problem)
        older = self.answer or Answer(*self._asked, None)
        revision, layout = self._asked
        point = None if problem else result
        early, self._early = self._early, {}
        early = early if early.pop("revision", None) == revision else {}
        self._announce(replace(older, revision=revision, layout=layout, point=point, problem=problem, **early))

    def _on_curves(self, question: Question, result: object) -> None:
        found = self._found(question, result, Curves((), None))
        self._add(question, plots=found.plots, failures=found.failures, plots_revision=question.build.revision)

    def _on_heat(self, question: Question, result: object) -> None:
        """Heat, or the sentence that says what keeps it from being worked out."""
        problem = str(result) if isinstance(result, LoopsimError) else ""
        found = () if problem else self._found(question, result, ())
        self._add(question, heat=found, heat_revision=question.build.revision, heat_problem=problem)

    def _found(self, question: Question, result: object, nothing: Any) -> Any:
        """What a study answered; nothing, and a message, where it broke down.

        A sketch that is refused is told with its operating point, and not once more with what follows from that.
        """
        if not isinstance(result, Exception):
            return result
        answer = self.answer
        flows = answer is not None and (answer.revision, answer.layout) == self._asked and answer.point is not None
        if _key(question) == self._asked and (flows or not isinstance(result, LoopsimError)):
            self.failed.emit(self._words(result))
        return nothing

    def _add(self, question: Question, **values: Any) -> None:
        """Put what followed into the answer; what came before its operating point waits for it."""
        if _key(question) != self._asked:
            return
        answer = self.answer
        if answer is None or (answer.revision, answer.layout) != self._asked or not (answer.point or answer.problem):
            kept = self._early if self._early.get("revision") == question.build.revision else {}
            self._early = {**kept, **values, "revision": question.build.revision}
            return
        self._announce(replace(answer, **values))

    def _words(self, error: Exception) -> str:
        """A sentence for what the studies refuse; anything else is our defect, and is reported as such."""
        if isinstance(error, LoopsimError):
            return str(error)
        _log.error("a study broke down", exc_info=error)
        return f"This build could not be worked out ({type(error).__name__}: {error}); the build itself is unharmed."

    def _announce(self, answer: Answer) -> None:
        self.answer = replace(answer, case=self._case)
        self.answered.emit(self.answer)


def _key(question: Question) -> tuple[int, str]:
    return question.build.revision, question.layout

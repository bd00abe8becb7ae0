"""Whatever is done to a plan, undoing all of it gives the first build, and redoing it the last."""

import random

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.plan.handles import corners_of, ports_of
from loopsim.build import from_text, to_text
from loopsim.build.arranging import ALIGNMENTS
from loopsim.parts import KINDS
from tests.app.plan.conftest import ALT, NONE, SHIFT

KEYS = [
    Qt.Key.Key_R,
    Qt.Key.Key_X,
    Qt.Key.Key_L,
    Qt.Key.Key_K,
    Qt.Key.Key_G,
    Qt.Key.Key_E,
    Qt.Key.Key_T,
    Qt.Key.Key_P,
    Qt.Key.Key_W,
    Qt.Key.Key_Period,
    Qt.Key.Key_Insert,
    Qt.Key.Key_Delete,
    Qt.Key.Key_Left,
    Qt.Key.Key_Up,
    Qt.Key.Key_PageDown,
    Qt.Key.Key_Return,
    Qt.Key.Key_Escape,
    Qt.Key.Key_4,
    Qt.Key.Key_I,
    Qt.Key.Key_Space,
    Qt.Key.Key_M,
    Qt.Key.Key_N,
    Qt.Key.Key_J,
    Qt.Key.Key_Backspace,
]


class Fidget:
    """A builder who does anything at all."""

    def __init__(self, plan, mouse, seed: int) -> None:
        self.plan, self.mouse, self.any = plan, mouse, random.Random(seed)

    def do_something(self) -> None:
        self.any.choice((self.press, self.press, self.drag, self.click, self.place, self.copy, self.align))()

    def press(self) -> None:
        QTest.keyClick(self.plan, self.any.choice(KEYS), self.any.choice((NONE, NONE, SHIFT)))

    def drag(self) -> None:
        self.mouse.drag(self.somewhere(), self.somewhere(), modifiers=self.any.choice((NONE, NONE, ALT, SHIFT)))

    def click(self) -> None:
        self.mouse.click(*self.somewhere(), self.any.choice((NONE, NONE, SHIFT, ALT)))

    def place(self) -> None:
        kind = self.any.choice([*sorted(KINDS), "block"])
        many = {"openings": self.any.choice("2468")} if kind == "block" else {}
        self.plan.place(KINDS[kind](id=kind, name=KINDS[kind].title, **many))

    def copy(self) -> None:
        self.any.choice((self.plan.arrange.duplicate, self.plan.arrange.copy, self.plan.arrange.paste))()

    def align(self) -> None:
        self.any.choice((lambda: self.plan.arrange.align(self.any.choice(ALIGNMENTS)), self.plan.arrange.group))()

    def somewhere(self) -> tuple[float, float]:
        """At a part, a port or a corner, or anywhere."""
        scene = self.plan.scene()
        points = [item.pos() for item in scene.parts.values()]
        points += [point for _, point in ports_of(scene, only_open=False)] + [point for *_, point in corners_of(scene)]
        points += [item.middle() for item in scene.runs.values()]
        if points and self.any.random() < 0.8:
            point = self.any.choice(points)
            return point.x(), -point.y()
        return self.any.uniform(0.0, 890.0), self.any.uniform(0.0, 540.0)


@pytest.mark.parametrize("seed", range(12))
def test_any_session_is_undone_to_its_beginning_and_redone_to_its_end(seed, document, plan, mouse, build):
    fidget = Fidget(plan, mouse, seed)
    for _ in range(60):
        fidget.do_something()
    plan.cancel()
    last, steps = document.build, document.history.count()
    assert from_text(to_text(last)) == last
    while document.history.canUndo():
        document.history.undo()
    assert document.build is build
    assert set(plan.scene().parts) == set(build.layouts[0].placements)
    while document.history.canRedo():
        document.history.redo()
    assert document.build is last
    assert document.history.count() == steps
    assert set(plan.scene().runs) == set(document.layout.runs_by_id)

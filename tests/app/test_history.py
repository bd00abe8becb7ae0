"""Undo: every edit is a step with a name, there is no end to them, and they cost no memory once undone."""

import gc
import random
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.build_files import sample_build
from app.document import Document
from app.window import MainWindow
from loopsim.build import Build, edits, load, save
from loopsim.build.edits import Edit

STEPS = 10_000
SAMPLE = sample_build("render-plinth")


def _move(build: Build, chance: random.Random) -> Edit:
    layout = chance.choice(build.layouts)
    part = chance.choice(sorted(layout.placements))
    return edits.move(build, layout.name, part, chance.uniform(0, 1000), chance.uniform(0, 500))


def _turn(build: Build, chance: random.Random) -> Edit:
    layout = chance.choice(build.layouts)
    return edits.rotate(build, layout.name, chance.choice(sorted(layout.placements)), 90.0)


def _rename(build: Build, chance: random.Random) -> Edit:
    return edits.change_part(build, chance.choice(build.parts).id, name=f"Part {chance.random():.4f}")


def _bend(build: Build, chance: random.Random) -> Edit:
    layout = chance.choice([layout for layout in build.layouts if layout.runs])
    return edits.change_run(build, layout.name, chance.choice(layout.runs).id, radius_mm=chance.uniform(20, 60))


def _take_run_away(build: Build, chance: random.Random) -> Edit:
    layout = chance.choice(build.layouts)
    if len(layout.runs) < 3:
        return _move(build, chance)
    return edits.remove_run(build, layout.name, chance.choice(layout.runs).id)


def _room(build: Build, chance: random.Random) -> Edit:
    return edits.change_build(build, note=f"note {chance.random():.4f}")


KINDS: tuple[Callable[[Build, random.Random], Edit], ...] = (_move, _turn, _rename, _bend, _room, _take_run_away)
WEIGHTS = (60, 10, 10, 10, 9, 1)


def edit_at_random(document: Document, chance: random.Random) -> None:
    (kind,) = chance.choices(KINDS, WEIGHTS)
    document.do(kind(document.build, chance))


@pytest.mark.slow
def test_ten_thousand_steps_replayed_backward_give_the_first_file_byte_for_byte(tmp_path: Path):
    first, last, back = (tmp_path / f"{name}.loop.json" for name in ("first", "last", "back"))
    save(SAMPLE, first)
    document, chance = Document(load(first), first), random.Random(5)
    while document.history.count() < STEPS:
        edit_at_random(document, chance)
    assert all(document.history.text(number) for number in range(STEPS))
    save(document.build, last)
    assert last.read_bytes() != first.read_bytes()
    while document.history.canUndo():
        document.history.undo()
    document.save(back)
    assert back.read_bytes() == first.read_bytes()
    while document.history.canRedo():
        document.history.redo()
    document.save(back)
    assert back.read_bytes() == last.read_bytes()


@given(seed=st.integers(0, 2**32), steps=st.integers(1, 40))
@settings(max_examples=25, deadline=None)
def test_all_undone_and_all_redone_is_the_same_build(qapp, seed: int, steps: int):  # noqa: ARG001
    document, chance = Document(SAMPLE), random.Random(seed)
    for _ in range(steps):
        edit_at_random(document, chance)
    last = document.build
    document.history.setIndex(0)
    assert document.build is SAMPLE
    assert document.history.isClean()
    document.history.setIndex(document.history.count())
    assert document.build is last


def test_the_history_has_no_end(document: Document):
    assert document.history.undoLimit() == 0  # Qt's word for none


def test_one_drag_is_one_step_and_its_name_reads_well_after_undo(document: Document):
    drag, name = object(), document.layout.name
    for x_mm in range(300, 340):
        document.do(edits.move(document.build, name, "pump_a", float(x_mm), 150.0), drag)
    assert document.history.count() == 1
    assert document.history.undoText() == "Move Pump A"


def test_rounds_of_edit_and_undo_leave_nothing_of_ours_behind(qtbot: QtBot, make_window: Callable[[Build], MainWindow]):
    """With the whole window following: plan, strip, benches and studies hold on to nothing that is gone.

    How many bytes that is, is measured in tests/benchmarks/test_memory.py.
    """
    window = make_window(sample_build("render-plinth"))
    document, name = window.document, window.document.layout.name

    def rounds(count: int) -> None:
        for number in range(count):
            document.do(edits.move(document.build, name, "pump_a", 300.0 + number % 50, 150.0))
            document.history.undo()
            if number % 10 == 0:
                QApplication.processEvents()
        qtbot.waitUntil(lambda: is_at_rest(window))

    rounds(10)
    early = alive()
    rounds(60)
    # Work that was given up lets go when its thread comes round to it.
    qtbot.waitUntil(lambda: alive() <= 1.02 * early)


def is_at_rest(window: MainWindow) -> bool:
    """Flow, plots and heat are those of the build as it is."""
    answer, now = window.solving.answer, window.document.build.revision
    return answer.plots_revision == now and answer.heat_revision == now


def alive() -> int:
    """How many objects of the program's own kinds there are."""
    gc.collect()
    return sum(str(type(thing).__module__).startswith(("app.", "loopsim.")) for thing in gc.get_objects())

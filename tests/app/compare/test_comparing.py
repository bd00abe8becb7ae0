"""Which layouts are compared, what is worked out anew after an edit, and what the words say."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.compare import words
from app.compare.comparing import Comparing, looks
from app.compare.subjects import Looked, Subject, is_same, look
from loopsim.build import Build, edits, save
from loopsim.build.layout_edits import add_layout, copy_layout
from loopsim.errors import FileError
from loopsim.studies import ComparedRow, compare
from tests.studies.failing.struck import LAYOUT, machine


class Counted:
    """The real study, with word of what it was asked."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def __call__(self, subjects: tuple[Subject, ...]):
        for subject in subjects:
            self.asked.append(subject.layout)
            yield look(subject)


@pytest.fixture
def two() -> Build:
    """The machine, and a copy of its layout with a slower pump."""
    build = copy_layout(machine(), LAYOUT, "slower").build
    return edits.change_placement(build, "slower", "pump", speed_percent=70.0).build


@pytest.fixture
def made():
    found: list[Comparing] = []
    yield found
    for each in found:
        each.close()


def new(made: list[Comparing], build: Build, study=looks) -> Comparing:
    made.append(Comparing(build, study))
    return made[-1]


def wait(qtbot: QtBot, comparing: Comparing) -> None:
    comparing.ask()
    qtbot.waitUntil(lambda: not comparing.missing and not comparing.is_working)


def test_the_comparison_is_that_of_the_study(qtbot: QtBot, made, two: Build):
    comparing = new(made, two)
    assert comparing.comparison is None
    wait(qtbot, comparing)
    expected = compare([(two, LAYOUT), (two, "slower")])
    assert comparing.comparison.rows == expected.rows
    assert comparing.comparison.drawing == expected.drawing


def test_only_what_an_edit_touched_is_worked_out_anew(qtbot: QtBot, made, two: Build):
    comparing = new(made, two, counted := Counted())
    wait(qtbot, comparing)
    assert counted.asked == [LAYOUT, "slower"]
    faster = edits.change_placement(two, "slower", "pump", speed_percent=80.0).build
    comparing.set_build(faster)
    assert [each.layout for each in comparing.missing] == ["slower"]
    wait(qtbot, comparing)
    assert counted.asked == [LAYOUT, "slower", "slower"]
    assert comparing.comparison.rows == compare([(faster, LAYOUT), (faster, "slower")]).rows
    comparing.set_build(edits.change_part(faster, "filter", name="Sieve").build)
    assert len(comparing.missing) == 2, "data of a part belong to every layout"


def test_the_name_of_the_build_changes_nothing_that_is_compared(two: Build):
    renamed = edits.change_build(two, name="another name").build
    assert is_same(Subject(two, LAYOUT), Subject(renamed, LAYOUT))
    assert not is_same(Subject(two, LAYOUT), Subject(two, "slower"))


def test_layouts_of_another_file_are_taken_in_and_one_can_be_left_out(qtbot: QtBot, made, two: Build, tmp_path: Path):
    save(machine(load=150.0), tmp_path / "light.loop.json")
    comparing = new(made, two)
    comparing.add_file(tmp_path / "light.loop.json")
    assert [each.title for each in comparing.chosen] == [LAYOUT, "slower", f"{LAYOUT} (light)"]
    comparing.choose(comparing.offered[1], wanted=False)
    wait(qtbot, comparing)
    comparing.tell_against(comparing.offered[2])
    assert comparing.base.file == "light"
    assert comparing.comparison.base == 1
    margin = comparing.comparison.row("margin_k, full duty")
    assert margin.values[1] > margin.values[0]
    with pytest.raises(FileError, match=r"none.loop.json"):
        comparing.add_file(tmp_path / "none.loop.json")


def test_an_empty_layout_is_not_offered_and_one_that_cannot_be_solved_says_why(qtbot: QtBot, made, two: Build):
    empty = add_layout(two, "empty").build
    assert [each.layout for each in new(made, empty).offered] == [LAYOUT, "slower"]

    def refusing(subjects):
        for subject in subjects:
            yield Looked(subject, None, problem="no way round") if subject.layout == "slower" else look(subject)

    comparing = new(made, two, refusing)
    wait(qtbot, comparing)
    assert [each.problem for each in comparing.problems] == ["no way round"]
    assert comparing.comparison is None


def test_stopped_by_hand_it_waits_to_be_asked_again(qtbot: QtBot, made, two: Build):
    comparing = new(made, two)
    comparing.ask()
    comparing.stop()
    comparing.ask()
    assert not comparing.is_working
    comparing.go_on()
    assert comparing.is_working
    wait(qtbot, comparing)
    assert comparing.comparison is not None


def test_a_study_that_breaks_down_is_told_once_and_not_asked_again_by_itself(qtbot: QtBot, made, two: Build):
    def broken(_):
        raise ZeroDivisionError("no such thing")
        yield

    comparing = new(made, two, broken)
    with qtbot.waitSignal(comparing.failed):
        comparing.ask()
    comparing.ask()
    assert not comparing.is_working


ROW = ComparedRow("flow_l_h", "flow", "l_h", "more", (334 / 3.6e6, 272 / 3.6e6, None))


def test_the_best_of_a_row_has_a_sign_and_differences_have_theirs():
    assert [words.cell(ROW, number) for number in range(3)] == ["◆ 334", "272", "–"]
    assert [words.difference(ROW, number, 1) for number in range(3)] == ["◆ +62", "272", "–"]
    assert words.difference(ROW, 1, 0) == "−62"


def test_the_words_say_who_is_best_and_what_differs(two: Build):
    comparison = compare([(two, LAYOUT), (two, "slower")])
    names = (LAYOUT, "slower")
    count = max(sum(number in row.best for row in comparison.rows) for number in range(2))
    headline, line = words.best_of(comparison, names)
    assert headline.endswith(f"is best in {count} of {len(comparison.rows)}")
    assert line.startswith("Then ")
    assert words.differing(comparison, names)[1:] == ["slower: Pump at 70 % instead of 100 %."]
    assert words.heading(comparison.row("margin_k, warm day")) == "margin, warm day, K"

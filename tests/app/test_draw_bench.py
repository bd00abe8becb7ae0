"""On the Draw bench, what is to be looked at leads to its place, and its remedy is a button."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.window import MainWindow
from tests.build.test_taking_out import ring

LEFT = Qt.MouseButton.LeftButton


def settled(window: MainWindow, qtbot) -> None:
    qtbot.waitUntil(
        lambda: window.bench.answer is not None and window.bench.answer.revision == window.document.build.revision
    )


def test_a_warning_stands_on_the_draw_bench_with_its_remedy_as_a_button(make_window, qtbot):
    window = make_window(ring(tee=True))
    window.bench.show_bench("Draw")
    settled(window, qtbot)
    rows = window.bench.page.warnings.rows
    assert [row.finding.code for row in rows if row.finding][:2] == ["open_end", "no_vessel"]
    assert rows[0].mend.isVisible()
    QTest.mouseClick(rows[0].mend, LEFT)
    settled(window, qtbot)
    assert "tee" not in window.document.layout.placements
    assert window.document.history.undoText() == "Take Tee out of its line"
    rows[0].label.linkActivated.emit("place")
    assert window.document.selection == {"pump"}


def test_a_part_is_taken_out_of_its_line_by_key(make_window):
    window = make_window(ring(tee=True))
    window.plan.setFocus()
    window.document.select({"tee"})
    QTest.keyClick(window.plan, Qt.Key.Key_Backspace, Qt.KeyboardModifier.ShiftModifier)
    assert "tee" not in window.document.layout.placements
    window.document.history.undo()
    assert "tee" in window.document.layout.placements


def test_warnings_of_the_selected_part_alone_are_listed(make_window, qtbot):
    window = make_window(ring(tee=True))
    window.bench.show_bench("Draw")
    settled(window, qtbot)
    window.document.select({"pump"})
    assert {row.finding.part for row in window.bench.page.warnings.rows if row.finding} == {"pump"}

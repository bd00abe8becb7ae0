"""The render plinth drawn from nothing, with mouse and keys alone, in a real window.

What a builder knows of the parts (curves from charts and from the bench) is on the shelf, as it would be; everything
else is drawn. A gesture is one click, one drag, one key, or one number typed with Enter.
"""

import pytest
from PySide6.QtCore import QObject, QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog

from app.build_files import sample_build
from loopsim.build import Build, Layout
from loopsim.build.shelf import change_shelf
from loopsim.studies import operating_point
from tests.app.plan.conftest import LEFT, NONE, SHIFT, Mouse

MOST_GESTURES = 150
MUST_NOT_BE = {"open_port", "tight_bend", "too_high", "tubes_meet", "outside", "backward_exit", "sideways_exit"}
KEPT = (
    "reservoir",
    "pump_a",
    "processor",
    "graphics_1",
    "radiator_1",
    "intake_filter",
    "fan_1",
    "supply_1",
    "memory",
    "fill_valve",
    "fill_port",
)


@pytest.fixture(scope="module")
def plinth() -> Build:
    return sample_build("render-plinth")


@pytest.fixture
def builder(plinth, make_window, shelf_file):
    """A builder before an empty plinth, with the parts on the shelf."""
    for item in (*plinth.tubes, *(plinth.part(part_id) for part_id in KEPT)):
        change_shelf(shelf_file, lambda shelf, item=item: shelf.with_item(item))
    room = plinth.enclosure.with_values(openings=())
    window = make_window(
        Build(name="Plinth", enclosure=room, coolants=plinth.coolants, layouts=(Layout(name="two pumps in series"),))
    )
    window.resize(1280, 800)
    QApplication.processEvents()  # lays out
    window.plan.fit()
    return Builder(window)


class Builder:
    """Two hands: every method is one gesture, unless it says otherwise."""

    def __init__(self, window) -> None:
        self.window, self.plan, self.document = window, window.plan, window.document
        self.mouse = Mouse(window.plan)
        self.gestures = 0

    def click(self, x_mm: float, y_mm: float) -> None:
        self.gestures += 1
        self.mouse.click(x_mm, y_mm)

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        self.gestures += 1
        self.mouse.drag(start, end)

    def key(self, key: Qt.Key, modifiers=NONE) -> None:
        self.gestures += 1
        QTest.keyClick(QApplication.focusWidget(), key, modifiers)
        QApplication.processEvents()

    def height(self, number: str) -> None:
        """A number and Enter: the height of what is selected."""
        self.number(number)
        QTest.keyClick(self.plan, Qt.Key.Key_Return)

    def number(self, number: str) -> None:
        """A number: while a run is drawn, the height of its corners to come."""
        self.gestures += 1
        QTest.keyClicks(self.plan, number)

    def take(self, button) -> None:
        """Choose in the drawer."""
        self.gestures += 1
        QTest.mouseClick(button, LEFT, NONE, QPoint(8, 8))
        QApplication.processEvents()

    def place(self, kept: str, x_mm: float, y_mm: float, *keys: tuple[Qt.Key, object]) -> str:
        """Take from the shelf, turn, set down: several gestures. The id of the part."""
        return self.set_down(self.window.drawer.kept_button(kept), x_mm, y_mm, *keys)

    def set_down(self, button, x_mm: float, y_mm: float, *keys: tuple[Qt.Key, object]) -> str:
        self.take(button)
        for key, modifiers in keys:
            self.key(key, modifiers)
        self.click(x_mm, y_mm)
        (part,) = self.document.selection
        return part

    def one_more(self, x_mm: float, y_mm: float) -> None:
        """One more of the kind placed last: two gestures."""
        self.key(Qt.Key.Key_P)
        self.click(x_mm, y_mm)

    def run(self, *places: tuple[float, float] | str) -> None:
        """A click for every place, a number for every height on the way: as many gestures."""
        for place in places:
            if isinstance(place, str):
                self.number(place)
            else:
                self.click(*place)


class DialogWatch(QObject):
    """Notes every dialog that opens, and closes it."""

    def __init__(self) -> None:
        super().__init__()
        self.opened: list[str] = []

    def eventFilter(self, watched, event):  # noqa: N802  the name is Qt's
        if event.type() == event.Type.Show and isinstance(watched, QDialog):
            self.opened.append(type(watched).__name__)
            QTimer.singleShot(0, watched.close)
        return False


@pytest.fixture
def dialogs(qapp):
    """Every dialog that opens meanwhile."""
    watch = DialogWatch()
    qapp.installEventFilter(watch)
    yield watch.opened
    qapp.removeEventFilter(watch)


R, QUARTER_BACK = (Qt.Key.Key_R, NONE), (Qt.Key.Key_R, SHIFT)


def place_everything(builder: Builder) -> None:
    """Reservoir, pumps and blocks from left to right, the tees, the radiators at both ends; then air and power."""
    builder.place("Reservoir", 385, 150)
    builder.place("Pump A", 620, 150)
    builder.one_more(740, 150)
    builder.place("Processor", 900, 150)
    builder.place("Graphics 1", 700, 430, R, R)
    builder.key(Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
    builder.drag((720, 410), (700, 320))
    tee = builder.window.drawer.buttons["tee"]
    builder.set_down(tee, 900, 375, QUARTER_BACK)
    builder.height("10")
    builder.set_down(tee, 500, 375, R)
    builder.height("10")
    builder.place("Radiator 1", 40, 260, QUARTER_BACK)
    builder.height("2")
    builder.place("Radiator 1", 1140, 260, R)
    builder.height("2")
    builder.place("Intake filter", 590, 555, QUARTER_BACK)
    builder.place("Fan 1", 460, 525, QUARTER_BACK)
    for x in (525, 590, 655, 720):
        builder.one_more(x, 525)
    builder.place("Memory", 900, 245)
    builder.place("Supply 1", 140, 150, R)
    builder.one_more(140, 370)


def draw_every_run(builder: Builder) -> None:
    """From the reservoir round the loop, the two graphics blocks side by side; then valve and fill port set in."""
    builder.take(builder.window.drawer.kept_button("10/13 mm clear tube"))
    builder.run((465, 150), (590, 150))
    builder.run((650, 150), (710, 150))
    builder.run((770, 150), (860, 150))
    builder.run((940, 150), (1010, 150), (914, 375))
    builder.run((900, 389), (760, 430))
    builder.run((900, 361), (760, 320))
    builder.run((640, 430), (500, 389))
    builder.run((640, 320), (500, 361))
    builder.run((486, 375), (220, 375), (220, 500), (40, 460))
    builder.run((40, 60), (40, 20), (1140, 60))
    over_the_beam = ("30", (700, 500), "53", (630, 500), (570, 500), "36", (500, 500))
    builder.run((1140, 460), (1140, 500), *over_the_beam, "38", (255, 500), (305, 150))
    builder.set_down(builder.window.drawer.kept_button("Fill valve"), 492, 150)
    builder.set_down(builder.window.drawer.kept_button("Fill port"), 540, 150)


def test_the_plinth_is_drawn_from_nothing_with_mouse_and_keys(builder, plinth, dialogs, record_property):
    place_everything(builder)
    draw_every_run(builder)
    record_property("gestures", builder.gestures)
    print(f"\n    {builder.gestures} gestures")
    drawn = operating_point(builder.document.build)
    expected = operating_point(plinth)
    assert len(builder.document.layout.runs) == 13
    assert drawn.loop_flow == pytest.approx(expected.loop_flow, rel=1e-3)
    assert [each.text for each in drawn.findings if each.code in MUST_NOT_BE] == []
    assert builder.gestures <= MOST_GESTURES
    assert dialogs == []


def test_the_whole_session_can_be_taken_back_stroke_by_stroke(builder):
    before = builder.document.build
    place_everything(builder)
    draw_every_run(builder)
    after = builder.document.build
    while builder.document.history.canUndo():
        builder.document.history.undo()
    assert builder.document.build is before
    while builder.document.history.canRedo():
        builder.document.history.redo()
    assert builder.document.build is after

"""A small machine of our own, shown in a plan of a fixed size."""

from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.document import Document
from app.plan import PlanView
from app.plan.coordinates import to_scene
from app.theme import LIGHT
from loopsim.build import Build, Enclosure, Layout, Placement
from loopsim.parts import Block, Corner, Pump, Radiator, Reservoir, Tube, TubeRun

NONE, SHIFT, ALT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier
LEFT, MIDDLE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton


@pytest.fixture
def build() -> Build:
    """Reservoir, pump, block and radiator; one run from reservoir to pump, one with corners from pump to block."""
    parts = (
        Reservoir(id="vessel", name="Vessel"),
        Pump(id="pump", name="Pump A"),
        Block(id="block", name="Block"),
        Radiator(id="rad", name="Radiator", ports_at="one end"),
    )
    placed = (
        Placement(part="vessel", x_mm=150, y_mm=100),
        Placement(part="pump", x_mm=350, y_mm=100),
        Placement(part="block", x_mm=600, y_mm=300),
        Placement(part="rad", x_mm=400, y_mm=450),
    )
    runs = (
        TubeRun(id="suction", start="vessel.outlet", end="pump.inlet", tube="tube"),
        TubeRun(
            id="rise",
            start="pump.outlet",
            end="block.inlet",
            tube="tube",
            corners=(Corner(x_mm=450, y_mm=100), Corner(x_mm=450, y_mm=300)),
        ),
    )
    layout = Layout(name="one pump", placed=placed, runs=runs)
    room = Enclosure(length_mm=900, width_mm=550, clear_height_mm=80)
    return Build(
        name="Test bench", enclosure=room, tubes=(Tube(id="tube", name="Tube"),), parts=parts, layouts=(layout,)
    )


@pytest.fixture
def document(build, qapp) -> Document:  # noqa: ARG001
    """The machine, open."""
    return Document(build)


@pytest.fixture
def plan(document, qtbot) -> PlanView:
    """The plan of it, 900 by 600 pixels, shown and fitted."""
    view = PlanView(document, LIGHT)
    qtbot.addWidget(view)
    view.resize(900, 600)
    with qtbot.waitExposed(view):
        view.show()
    view.fit()
    view.setFocus()
    return view


class Mouse:
    """A hand at the mouse: places in plan millimetres, events at whole pixels of the viewport."""

    def __init__(self, plan: PlanView) -> None:
        self.plan, self.port = plan, plan.viewport()

    def pixel(self, x_mm: float, y_mm: float) -> QPoint:
        return self.plan.to_pixel(to_scene(x_mm, y_mm)).toPoint()

    def mm(self, pixel: QPoint) -> tuple[float, float]:
        point = self.plan.to_point(QPointF(pixel))
        return point.x(), -point.y()

    def click(self, x_mm, y_mm, modifiers=NONE) -> None:
        QTest.mouseMove(self.port, self.pixel(x_mm, y_mm))
        QTest.mouseClick(self.port, LEFT, modifiers, self.pixel(x_mm, y_mm))
        QApplication.processEvents()

    def double_click(self, x_mm, y_mm) -> None:
        self.click(x_mm, y_mm)
        QTest.mouseDClick(self.port, LEFT, NONE, self.pixel(x_mm, y_mm))
        QApplication.processEvents()

    def move(self, x_mm, y_mm) -> None:
        QTest.mouseMove(self.port, self.pixel(x_mm, y_mm))
        QApplication.processEvents()

    def drag(self, start, *stops, modifiers=NONE, button=LEFT, release=True) -> None:
        pixels = [self.pixel(*place) for place in (start, *stops)]  # all now: a drag may move the sheet itself
        QTest.mousePress(self.port, button, modifiers, pixels[0])
        for before, after in pairwise(pixels):
            self._move_held((before + after) / 2, button, modifiers)
            self._move_held(after, button, modifiers)
        if release:
            QTest.mouseRelease(self.port, button, modifiers, pixels[-1])
        QApplication.processEvents()

    def _move_held(self, pixel, button, modifiers) -> None:
        """QTest.mouseMove knows of no modifiers and, off screen, of no buttons: send the event that a window would."""
        local = QPointF(pixel)
        event = QMouseEvent(
            QMouseEvent.Type.MouseMove, local, self.port.mapToGlobal(local), Qt.MouseButton.NoButton, button, modifiers
        )
        QApplication.sendEvent(self.port, event)


@pytest.fixture
def mouse(plan) -> Mouse:
    """A hand on the plan."""
    return Mouse(plan)

"""The flow bench: the budget as bars, the grade line, and what a click on either selects."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTabBar
from pytestqt.qtbot import QtBot

from app.build_files import sample_build
from app.flow_bench import FlowBench
from app.grade_axes import GradeAxes
from app.grade_plot import GradePlot
from app.plan.handles import Hit
from app.plan.tips import tip
from app.theme import DARK, Follow, themes
from app.window import MainWindow
from loopsim.build import Build, Enclosure, Placement, edits
from loopsim.parts import Corner, LiquidExchanger, Pump, Reservoir, Tube, TubeRun
from loopsim.studies import budgets, grade_line, operating_point

Make = Callable[[Build], MainWindow]
SERIES = "two pumps in series"


def open_view(window: MainWindow, name: str) -> FlowBench:
    """The flow bench, with a view brought up by a click."""
    window.bench.show_bench("Flow")
    page = window.bench.page
    assert isinstance(page, FlowBench)
    click_tab(page.views, name)
    return page


def click_tab(tabs: QTabBar, name: str) -> None:
    number = [tabs.tabText(each) for each in range(tabs.count())].index(name)
    QTest.mouseClick(tabs, Qt.MouseButton.LeftButton, pos=tabs.tabRect(number).center())


def click_at(plot: GradePlot, distance: float) -> None:
    x = plot.x_of(distance)
    QTest.mouseClick(plot, Qt.MouseButton.LeftButton, pos=QPoint(round(x), plot.height() // 2))


def solved(qtbot: QtBot, window: MainWindow) -> None:
    """Wait until the operating point in view belongs to the build and layout in view."""

    def is_solved() -> bool:
        answer, document = window.solving.answer, window.document
        key = (document.build.revision, document.layout.name)
        return answer is not None and (answer.revision, answer.layout) == key and answer.point is not None

    qtbot.waitUntil(is_solved)


def test_the_budget_has_bars_as_long_as_the_shares_and_a_running_share(window: MainWindow):
    page = open_view(window, "Curves and budget")
    (budget,) = budgets(operating_point(window.document.build))
    largest = budget.lines[0].part.share
    assert page.table.bar_lengths() == [pytest.approx(line.part.share / largest) for line in budget.lines]
    assert [row.item for row in page.table.rows()] == [line.part.id for line in budget.lines]
    assert [row.cells[2] for row in page.table.rows()] == [f"{100 * line.running:.0f}" for line in budget.lines]
    assert page.table.rows()[-1].cells[2] == "100"


def test_names_in_the_budget_are_not_cut_in_a_small_window(qtbot: QtBot, window: MainWindow):
    window.resize(1280, 800)
    page = open_view(window, "Curves and budget")
    qtbot.waitUntil(lambda: page.table.columnWidth(0) > 50)
    metrics = page.table.fontMetrics()
    longest = max(metrics.horizontalAdvance(row.cells[0]) for row in page.table.rows())
    assert page.table.columnWidth(0) > 0.85 * longest  # the table's own type is a little smaller


def test_the_bars_are_painted_in_the_liquids_colour(qtbot: QtBot, window: MainWindow):
    page = open_view(window, "Curves and budget")
    qtbot.waitUntil(lambda: page.table.viewport().isVisible())
    picture = page.table.viewport().grab().toImage()
    box = page.table.visualRect(page.table.model().index(0, 0))
    row = box.center().y() - 8
    ground, bar = picture.pixelColor(box.right() + 3, row), picture.pixelColor(box.right() - 6, row)
    liquid = themes.current.liquid
    assert abs(bar.red() - liquid.red()) < abs(ground.red() - liquid.red())


def test_the_grade_table_has_gauge_and_absolute_pressure_at_every_port(window: MainWindow):
    page = open_view(window, "Grade line")
    (line,) = grade_line(operating_point(window.document.build))
    rows = page.grade.table.rows()
    assert [row.cells[0] for row in rows] == [point.name for point in line.points]
    for row, point in zip(rows, line.points, strict=True):
        gauge, absolute = (float(cell.replace("−", "-")) for cell in row.cells[4:])
        assert gauge == pytest.approx(point.pressure / 1000, abs=0.06)
        assert absolute - gauge == pytest.approx(101.325, abs=0.12)
        assert row.attention is (point.pressure < 0)


def test_the_bench_says_in_words_where_it_is_below_the_rooms_pressure(window: MainWindow):
    page = open_view(window, "Grade line")
    said = page.grade.sentence.text().replace("\u00a0", " ")
    assert said.startswith("Below the room's pressure, by up to")
    assert "Fill port to Pump A" in said


def test_a_click_on_the_line_selects_the_part_everywhere(window: MainWindow):
    page = open_view(window, "Grade line")
    step = next(step for step in page.grade.line.steps if step.id == "radiator_1")
    click_at(page.grade.plot, float(step.distance.mean()))
    assert window.document.selection == {"radiator_1"}
    assert page.grade.plot.ids == {"radiator_1"}
    chosen = page.grade.table.selectionModel().selectedRows()[0].row()
    assert page.grade.table.rows()[chosen].item == "radiator_1"
    run = next(step for step in page.grade.line.steps if step.id == "run_10")
    click_at(page.grade.plot, float(run.distance.mean()))
    assert window.document.selection == {"run_10"}


def test_arrow_keys_go_along_the_line_part_by_part(window: MainWindow):
    plot = open_view(window, "Grade line").grade.plot
    ids = [step.id for step in plot.steps()]
    window.document.select(())
    for key, expected in (("Right", ids[0]), ("Right", ids[1]), ("End", ids[-1]), ("Left", ids[-2]), ("Home", ids[0])):
        QTest.keyClick(plot, getattr(Qt.Key, f"Key_{key}"))
        assert window.document.selection == {expected}
    QTest.keyClick(plot, Qt.Key.Key_Left)
    assert window.document.selection == {ids[0]}


def test_a_click_on_a_row_selects_the_part_and_the_line_brings_it_out(window: MainWindow):
    page = open_view(window, "Grade line")
    table = page.grade.table
    row = next(number for number, each in enumerate(table.rows()) if each.item == "pump_a")
    box = table.visualRect(table.model().index(row, 0))
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
    assert window.document.selection == {"pump_a"}
    assert page.grade.plot.ids == {"pump_a"}


def test_a_part_on_another_branch_leads_the_line_through_it(window: MainWindow):
    page = open_view(window, "Grade line")
    assert page.grade.line.holds("graphics_1")
    assert "select a part on another" in page.grade.way.text()
    window.document.select({"graphics_2"})
    assert page.grade.line.holds("graphics_2")
    assert not page.grade.line.holds("graphics_1")
    window.document.select(())
    assert page.grade.line.holds("graphics_1")


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
@pytest.mark.parametrize("layout", [SERIES, "two pumps side by side", "one large pump"])
def test_names_on_the_line_do_not_overlap_and_stay_inside(
    qtbot: QtBot, window: MainWindow, size: tuple[int, int], layout: str
):
    window.resize(*size)
    window.document.view_layout(layout)
    solved(qtbot, window)
    page = open_view(window, "Grade line")
    plot = page.grade.plot
    parts = {step.id for step in page.grade.line.steps if step.kind != "tube_run"}
    assert {name.id for name in plot.names} == parts
    inside = QRectF(plot.rect())
    for number, name in enumerate(plot.names):
        assert inside.contains(name.box)
        assert not any(name.box.intersects(other.box) for other in plot.names[:number])


def test_the_bench_stays_within_its_space(qtbot: QtBot, window: MainWindow):
    page = open_view(window, "Grade line")

    def all_fits() -> None:
        below = page.stack.mapTo(page, QPoint(0, page.stack.height())).y()
        assert below <= page.rests_on.y() + 1
        assert page.rests_on.geometry().bottom() <= page.height()
        corner = page.grade.table.mapTo(page.grade, QPoint(0, 0))
        assert corner.y() >= page.grade.plot.geometry().bottom()

    for size in ((960, 600), (1280, 800), (1920, 1080)):
        window.resize(*size)
        qtbot.wait(0)  # lays out
        qtbot.waitUntil(all_fits)


def test_the_line_follows_an_edit_and_waits_while_out_of_sight(qtbot: QtBot, window: MainWindow):
    page = open_view(window, "Curves and budget")
    assert page.grade.line is None
    click_tab(page.views, "Grade line")
    before = float(page.grade.line.total_head.max())
    build = window.document.build
    window.document.do(edits.change_placement(build, SERIES, "pump_a", speed_percent=60.0))
    qtbot.waitUntil(lambda: float(page.grade.line.total_head.max()) < before - 0.2)
    click_tab(page.views, "Curves and budget")
    kept = page.grade.line
    window.document.history.undo()
    solved(qtbot, window)
    assert page.grade.line is kept
    click_tab(page.views, "Grade line")
    assert float(page.grade.line.total_head.max()) == pytest.approx(before)


def test_an_arch_below_the_rooms_pressure_is_hatched(make_window: Make, sample: Build):
    """Colours in the picture: rust strokes within the arch, none where the pressure is above the room's."""
    run = sample.layout(SERIES).run("run_11")
    ends = [sample.port_spot(sample.layout(SERIES), end) for end in (run.start, run.end)]
    high = tuple(Corner(x_mm=spot.x_mm, y_mm=spot.y_mm, height_mm=2000, turn="elbow") for spot in ends)
    window = make_window(edits.change_run(sample, SERIES, "run_11", corners=high).build)
    page = open_view(window, "Grade line")
    line, plot = page.grade.line, page.grade.plot
    stretch = next(stretch for stretch in line.below_atmosphere if "run_11" in stretch.steps)
    picture = plot.grab().toImage()

    def is_hatched(distance: float) -> bool:
        x = round(plot.x_of(distance))
        colours = [picture.pixelColor(x, y) for y in range(30, plot.height() - 60)]
        return any(each.red() - each.blue() > 60 for each in colours)  # rust, the only reddish ink

    assert is_hatched((stretch.start + stretch.end) / 2)
    radiator = next(step for step in line.steps if step.id == "radiator_1")
    assert not is_hatched(float(radiator.distance.mean()))


def test_resting_on_the_line_tells_heads_and_pressures(window: MainWindow):
    page = open_view(window, "Grade line")
    (pump,) = [each for each in page.grade.line.steps if each.name == "Pump A"]
    step = page.grade.plot.step_at(page.grade.plot.x_of(float(pump.distance.mean())))
    words = page.grade.plot.tip(step)
    assert words.splitlines()[0] == "Pump A"
    assert "Pump A, inlet: −0." in words
    assert "kPa gauge" in words
    assert "kPa absolute" in words


def test_where_nothing_flows_the_bench_says_what_is_missing(make_window: Make, sample: Build):
    still = edits.remove_part(edits.remove_part(sample, SERIES, "pump_a").build, SERIES, "pump_b").build
    window = make_window(still)
    window.bench.show_bench("Flow")
    page = window.bench.page
    assert page.views.isHidden()
    assert page.headline.text() == "No pump yet"


def test_the_plot_wears_the_dark_theme(window: MainWindow):
    page = open_view(window, "Grade line")
    themes.follow(Follow.DARK)
    picture = page.grade.plot.grab().toImage()
    liquid = DARK.liquid
    found = any(
        abs(picture.pixelColor(x, y).red() - liquid.red()) + abs(picture.pixelColor(x, y).blue() - liquid.blue()) < 12
        for x in range(40, picture.width() - 12, 3)
        for y in range(20, picture.height() - 50)
    )
    assert found


def test_axes_stay_while_little_changes():
    (line,) = grade_line(operating_point(sample_build("render-plinth")))
    axes = GradeAxes()
    axes.fit_line(line, QRectF(0, 0, 400, 300))
    before = axes.low, axes.high
    slower = edits.change_placement(sample_build("render-plinth"), SERIES, "pump_a", speed_percent=97.0).build
    axes.fit_line(grade_line(operating_point(slower))[0], QRectF(0, 0, 400, 300))
    assert (axes.low, axes.high) == before
    stopped = operating_point(sample_build("render-plinth"), SERIES, ("pump_a",))
    axes.fit_line(grade_line(stopped)[0], QRectF(0, 0, 400, 300))
    assert axes.high < before[1]
    ((x, y),) = axes.points(line.distance[:1], line.elevation[:1])
    assert QPointF(x, y).x() == axes.left


def test_a_run_on_the_plan_tells_flow_velocity_reynolds_and_drop(window: MainWindow):
    point = operating_point(window.document.build)
    run = point.of("run_11")
    words = tip(Hit("run", "run_11"), window.document, window.solving.answer)
    flow, v, drop = run.flow * 3.6e6, abs(run.velocity), abs(run.dp) / 1000
    assert f"{flow:.0f} L/h; takes {drop:.1f} kPa" in words
    assert f"{v:.2f} m/s, Re {run.reynolds:.0f} (turbulent)" in words


def test_a_run_without_flow_says_so(make_window: Make, sample: Build):
    still = edits.remove_part(edits.remove_part(sample, SERIES, "pump_a").build, SERIES, "pump_b").build
    window = make_window(still)
    assert "Nothing flows here" in tip(Hit("run", "run_11"), window.document, window.solving.answer)


def two_circuits() -> Build:
    """Two loops that an exchanger parts; invented."""
    sides = ("primary", "secondary")
    made = Build(
        name="bench",
        enclosure=Enclosure(length_mm=900, width_mm=700, clear_height_mm=100),
        tubes=(Tube(id="t", name="10/13"),),
        parts=(
            LiquidExchanger(id="exchanger", name="Exchanger"),
            *(Reservoir(id=f"tank_{side}", name=f"Tank {side}") for side in sides),
            *(Pump(id=f"pump_{side}", name=f"Pump {side}") for side in sides),
        ),
    )
    layout = made.layout().name
    places = {"exchanger": (700, 350), "tank_primary": (150, 150), "pump_primary": (400, 150)}
    places |= {"tank_secondary": (150, 550), "pump_secondary": (400, 550)}
    for part, (x, y) in places.items():
        made = edits.place(made, layout, Placement(part=part, x_mm=x, y_mm=y)).build
    for side in sides:
        for start, end in (
            (f"tank_{side}.outlet", f"pump_{side}.inlet"),
            (f"pump_{side}.outlet", f"exchanger.{side}_inlet"),
            (f"exchanger.{side}_outlet", f"tank_{side}.inlet"),
        ):
            run = TubeRun(id=edits.free_run_id(made.layout()), start=start, end=end, tube="t")
            made = edits.add_run(made, layout, run).build
    return made


def test_each_circuit_has_its_budget_and_its_line(qtbot: QtBot, make_window: Make):
    window = make_window(two_circuits())
    solved(qtbot, window)
    page = open_view(window, "Grade line")
    headings = [row.cells[0] for row in page.table.rows() if not row.item]
    assert headings == ["Circuit of Tank primary", "Circuit of Tank secondary"]
    assert [page.grade.picker.tabText(number) for number in range(2)] == ["Tank primary", "Tank secondary"]
    assert page.grade.line.held_by == "tank_primary"
    click_tab(page.grade.picker, "Tank secondary")
    assert page.grade.line.held_by == "tank_secondary"
    window.document.select({"pump_primary"})
    assert page.grade.line.held_by == "tank_primary"
    assert page.grade.plot.ids == {"pump_primary"}

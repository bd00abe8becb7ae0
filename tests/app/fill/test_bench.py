"""The fill bench in the window: air, filling, draining and the leak test, by mouse and keys."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QStyle, QStyleOptionViewItem
from pytestqt.qtbot import QtBot

from app.build_files import sample_build
from app.fill.marks import Marks
from app.fill_bench import FillBench
from app.plan.handles import Hit
from app.plan.tips import tip
from app.window import MainWindow
from loopsim.build import Build, edits, load
from loopsim.parts import BleedPort, DrainPort, FillPort
from loopsim.studies import operating_point
from loopsim.studies.fill import air_map, drain_plan, drain_proposal, fill_plan
from tests.app.remembered import shared

Make = Callable[[Build], MainWindow]
PIER = "sample_loops/pier-camera.loop.json"
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture(scope="module")
def pier() -> Build:
    return shared(load(PIER))


@pytest.fixture
def window(make_window: Make, pier: Build) -> MainWindow:
    return make_window(pier)


def open_view(qtbot: QtBot, window: MainWindow, name: str) -> FillBench:
    """The bench with all that it works out, a view brought up by a click."""
    window.bench.show_bench("Fill")
    page = window.bench.page
    assert isinstance(page, FillBench)
    number = [page.views.tabText(each) for each in range(page.views.count())].index(name)
    QTest.mouseClick(page.views, LEFT, pos=page.views.tabRect(number).center())
    worked_out(qtbot, window, page)
    return page


def worked_out(qtbot: QtBot, window: MainWindow, page: FillBench) -> None:
    """Wait until air and plans belong to the build in view."""
    document = window.document

    def is_ready() -> bool:
        found, asked = page.watch.found, page.plans.question
        follows = asked is not None and asked.build is document.build and not page.plans.is_working
        return follows and found is not None and not page.watch.is_old

    qtbot.waitUntil(is_ready)


def test_every_high_point_has_a_row_with_its_verdict_in_words(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Air")
    expected = air_map(operating_point(window.document.build)).points
    rows = page.air.table.rows()
    assert [row.item for row in rows] == [point.at.item for point in expected]
    assert [row.cells[-1].partition(" ")[2] for row in rows] == [point.verdict for point in expected]
    assert [row.attention for row in rows] == [point.verdict != "clears" for point in expected]


def test_plan_and_strip_show_what_the_bench_asks_for_while_it_is_in_view(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Air")
    assert window.plan.scene().marks.air is page.watch.found
    assert window.heights.strip.marks.air is page.watch.found
    window.grab()
    said = {line.text for label in window.plan.labels for line in label.lines}
    assert "30 mL of air stay" in said
    window.bench.show_bench("Flow")
    assert window.plan.scene().marks is None
    assert window.heights.strip.marks is None


def test_the_strip_marks_high_points_quietly_whatever_bench_is_in_view(qtbot: QtBot, window: MainWindow):
    strip = window.heights.strip
    qtbot.waitUntil(lambda: strip.high_points is not None and not strip.high_points.is_old)
    assert window.bench.name != "Fill"
    found = air_map(operating_point(window.document.build))
    assert [each.at.place for each in strip.high_points.pockets] == [each.at.place for each in found.points]
    assert strip.heading().endswith("air: × stays, ? may stay")
    marked = strip.grab().toImage()
    strip.high_points = None
    strip.update()
    assert strip.grab().toImage() != marked


def test_a_neck_under_a_cap_gets_no_quiet_mark(qtbot: QtBot, make_window: Make, sample: Build):
    window = make_window(sample)
    strip = window.heights.strip
    qtbot.waitUntil(lambda: strip.high_points is not None and not strip.high_points.is_old)
    necks = [each for each in strip.high_points.air.points if each.is_neck]
    assert [each.at.item for each in necks] == ["fill_port"]
    marked = strip.grab().toImage()
    without = replace(
        strip.high_points.air, points=tuple(each for each in strip.high_points.air.points if each not in necks)
    )
    strip.high_points = strip.high_points._replace(air=without)
    assert strip.grab().toImage() == marked


def test_a_bubble_is_painted_where_air_stays(qtbot: QtBot, window: MainWindow):
    open_view(qtbot, window, "Air")
    stays = next(each for each in window.plan.scene().marks.air.points if each.verdict == "stays")
    at = window.plan.mapFromScene(stays.at.x * 1000, -stays.at.y * 1000)
    picture = window.plan.viewport().grab().toImage()
    around = {picture.pixelColor(at + QPoint(dx, dy)).name() for dx in range(-9, 10) for dy in range(-9, 10)}
    assert window.plan.theme.rust.name() in around


def test_a_chosen_row_selects_its_part_and_a_selected_part_its_row(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Air")
    table = page.air.table
    row = next(n for n, each in enumerate(table.rows()) if each.item == "run_3")
    QTest.mouseClick(table.viewport(), LEFT, pos=table.visualRect(table.model().index(row, 0)).center())
    assert window.document.selection == {"run_3"}
    window.document.select({"radiator"})
    assert page.air.sentence.text().startswith("Radiator")


def test_with_a_pump_stopped_its_map_is_shown_everywhere(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Air")
    page.air.pumps.setFocus()
    QTest.keyClick(page.air.pumps, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: page.watch.found.stopped == {"pump"})
    assert {row.cells[-1] for row in page.air.table.rows()} == {"× stays"}
    assert window.plan.scene().marks.air.stopped == {"pump"}


def test_the_button_puts_a_bleed_port_in_and_undo_takes_it_out(qtbot: QtBot, make_window: Make, pier: Build):
    """With the flow too slow to clear the crest of a tube."""
    layout = pier.layouts[0]
    slow = layout.with_values(placed=tuple(
        each.with_values(speed_percent=25.0) if each.part == "pump" else each for each in layout.placed
    ))  # fmt: skip
    window = make_window(pier.with_values(layouts=(slow,)))
    page = open_view(qtbot, window, "Air")
    window.document.select({"run_3"})
    offer = page.air.offer
    qtbot.waitUntil(offer.button.isEnabled)
    assert "lets out 8 mL" in offer.words.text().replace("\u00a0", " ")
    before = window.document.build
    QTest.mouseClick(offer.button, LEFT)
    layout = window.document.layout
    assert any(isinstance(window.document.build.part(each), BleedPort) for each in layout.placements)
    window.document.history.undo()
    assert window.document.build is before


def test_a_drag_leaves_the_plans_alone_until_the_button_is_let_go(qtbot: QtBot, window: MainWindow, monkeypatch):
    page = open_view(qtbot, window, "Air")
    plans_before, map_before = page.plans.filled, page.watch.found
    held, looked = [LEFT], []

    def buttons() -> Qt.MouseButton:
        looked.append(True)
        return held[0]

    monkeypatch.setattr("app.fill.plans.QGuiApplication.mouseButtons", buttons)
    window.document.select({"camera"})
    window.plan.setFocus()
    QTest.keyClick(window.plan, Qt.Key.Key_Right)
    qtbot.waitUntil(lambda: page.watch.found is not map_before and not page.watch.is_old)
    looked.clear()
    qtbot.waitUntil(lambda: len(looked) > 2)  # each time it would have begun
    assert page.plans.filled is plans_before
    assert page.plans.is_old
    held[0] = Qt.MouseButton.NoButton
    qtbot.waitUntil(lambda: not page.plans.is_old)
    assert page.plans.filled is not plans_before


def test_the_steps_are_those_of_the_plan_and_can_be_ticked(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    expected = fill_plan(window.document.build)
    steps = page.fill.steps
    assert [step.sentence for step in steps.steps] == [step.sentence for step in expected.steps]
    item = steps.item(1)
    option = QStyleOptionViewItem()
    steps.initViewItemOption(option)
    option.rect = steps.visualItemRect(item)
    option.features |= QStyleOptionViewItem.ViewItemFeature.HasCheckIndicator
    box = steps.style().subElementRect(QStyle.SubElement.SE_ItemViewItemCheckIndicator, option, steps)
    QTest.mouseClick(steps.viewport(), LEFT, pos=box.center())
    assert item.checkState() == Qt.CheckState.Checked
    assert steps.done == 1


def test_ticks_are_kept_with_the_build_and_undone_like_any_edit(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    document, plan = window.document, page.plans.filled
    for row in range(2):
        page.fill.steps.item(row).setCheckState(Qt.CheckState.Checked)
    assert document.layout.filled_steps == tuple(step.key for step in plan.plan.steps[:2])
    assert document.history.undoText() == "Tick step 2 of filling"
    qtbot.waitUntil(lambda: page.plans.question.build is document.build)
    assert page.plans.filled is plan, "nothing is worked out again for a tick"
    assert not page.plans.is_old
    document.history.undo()
    assert page.fill.steps.item(1).checkState() == Qt.CheckState.Unchecked
    assert page.fill.steps.item(0).checkState() == Qt.CheckState.Checked


def test_ticks_stay_while_the_plan_says_the_same(qtbot: QtBot, window: MainWindow):
    """A fan moved changes nothing of the fill; a fill port changes where it is poured in."""
    page = open_view(qtbot, window, "Fill")
    for row in range(2):
        page.fill.steps.item(row).setCheckState(Qt.CheckState.Checked)
    window.document.do(edits.move(window.document.build, window.document.layout.name, "fan", 300.0, 200.0))
    worked_out(qtbot, window, page)
    assert page.fill.steps.done == 2
    qtbot.waitUntil(page.fill.offer.button.isEnabled)
    QTest.mouseClick(page.fill.offer.button, LEFT)
    worked_out(qtbot, window, page)
    assert page.fill.steps.item(1).checkState() == Qt.CheckState.Unchecked
    page.fill.steps.item(0).setCheckState(Qt.CheckState.Unchecked)
    assert window.document.layout.filled_steps == (), "what is no longer planned goes"


def test_the_slider_moves_liquid_on_plan_and_strip(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    slider = page.fill.moments.slider
    slider.setFocus()
    QTest.keyClick(slider, Qt.Key.Key_Home)
    first = window.plan.scene().marks.moment
    assert first.snapshot is page.plans.filled.plan.snapshots[0]
    empty = window.plan.viewport().grab().toImage(), window.heights.strip.grab().toImage()
    QTest.keyClick(slider, Qt.Key.Key_End)
    last = window.heights.strip.marks.moment
    assert last.snapshot is page.plans.filled.plan.snapshots[-1]
    full = window.plan.viewport().grab().toImage(), window.heights.strip.grab().toImage()
    assert empty[0] != full[0]
    assert empty[1] != full[1]


def test_choosing_a_step_brings_its_end_into_view_and_the_other_way_round(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    steps, moments = page.fill.steps, page.fill.moments
    steps.setFocus()
    steps.setCurrentRow(1)
    assert moments.snapshot is page.plans.filled.plan.snapshots_of(2)[-1]
    moments.slider.setValue(moments.slider.maximum())
    assert steps.steps[steps.currentRow()].number == moments.snapshot.step


def test_no_moment_of_an_older_sketch_is_shown(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    assert window.plan.scene().marks.moment is not None
    window.document.select({"camera"})
    window.plan.setFocus()
    QTest.keyClick(window.plan, Qt.Key.Key_Right)
    assert window.plan.scene().marks is None
    worked_out(qtbot, window, page)
    assert window.plan.scene().marks.moment.graph is page.plans.filled.graph


def test_what_is_shown_as_liquid_adds_up_to_what_was_poured(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    graph = page.plans.filled.graph
    for number in range(len(page.fill.moments.snapshots)):
        page.fill.moments.slider.setValue(number)
        moment = page.fill.moment
        whole = {item: graph.volume[passages].sum() for item, passages in graph.passages_of.items()}
        liquid = sum(volume * moment.share_of(item) for item, volume in whole.items() if volume > 0)
        assert liquid == pytest.approx(moment.snapshot.poured, rel=1e-6, abs=1e-9)


def test_the_volume_that_was_measured_says_how_much_air_is_inside(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    plan = page.plans.filled.plan
    editor = page.fill.measured.editors["poured_ml"]
    editor.line.setFocus()
    QTest.keyClicks(editor.line, f"{plan.capacity * 1e6 - 50:.1f}")
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert window.document.layout.poured_ml == pytest.approx(plan.capacity * 1e6 - 50, abs=0.1)
    worked_out(qtbot, window, page)
    assert "50\u00a0mL of air are still inside" in page.fill.inside.text()
    window.document.history.undo()
    assert window.document.layout.poured_ml is None


def test_the_fall_of_the_level_says_how_much_air_is_inside(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    fall = page.plans.filled.plan.level_fall
    row = page.fill.fall
    assert row.words.text() == ""
    row.read.setFocus()
    row.read.selectAll()
    QTest.keyClicks(row.read, "3")
    QTest.keyClick(row.read, Qt.Key.Key_Return)
    assert f"{fall.air_per_fall * 3e-3 * 1e6:.0f}\u00a0mL" in row.words.text()


def test_a_port_that_would_let_nothing_out_is_neither_advised_nor_offered(qtbot: QtBot, window: MainWindow):
    """The air at the top of the radiator's tank lies above every tube."""
    page = open_view(qtbot, window, "Air")
    window.document.select({"radiator"})
    qtbot.waitUntil(lambda: page.air.sentence.text().startswith("Radiator"))
    assert page.air.offer.isHidden()
    assert "put a bleed port" not in page.air.sentence.text()
    assert "no bleed port helps: tilt the machine" in page.air.sentence.text()


def test_a_fill_port_is_offered_where_there_is_none(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Fill")
    qtbot.waitUntil(page.fill.offer.button.isEnabled)
    QTest.mouseClick(page.fill.offer.button, LEFT)
    placed = [window.document.build.part(each) for each in window.document.layout.placements]
    assert sum(isinstance(part, FillPort) for part in placed) == 1
    worked_out(qtbot, window, page)
    assert page.fill.offer.isHidden()


def test_a_loop_without_a_drain_says_so_and_gets_one_by_the_button(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Drain")
    assert page.headline.text() == "It cannot be drained yet"
    qtbot.waitUntil(page.drain.offer.button.isEnabled)
    QTest.mouseClick(page.drain.offer.button, LEFT)
    build = window.document.build
    assert any(isinstance(build.part(each), DrainPort) for each in window.document.layout.placements)
    worked_out(qtbot, window, page)
    expected = drain_plan(build)
    assert [step.sentence for step in page.drain.steps.steps] == [step.sentence for step in expected.steps]
    told = sum(float(row.cells[1]) for row in page.drain.table.rows())
    assert told == pytest.approx(expected.drain.left * 1e6, rel=0.05)


def test_the_search_over_tilts_ends_in_steps_and_in_the_fill_plan(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Air")
    shares = []
    page.air.tilting.search.progressed.connect(shares.append)
    QTest.mouseClick(page.air.tilting.begin, LEFT)
    qtbot.waitUntil(lambda: not page.air.tilting.search.is_working)
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)
    assert "1. Hold it" in page.air.tilting.words.text()
    worked_out(qtbot, window, page)
    assert any(step.action == "tilt" for step in page.plans.filled.plan.steps) or not page.plans.filled.plan.is_complete


def test_the_leak_test_is_read_as_it_is_typed_and_noted_by_the_button(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Leak test")
    view = page.leak
    assert view.cautions.text().count("!") >= 4
    assert view.verdict.isHidden()
    assert not view.note.isEnabled()
    for name, text in (("start_bar", "0.4"), ("end_bar", "0.2")):
        line = view.form.editors[name].line
        line.setFocus()
        line.selectAll()
        QTest.keyClicks(line, text)
        QTest.keyClick(line, Qt.Key.Key_Return)
    assert view.verdict.text().startswith("× leaks")
    assert window.document.layout.leak_record is None
    QTest.mouseClick(view.note, LEFT)
    assert window.document.layout.leak_record.end_bar == pytest.approx(0.2)
    assert page.headline.text() == "The loop leaks"
    window.document.history.undo()
    assert window.document.layout.leak_record is None


def test_a_reading_out_of_range_is_refused_at_its_field(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Leak test")
    editor = page.leak.form.editors["start_bar"]
    editor.line.setFocus()
    editor.line.selectAll()
    QTest.keyClicks(editor.line, "7")
    QTest.keyClick(editor.line, Qt.Key.Key_Return)
    assert "pressure at start" in editor.refusal.text()
    assert page.leak.record.start_bar == pytest.approx(0.3)


def test_an_empty_layout_says_what_is_missing_and_shows_no_views(qtbot: QtBot, make_window: Make):
    window = make_window(Build(name="Empty"))
    window.bench.show_bench("Fill")
    page = window.bench.page
    qtbot.waitUntil(lambda: page.views.isHidden())
    assert page.headline.text()
    assert window.plan.scene().marks is None


def test_what_stays_on_draining_is_marked_on_plan_and_strip(qtbot: QtBot, make_window: Make, pier: Build):
    window = make_window(drain_proposal(pier, pier.layouts[0].name).edit.build)
    page = open_view(qtbot, window, "Drain")
    low = page.plans.drained.drain.low_points
    for marks in (window.plan.scene().marks, window.heights.strip.marks):
        most = [held for each in low for held in each.held if held.volume > 0.05 * page.plans.drained.drain.left]
        assert [pocket.at.place for pocket in marks.pockets] == [held.at.place for held in most]
    window.grab()
    said = {line.text for label in window.plan.labels for line in label.lines}
    assert f"{low[0].held[0].volume * 1e6:.0f} mL stay" in said


def test_two_high_points_in_one_tube_are_each_told_of(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Air")
    crest = next(each for each in page.watch.found.points if each.at.item == "run_3")
    other = replace(crest, at=replace(crest.at, place="run_3/2"), verdict="stays", gas=21e-6)
    both = replace(page.watch.found, points=(replace(crest, verdict="may clear"), other))
    window.plan.show_marks(Marks(air=both))
    window.grab()
    said = [line.text for label in window.plan.labels for line in label.lines]
    assert said.count("8 mL of air may clear") == 1
    assert said.count("21 mL of air stay") == 1


def test_the_tip_over_a_part_tells_of_its_high_point_while_that_is_shown(qtbot: QtBot, window: MainWindow):
    open_view(qtbot, window, "Air")
    point = next(each for each in window.plan.scene().marks.air.points if each.at.item == "radiator")
    said = f"{point.speed:.2f} m/s against {point.stays_below:.2f} to {point.clears_above:.2f} m/s: stays"
    hit = Hit("part", "radiator")
    assert said in tip(hit, window.document, window.plan.seen, window.plan.scene().marks)
    assert said not in tip(hit, window.document, window.plan.seen)


def test_swell_says_what_a_sealed_loop_would_bear(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Swell")
    qtbot.waitUntil(lambda: bool(page.swell.found) and not page.swell.is_old)
    (circuit,) = page.swell.found
    assert page.swell.table.rows()[0].cells[-1] == circuit.verdict
    assert circuit.sentences[0] in page.swell.words.text().replace("\u00a0", " ")
    assert page.headline.text() == "The swell has room"
    vessel = page.swell.table.rows()[0].item
    window.document.do(edits.change_part(window.document.build, vessel, air_above="sealed"))
    qtbot.waitUntil(lambda: page.swell.found[0].cushion == vessel)


def test_covers_are_judged_and_lead_to_the_data_of_their_part(qtbot: QtBot, window: MainWindow):
    page = open_view(qtbot, window, "Covers")
    advice = page.covers.advice
    assert [row.cells[0] for row in page.covers.table.rows()] == [each.what for each in advice.checks]
    part = window.document.build.part(advice.part)
    thin = part.cover.with_values(lid_mm=1.0)
    window.document.do(edits.change_part(window.document.build, advice.part, cover=thin))
    assert page.covers.advice.verdict == "change"
    assert page.headline.text() == "Clear plastic: something should be changed"
    QTest.mouseClick(page.covers.data, LEFT)
    assert window.bench.name == "Draw"
    assert window.document.selection == {advice.part}


def test_the_verdict_knows_of_air_that_stays_and_leads_to_it(qtbot: QtBot, make_window: Make):
    """No bench says that all is well while another tells of trapped air."""
    window = make_window(sample_build("kiln-lamp"))
    warnings = window.verdict.warnings
    qtbot.waitUntil(lambda: "of air stay" in warnings.value.whole)
    air = window.heights.strip.high_points.air
    assert warnings.value.whole == f"up to {air.lasting * 1e6:.0f}\u00a0mL of air stay".replace("\u00a0", " ")
    QTest.mouseClick(warnings, LEFT, pos=warnings.rect().center())
    assert window.bench.name == "Fill"

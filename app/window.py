"""The window: plan and strip, bench, verdict, and the one document that they all show."""

from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QObject, QSettings, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QMainWindow, QMenu, QSplitter, QVBoxLayout, QWidget

from app import menus
from app.about import ABOUT
from app.answer import Answer
from app.bench import Bench
from app.build_files import BuildFiles
from app.dialogs import Dialogs
from app.document import Document
from app.drawer import Drawer
from app.first_steps import FirstSteps
from app.header import Header
from app.heights import Heights
from app.key_sheet import key_sheet
from app.measures import System, measures
from app.menu_letters import letters_first
from app.message_strip import MessageStrip
from app.offer_strip import OfferStrip
from app.panes import Panes
from app.part_help import show_help
from app.plan import PlanView
from app.plan.ground import Ground
from app.plan.own_menu import ON
from app.plan_hint import PlanHint
from app.plan_menu import fill_plan_menu
from app.recent import Recent, data_folder
from app.safety import Safety
from app.shelf import OpenShelf
from app.solving import Solving
from app.text_page import show_text
from app.theme import Follow, Theme, themes
from app.verdict import Verdict
from loopsim.build.shelf import shelf_path

__all__ = ["MainWindow"]

_SIZE = 1280, 800
_LEAST = 640, 400  # a screen of 1280 by 800 at twice the size
_NARROW_PX = 900  # below this the drawer gives way to the plan
_BENCH_PX = 536
_STRIP_SHARE = 0.28
_KEYS_PX = 860


class MainWindow(QMainWindow):
    """Everything on the screen. It holds views and wires them; it decides nothing about builds."""

    def __init__(
        self,
        document: Document,
        settings: QSettings,
        dialogs: Dialogs | None = None,
        shelf: Path | None = None,
        data: Path | None = None,
    ) -> None:
        super().__init__()
        self.document, self.settings = document, settings
        self._asks = True
        self.files = BuildFiles(document, Recent(settings, self), dialogs or Dialogs(self), self)
        self.solving = Solving(document, parent=self)
        self.header = Header(document)
        self.message, self.offers = MessageStrip(), OfferStrip()
        self.safety = Safety(self.files, self.offers, data or data_folder(), self)
        self.shelf = OpenShelf(shelf or shelf_path(), self)
        self.drawer = Drawer(self.shelf, themes.current)
        self.plan = PlanView(document, themes.current)
        self.ground = Ground(self.plan)
        self.hint = PlanHint(self.plan)
        self.first_steps = FirstSteps(document, settings)
        self.heights = Heights(document, themes.current)
        self.bench = Bench(document)
        self.verdict = Verdict(document)
        self._lay_out()
        over, beside = (self.header, self.message, self.offers, self.first_steps), (self.bench, self.verdict)
        self.panes = Panes((*over, self.drawer, self.plan, self.heights, *beside), self)
        self._fill_menus()
        self._connect()
        self._restore_size()
        self._on_title()
        self.shelf.read()
        self.plan.setFocus()
        self.solving.start()
        QTimer.singleShot(0, self.safety.look_back)

    def show_first_steps(self) -> None:
        """Three steps above the plan, for whoever has not seen them."""
        self.first_steps.offer()

    def leave(self) -> None:
        """Close without asking after unsaved edits."""
        self._asks = False
        self.close()

    def closeEvent(self, event: QCloseEvent) -> None:
        if self._asks and not self.files.may_leave():
            event.ignore()
            return
        self.settings.setValue("window/geometry", self.saveGeometry())
        self.settings.sync()
        self.safety.close()
        self.solving.close()
        self.bench.let_go()
        self.heights.let_go()
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a window that becomes narrow the drawer gives way; a search brings it back there, too."""
        super().resizeEvent(event)
        narrow, was_narrow = (size.width() < _NARROW_PX for size in (event.size(), event.oldSize()))
        if narrow is not was_narrow:
            self.drawer.setVisible(not narrow)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A double click, or Enter, on one selected part in the plan leads to its data."""
        entered = isinstance(event, QKeyEvent) and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        asked = event.type() == QEvent.Type.MouseButtonDblClick or (event.type() == QEvent.Type.KeyPress and entered)
        chosen = [part for part in self.document.selection if part in self.document.layout.placements]
        if asked and len(chosen) == len(self.document.selection) == 1 and self.plan.gesture is None:
            self.bench.open_part(chosen[0])
            return True
        return super().eventFilter(watched, event)

    def _lay_out(self) -> None:
        self.setMinimumSize(*_LEAST)
        drawing = QSplitter(Qt.Orientation.Vertical, childrenCollapsible=False, handleWidth=1)
        drawing.addWidget(self.plan)
        drawing.addWidget(self.heights)
        drawing.setStretchFactor(0, 3)
        drawing.setStretchFactor(1, 1)
        drawing.setSizes([int(_SIZE[1] * (1 - _STRIP_SHARE)), int(_SIZE[1] * _STRIP_SHARE)])
        sides = QSplitter(Qt.Orientation.Horizontal, childrenCollapsible=False, handleWidth=1)
        sides.addWidget(drawing)
        sides.addWidget(self.bench)
        sides.setStretchFactor(0, 3)
        sides.setStretchFactor(1, 2)
        sides.setSizes([_SIZE[0] - _BENCH_PX, _BENCH_PX])
        middle = QHBoxLayout()
        for widget, stretch in ((self.drawer, 0), (_rule(vertical=True), 0), (sides, 1)):
            middle.addWidget(widget, stretch)
        page = QWidget()
        self.verdict.setParent(page)  # Tab goes round: after the bench, whose pages come later, to it, then to the top
        column = QVBoxLayout(page)
        column.addWidget(self.header)
        column.addWidget(_rule(vertical=False))
        column.addWidget(self.message)
        column.addWidget(self.offers)
        column.addWidget(self.first_steps)
        column.addLayout(middle, 1)
        column.addWidget(self.verdict)
        for layout in (middle, column):
            layout.setContentsMargins(0, 0, 0, 0)
            layout.setSpacing(0)
        self.setCentralWidget(page)

    def _fill_menus(self) -> None:
        bar = self.menuBar()
        menus.fill_file_menu(bar.addMenu("&File"), self.files, self.close)
        edit = bar.addMenu("&Edit")
        menus.fill_edit_menu(edit, self.document)
        menus.fill_plan_commands(edit, self.plan)
        menus.fill_shelf_commands(edit, self.plan, self.shelf, self.drawer)
        menus.fill_room_menu(bar.addMenu("&Room"), self.ground, self.files)
        menus.fill_layout_menu(bar.addMenu("&Layout"), self.header.layouts)
        fill_plan_menu(bar.addMenu("&Plan"), self.plan)
        menus.fill_view_menu(bar.addMenu("&View"), self.plan, self.bench, self.panes, self._on_follow, self._on_units)
        help_menu = bar.addMenu("&Help")
        about = menus.command(help_menu, "About the selected &part", self._show_part_help, "Shift+F1")
        about.setProperty(ON, "part run")
        self.plan.addAction(about)
        keys = menus.command(help_menu, "&Keys", lambda: show_text("Keys", key_sheet(bar), self, _KEYS_PX))
        keys.setShortcuts([QKeySequence("?"), QKeySequence("F1")])
        menus.command(help_menu, "&About", lambda: show_text("About", ABOUT, self))
        for menu in self.findChildren(QMenu):
            letters_first(menu)

    def _connect(self) -> None:
        document = self.document
        document.build_changed.connect(self._on_title)
        document.path_changed.connect(self._on_title)
        document.clean_changed.connect(self._on_title)
        self.solving.answered.connect(self._on_answered)
        self.solving.failed.connect(self.message.refuse)
        self.files.refused.connect(self.message.refuse)
        self.header.layouts.refused.connect(self.message.refuse)
        self.files.told.connect(self.message.tell)
        self.files.reported.connect(self._on_reported)
        self.files.done.connect(self._on_done)
        self.files.begun.connect(self._on_begun)
        self.plan.message.connect(self.hint.say)
        self.plan.stopped_for_now.connect(self.solving.stop_for_now)
        self.plan.in_hand.connect(self.verdict.compare_from_here)
        self.heights.message.connect(self.hint.say)
        self.heights.air_found.connect(self.verdict.show_air)
        self.drawer.part_chosen.connect(self.plan.place)
        self.drawer.run_chosen.connect(self.plan.draw_run)
        self.shelf.told.connect(self.message.tell)
        self.shelf.refused.connect(self.message.refuse)
        self.bench.export_wanted.connect(self.files.export)
        self.bench.case_chosen.connect(self.solving.view_case)
        self.bench.course_wanted.connect(self.solving.follow_course)
        self.solving.course_answered.connect(self.bench.show_course)
        self.bench.shown.connect(self.plan.follow_bench)
        self.plan.follow_bench(self.bench.name)
        self.bench.failure_shown.connect(self.plan.show_failure)
        self.bench.marks_shown.connect(self.plan.show_marks)
        self.bench.marks_shown.connect(self.heights.show_marks)
        self.bench.refused.connect(self.message.refuse)
        self.bench.finding_shown.connect(self.plan.pointing.show)
        self.bench.finding_mended.connect(self.plan.pointing.mend)
        self.verdict.opened.connect(self.bench.show_bench)
        self.verdict.chosen.connect(document.select)
        self.verdict.chosen.connect(self.plan.pointing.bring)
        self.plan.installEventFilter(self)
        self.plan.viewport().installEventFilter(self)
        themes.changed.connect(self._on_theme)

    def _restore_size(self) -> None:
        geometry = self.settings.value("window/geometry")
        if not isinstance(geometry, QByteArray) or not self.restoreGeometry(geometry):
            self.resize(*_SIZE)

    def _on_answered(self, answer: Answer) -> None:
        for view in (self.plan, self.heights):
            view.set_answer(answer)
        for view in (self.bench, self.verdict):
            view.show_answer(answer)

    def _on_theme(self, theme: Theme) -> None:
        for view in (self.plan, self.heights, self.drawer):
            view.set_theme(theme)

    def _on_follow(self, wanted: Follow) -> None:
        themes.follow(wanted)
        self.settings.setValue("window/appearance", str(wanted))

    def _on_units(self, wanted: System) -> None:
        measures.choose(wanted)
        self.plan.resetCachedContent()
        if self.solving.answer is not None:
            self._on_answered(self.solving.answer)
        self.settings.setValue("window/units", str(wanted))

    def _on_title(self, *_: object) -> None:
        self.setWindowTitle(f"{self.document.title}[*] - Loopsim")
        self.setWindowModified(not self.document.history.isClean())

    def _on_reported(self, paths: list) -> None:
        self.bench.named("Log").show_written(paths)
        self.message.tell("Report written: " + ", ".join(str(path) for path in paths))

    def _show_part_help(self) -> None:
        """The page of what is selected."""
        build, layout = self.document.build, self.document.layout
        for chosen in self.document.selection:
            run = layout.runs_by_id.get(chosen)
            show_help(build.tube(run.tube) if run is not None else build.part(chosen), self)
            return
        self.message.tell("Select a part or a tube run to read about it.")

    def _on_begun(self) -> None:
        """A builder with an empty room draws next."""
        self.bench.show_bench("Draw")
        self.plan.setFocus()

    def _on_done(self) -> None:
        """Something worked: an older refusal no longer speaks of what is open."""
        self.message.forget_refusal()


def _rule(vertical: bool) -> QFrame:
    line = QFrame()
    line.setProperty("rule", True)
    if vertical:
        line.setFixedWidth(1)
    else:
        line.setFixedHeight(1)
    return line

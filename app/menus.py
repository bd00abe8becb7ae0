"""The menu bar: every command of the window, with its keys."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

import sample_loops
from app.bench import Bench
from app.build_files import BuildFiles, sample_title
from app.document import Document
from app.drawer import Drawer
from app.layout_tabs import LayoutTabs
from app.measures import System, measures
from app.panes import Panes
from app.plan import PlanView
from app.plan.ground import Ground
from app.plan.own_menu import ON
from app.plan.tint import Quantity
from app.shelf import OpenShelf
from app.theme import Follow, themes
from loopsim.build import Background

__all__ = [
    "command",
    "fill_edit_menu",
    "fill_file_menu",
    "fill_layout_menu",
    "fill_plan_commands",
    "fill_room_menu",
    "fill_shelf_commands",
    "fill_view_menu",
    "one_of",
    "plan_command",
]

Keys = QKeySequence.StandardKey

_UNITS_SAY = (
    "All that is shown and typed follows this choice; a field takes any unit typed with its number. "
    "Files and reports stay SI."
)


def command(
    menu: QMenu, text: str, action: Callable[[], object], keys: QKeySequence.StandardKey | str | None = None
) -> QAction:
    """Add a command to a menu; what it returns is of no interest."""
    made = menu.addAction(text)
    if keys is not None:
        made.setShortcuts(QKeySequence.keyBindings(keys) if isinstance(keys, Keys) else [QKeySequence(keys)])
    made.triggered.connect(lambda _checked=False: action() and None)
    return made


def fill_file_menu(menu: QMenu, files: BuildFiles, leave: Callable[[], object]) -> None:
    """New, open, save, export, quit."""
    command(menu, "&New", files.new, Keys.New)
    command(menu, "&Open...", files.open, Keys.Open)
    recent = menu.addMenu("Open &recent")
    recent.aboutToShow.connect(lambda: _fill_recent(recent, files))
    samples = menu.addMenu("Open sa&mple")
    for name in sample_loops.names():
        command(samples, sample_title(name), lambda name=name: files.open_sample(name))
    menu.addSeparator()
    command(menu, "&Save", files.save, Keys.Save)
    command(menu, "Save &as...", files.save_as, "Ctrl+Shift+S")
    command(menu, "&Export report...", files.export, "Ctrl+E")
    command(menu, "&Print the plan at true size...", files.print_plan, Keys.Print)
    menu.addSeparator()
    command(menu, "&Quit", leave, "Ctrl+Q")


def fill_edit_menu(menu: QMenu, document: Document) -> None:
    """Undo and redo, which name the edit that they speak of."""
    for action, keys in (
        (document.history.createUndoAction(menu, "Undo"), Keys.Undo),
        (document.history.createRedoAction(menu, "Redo"), Keys.Redo),
    ):
        action.setShortcuts(QKeySequence.keyBindings(keys))
        menu.addAction(action)
    menu.addSeparator()


def fill_plan_commands(menu: QMenu, plan: PlanView) -> None:
    """What is done to the selection; these keys belong to the plan, so that fields keep theirs."""
    for text, action, keys, on in (
        ("Cu&t", plan.arrange.cut, Keys.Cut, "part"),
        ("&Copy", plan.arrange.copy, Keys.Copy, "part"),
        ("&Paste", plan.arrange.paste, Keys.Paste, "paper"),
        ("D&uplicate", plan.arrange.duplicate, "Ctrl+D", "part"),
        ("&Delete", plan.commands.delete, "Del", "part run"),
        ("&Rotate", lambda: plan.arrange.rotate(90.0), "R", "part"),
        ("Select &all", plan.commands.select_all, "Ctrl+A", "paper"),
    ):
        plan_command(menu, plan, text, action, keys, on)


def plan_command(
    menu: QMenu, plan: PlanView, text: str, action: Callable[[], object], keys: Keys | str, on: str
) -> QAction:
    """A command whose key belongs to the plan; `on` says what of it has the command in its own menu.

    Among ``"part"``, ``"run"`` and ``"paper"``, where nothing lies.
    """
    made = command(menu, text, action, keys)
    made.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
    made.setProperty(ON, on)
    plan.addAction(made)
    return made


def fill_shelf_commands(menu: QMenu, plan: PlanView, shelf: OpenShelf, drawer: Drawer) -> None:
    """Keep what is selected for other builds; search the drawer."""
    document = plan.document
    menu.addSeparator()
    keep = command(menu, "&Keep on the shelf", lambda: _keep_selected(document, shelf), "Ctrl+K")
    document.selection_changed.connect(lambda chosen: keep.setEnabled(len(chosen) == 1))
    keep.setEnabled(len(document.selection) == 1)
    keep.setProperty(ON, "part run")
    plan.addAction(keep)
    command(menu, "Find a &part", drawer.focus_search, Keys.Find)


def _keep_selected(document: Document, shelf: OpenShelf) -> None:
    """Keep the selected part, or the tube that the selected run is cut from."""
    build, layout = document.build, document.layout
    (chosen,) = document.selection
    is_part = chosen in layout.placements
    shelf.keep(build.part(chosen) if is_part else build.tube(layout.run(chosen).tube))


def fill_layout_menu(menu: QMenu, tabs: LayoutTabs) -> None:
    """Layouts as wholes."""
    for text, action, keys in tabs.commands():
        command(menu, text, action, keys or None)


def fill_room_menu(menu: QMenu, ground: Ground, files: BuildFiles) -> None:
    """The enclosure, spaces that must stay free, and what lies under the plan."""
    edited = command(menu, "&Change the room by hand", lambda: ground.edit(edited.isChecked()), "Ctrl+R")
    edited.setCheckable(True)
    ground.edited_changed.connect(edited.setChecked)
    for text, action in (
        ("&Reserve a space", ground.reserve),
        ("Cut a &hole in a wall", lambda: ground.cut("hole")),
        ("Cut a &grille in a wall", lambda: ground.cut("grille")),
    ):
        command(menu, text, action)
    menu.addSeparator()
    below = ground.below
    command(menu, "&Lay a drawing under the plan...", lambda: files.choose_drawing(below.lay))
    hold = command(menu, "Hol&d it where it is", below.toggle_lock)
    hold.setCheckable(True)
    lying = [hold]
    for text, action in (
        ("Set its &scale by two clicks", below.scale),
        ("D&immer", lambda: below.dim(20.0)),
        ("&Brighter", lambda: below.dim(-20.0)),
        ("&Take it away", below.lift),
    ):
        lying.append(command(menu, text, action))
    menu.aboutToShow.connect(lambda: _tell_of_drawing(lying, hold, ground.document.layout.background))


def _tell_of_drawing(lying: list[QAction], hold: QAction, background: Background | None) -> None:
    """What is done to the drawing below can be chosen where there is one."""
    for action in lying:
        action.setEnabled(background is not None)
    hold.setChecked(background is not None and background.locked)


def fill_view_menu(
    menu: QMenu,
    plan: PlanView,
    bench: Bench,
    panes: Panes,
    follow: Callable[[Follow], object],
    measure: Callable[[System], object],
) -> None:
    """Fit, the plan's colours, the benches, going about the window, units, and the appearance."""
    command(menu, "&Fit the plan", plan.fit, "Ctrl+0")
    _fill_colours(menu.addMenu("&Colour of the plan"), plan)
    menu.addSeparator()
    for number in range(bench.tabs.count()):
        name = bench.tabs.tabText(number)
        command(menu, f"Bench: {name}", lambda name=name: bench.show_bench(name), f"Ctrl+{number + 1}")
    menu.addSeparator()
    command(menu, "Go to the &next pane", lambda: panes.go(1), "F6")
    command(menu, "Go to the &pane before", lambda: panes.go(-1), "Shift+F6")
    menu.addSeparator()
    units = menu.addMenu("&Units")
    for action in one_of(units, {each: str(each) for each in System}, measure, measures.system).actions():
        action.setToolTip(_UNITS_SAY)
    units.setToolTipsVisible(True)
    words = {Follow.LIGHT: "&Light", Follow.DARK: "&Dark", Follow.SYSTEM: "Follow the &system"}
    one_of(menu, words, follow, themes.followed)


def one_of(menu: QMenu, words: Mapping[Any, str], choose: Callable[[Any], object], now: object) -> QActionGroup:
    """Commands of which one is ticked."""
    group = QActionGroup(menu)
    for each, text in words.items():
        action = command(menu, text, lambda each=each: choose(each))
        action.setData(each)
        action.setCheckable(True)
        action.setChecked(each is now)
        group.addAction(action)
    return group


def _fill_colours(menu: QMenu, plan: PlanView) -> None:
    """What the choice in the corner of the plan offers; whichever of the two is used, both say the same."""
    legend = plan.legend
    words = {None: "As the &bench in view asks", **{each: f"&{str(each).capitalize()}" for each in Quantity}}
    group = one_of(menu, words, legend.choose, legend.choice)
    menu.addSeparator()
    plan_command(menu, plan, "&Next colour", legend.choose_next, "C", "paper")

    def tick(_: Quantity) -> None:
        for action in group.actions():
            action.setChecked(action.data() == legend.choice)

    legend.chosen.connect(tick)


def _fill_recent(menu: QMenu, files: BuildFiles) -> None:
    menu.clear()
    for path in files.recent.paths:
        command(menu, _short(path), lambda path=path: files.open_path(path))
    if not menu.actions():
        menu.addAction("no files yet").setEnabled(False)


def _short(path: Path) -> str:
    """A path with the home folder cut short, and ampersands as they are."""
    home = Path.home()
    text = f"~/{path.relative_to(home)}" if path.is_relative_to(home) else str(path)
    return text.replace("&", "&&")

"""The menu of the plan: what is drawn and how parts are arranged."""

from collections.abc import Callable

from PySide6.QtWidgets import QMenu

from app.menus import command, plan_command
from app.plan import PlanView
from app.plan.layers import LAYERS
from loopsim.build.arranging import ALIGNMENTS

__all__ = ["fill_plan_menu"]

Command = tuple[str, Callable[[], object], str]


def fill_plan_menu(menu: QMenu, plan: PlanView) -> None:
    """Every gesture that begins with a key, so that the keys can be read here; they belong to the plan."""
    arrange = plan.arrange
    _fill(menu, plan, "paper", (("&Draw a tube run", plan.draw_run, "T"), ("&Place one more", plan.place_again, "P")))
    _fill(menu, plan, "paper", (("M&easure", plan.measure, "M"), ("Write a &note", plan.write_note, "N")))
    walk = (("Go to the next &warning", lambda: plan.pointing.go(1), "J"), ("Mend &it", plan.pointing.mend, "Shift+J"))
    _fill(menu, plan, "", walk)
    layers = menu.addMenu("Di&m a layer")
    for layer in LAYERS:
        action = layers.addAction(layer.capitalize())
        action.setCheckable(True)
        action.toggled.connect(lambda is_dimmed, layer=layer: plan.dim(layer, is_dimmed))
    menu.addSeparator()
    _fill(
        menu,
        plan,
        "part",
        (
            ("&Mirror left to right", arrange.mirror, "X"),
            ("Mirror &front to back", lambda: arrange.mirror("y"), "Shift+X"),
            ("&Tip: flat, on edge, ports up", arrange.tip, "L"),
            ("Loc&k or unlock", arrange.toggle_lock, "K"),
            ("Take &out, and join its tubes", plan.commands.take_out, "Shift+Backspace"),
            ("&Group", arrange.group, "G"),
            ("&Ungroup", arrange.ungroup, "Shift+G"),
        ),
    )
    align = menu.addMenu("&Align")
    for how in ALIGNMENTS:
        command(align, how.capitalize(), lambda how=how: arrange.align(how))
    space_out = menu.addMenu("&Space out")
    for along, text in (("x", "From left to right"), ("y", "From front to back")):
        command(space_out, text, lambda along=along: arrange.space_out(along))
    menu.addSeparator()
    _fill(
        menu,
        plan,
        "run",
        (
            ("Next &corner", lambda: plan.commands.next_corner(1), "."),
            ("&Insert a corner", plan.commands.insert_corner, "Ins"),
            ("B&end, elbow, mitre", plan.commands.next_turn, "E"),
            ("Propose another &way", plan.commands.propose_way, "Shift+T"),
            ("Lead its end to another p&ort", lambda: plan.commands.lead_end("end"), "W"),
        ),
    )


def _fill(menu: QMenu, plan: PlanView, on: str, commands: tuple[Command, ...]) -> None:
    for text, action, keys in commands:
        plan_command(menu, plan, text, action, keys, on)

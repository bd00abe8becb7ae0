"""Whatever a builder does in whatever order, the document stays whole, and every step back is the build before."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.build import (
    Background,
    Build,
    Note,
    Placement,
    Reserved,
    WallOpening,
    arranging,
    copying,
    edits,
    from_text,
    ground_edits,
    joining,
    layout_edits,
    run_edits,
    to_text,
)
from loopsim.build.free_ports import free_ports
from loopsim.errors import LoopsimError
from loopsim.parts import KINDS, TubeRun
from loopsim.studies.fit import fit, remedied

LAYOUT = "layout 1"
LIES = ("flat", "on edge", "ports up")


class Hand:
    """Two numbers that choose what an edit works on: any part, run, port, place of the build as it is now."""

    def __init__(self, build: Build, a: int, b: int) -> None:
        self.build, self.a, self.b = build, a, b
        self.layout = build.layouts[a // 7 % len(build.layouts)]

    @property
    def name(self) -> str:
        return self.layout.name

    def part(self, more: int = 0) -> str:
        ids = list(self.layout.placements) or [""]
        return ids[(self.a + more) % len(ids)]

    def several(self) -> list[str]:
        return list(dict.fromkeys(self.part(more) for more in range(1 + self.b % 3)))

    def run(self) -> str:
        return self.layout.runs[self.a % len(self.layout.runs)].id if self.layout.runs else ""

    def port(self, more: int = 0) -> str:
        part = self.build.part(self.part(more))
        names = list(part.ports) or [""]
        return f"{part.id}.{names[self.b % len(names)]}"

    @property
    def place(self) -> tuple[float, float]:
        return float(self.a * 37 % 600), float(self.b * 53 % 400)

    def remedy(self) -> edits.Edit:
        found = fit(self.build, self.name)
        if not found:
            raise LoopsimError("it fits")
        return remedied(self.build, self.name, found[self.b % len(found)]) or edits.Edit(self.build, "")


def new_part(hand: Hand) -> edits.Edit:
    kind = list(KINDS)[hand.b % len(KINDS)]
    part_id = edits.free_part_id(hand.build, kind)
    stands = Placement(part=part_id, x_mm=hand.place[0], y_mm=hand.place[1], lie=LIES[hand.a % 3])
    return edits.add_part(hand.build, hand.name, KINDS[kind](id=part_id, name=part_id), stands)


def new_run(hand: Hand) -> edits.Edit:
    run_id, tube = edits.free_run_id(hand.layout), hand.build.tubes[hand.a % len(hand.build.tubes)].id
    found = free_ports(hand.build, hand.layout)
    free = [f"{part}.{port}" for part, ports in found.items() for each in ports for port in each] or [""]
    start, end = free[hand.a % len(free)], free[(hand.a + hand.b) % len(free)]
    return edits.add_run(hand.build, hand.name, TubeRun(id=run_id, start=start, end=end, tube=tube))


EDITS: dict[str, Callable[[Hand], edits.Edit]] = {
    "new part": new_part,
    "new run": new_run,
    "remove part": lambda h: edits.remove_part(h.build, h.name, h.part()),
    "remove run": lambda h: edits.remove_run(h.build, h.name, h.run()),
    "move": lambda h: arranging.move_parts(h.build, h.name, h.several(), h.a - 20, h.b - 20),
    "rotate": lambda h: arranging.rotate_parts(h.build, h.name, h.several(), h.a * 15.0),
    "mirror": lambda h: arranging.mirror_parts(h.build, h.name, h.several(), "xy"[h.b % 2]),
    "lie": lambda h: arranging.next_lie(h.build, h.name, h.several()),
    "raise": lambda h: arranging.raise_parts(h.build, h.name, h.several(), h.b),
    "align": lambda h: arranging.align(h.build, h.name, h.several(), arranging.ALIGNMENTS[h.a % 6]),
    "space out": lambda h: arranging.space_out(h.build, h.name, h.several(), "xy"[h.b % 2]),
    "lock": lambda h: arranging.lock(h.build, h.name, h.several(), bool(h.b % 2)),
    "group": lambda h: arranging.group(h.build, h.name, h.several()),
    "ungroup": lambda h: arranging.ungroup(h.build, h.name, h.several()),
    "copy": lambda h: copying.paste(h.build, h.name, copying.cutting(h.build, h.name, h.several()), 20, 20)[0],
    "into another layout": lambda h: copying.paste(
        h.build, h.build.layouts[h.b % len(h.build.layouts)].name, copying.cutting(h.build, h.name, h.several()), 5, 5
    )[0],
    "set in": lambda h: joining.split_run(h.build, h.name, h.run(), h.part(), h.place),
    "tee": lambda h: joining.tee_into(h.build, h.name, h.run(), h.place, (0.0, 0.0))[0],
    "lead": lambda h: joining.move_end(h.build, h.name, h.run(), ("start", "end")[h.b % 2], h.port()),
    "corner": lambda h: run_edits.insert_corner(h.build, h.name, h.run(), h.place)[0],
    "pull": lambda h: run_edits.pull_corner(h.build, h.name, h.run(), 0, h.a - 20, h.b - 20, bool(h.a % 2)),
    "slide": lambda h: run_edits.slide_stretch(h.build, h.name, h.run(), 1 + h.b % 2, h.a - 20),
    "drop corner": lambda h: run_edits.remove_corner(h.build, h.name, h.run(), 0),
    "turn": lambda h: run_edits.toggle_turn(h.build, h.name, h.run(), 0),
    "height": lambda h: run_edits.set_corner_height(h.build, h.name, h.run(), h.b),
    "copy layout": lambda h: layout_edits.copy_layout(
        h.build, h.name, layout_edits.free_layout_name(h.build, f"copy of {h.name}"[:30])
    ),
    "add layout": lambda h: layout_edits.add_layout(h.build, layout_edits.free_layout_name(h.build, "empty")),
    "rename layout": lambda h: layout_edits.rename_layout(h.build, h.name, f"layout {h.b}"),
    "remove layout": lambda h: layout_edits.remove_layout(h.build, h.name),
    "order": lambda h: layout_edits.order_layouts(h.build, tuple(sorted(h.build.layouts_by_name))),
    "reserve": lambda h: ground_edits.add_reserved(
        h.build, h.name, Reserved(name=ground_edits.free_reserved_name(h.layout), x_mm=h.place[0], y_mm=h.place[1])
    ),
    "free": lambda h: ground_edits.remove_reserved(h.build, h.name, "Reserved space"),
    "note": lambda h: ground_edits.add_note(
        h.build, h.name, Note(id=ground_edits.free_note_id(h.layout), text="mind", x_mm=h.a, y_mm=h.b)
    ),
    "drop note": lambda h: ground_edits.remove_note(h.build, h.name, "note"),
    "hole": lambda h: ground_edits.add_opening(
        h.build,
        WallOpening(name=ground_edits.free_opening_name(h.build), along_mm=h.a, up_mm=h.b, part=h.part() or None),
    ),
    "room corner": lambda h: ground_edits.insert_outline_corner(h.build, h.place)[0],
    "pull room": lambda h: ground_edits.move_outline_corner(h.build, h.a % 4, *h.place),
    "drop room corner": lambda h: ground_edits.remove_outline_corner(h.build, h.b % 4),
    "drawing below": lambda h: ground_edits.put_background(h.build, h.name, Background(source=f"{h.b}.png")),
    "scale below": lambda h: ground_edits.scale_background(h.build, h.name, (0.0, 0.0), (h.a, h.b), 50.0),
    "remedy": Hand.remedy,
}
steps = st.lists(st.tuples(st.sampled_from(sorted(EDITS)), st.integers(0, 40), st.integers(0, 40)), max_size=25)


@settings(max_examples=80)
@given(steps=steps)
def test_any_edits_keep_the_document_whole_and_every_build_before(build: Build, steps: list) -> None:
    """An edit is refused in words or gives a build whose file reads back the same; no earlier build changes by it."""
    history = [(build, to_text(build))]
    for name, a, b in steps:
        before = history[-1][0]
        try:
            edit = EDITS[name](Hand(before, a, b))
        except (LoopsimError, IndexError):
            continue
        assert edit.text or edit.build is before or edit.build == before
        text = to_text(edit.build)
        assert from_text(text) == edit.build
        assert to_text(from_text(text)) == text
        history.append((edit.build, text))
    for earlier, text in reversed(history):
        assert to_text(earlier) == text


@pytest.mark.parametrize("name", sorted(EDITS))
def test_every_edit_of_the_list_can_be_made(build: Build, name: str) -> None:
    """Tried with many numbers, on a build that has one of everything: a list of refusals would prove nothing."""
    rich = build
    for prepare in ("reserve", "note", "drawing below", "copy layout", "room corner", "corner"):
        rich = EDITS[prepare](Hand(rich, 0, 2)).build
    rich = arranging.group(rich, LAYOUT, ["pump", "block"]).build
    rich = run_edits.insert_corner(rich, LAYOUT, "run_3", (300, 300))[0].build
    rich = edits.add_part(
        rich,
        LAYOUT,
        KINDS["valve"](id="loose", name="Loose"),
        Placement(part="loose", x_mm=300, y_mm=320, height_mm=95),
    ).build
    made = 0
    for a in range(14):
        for b in range(4):
            try:
                made += EDITS[name](Hand(rich, a, b)).build != rich
            except (LoopsimError, IndexError):
                continue
    assert made

"""Heights changed by hand, in the strip and in the view from a side: parts, corners of runs, levels, the lid."""

from collections.abc import Callable

from app import figures
from app.document import Document
from loopsim.build import Build, Enclosure, edits, run_edits
from loopsim.build.edits import Edit
from loopsim.errors import LoopsimError

__all__ = ["HeightDrag", "of_corner", "of_level", "of_lid", "of_part"]

_STEP_MM, _FINE_MM = 1.0, 0.1


class HeightDrag:
    """One drag, which is one step back. It always starts from the build it found.

    Attributes
    ----------
    name : str
        What is lifted, in words.
    height_mm : float
        Where it is now.
    refusal : str
        Why it cannot be there; empty if it can.
    """

    def __init__(self, document: Document, name: str, begin_mm: float, make: Callable[[Build, float], Edit]) -> None:
        self.document, self.name = document, name
        self.begin_mm = self.height_mm = begin_mm
        self.refusal = ""
        self._build, self._make = document.build, make

    def move(self, by_mm: float, is_fine: bool = False) -> None:
        """Lift by this much from where it was at the start, to a whole millimetre, or to a tenth of one."""
        step = _FINE_MM if is_fine else _STEP_MM
        wanted = round(round((self.begin_mm + by_mm) / step) * step, 1)
        if wanted == self.height_mm:
            return
        try:
            self.document.do(self._make(self._build, wanted), self)
        except LoopsimError as error:
            self.refusal = str(error)
        else:
            self.height_mm, self.refusal = wanted, ""

    def finish(self) -> None:
        """Back where it was, it was no edit."""
        if self.height_mm == self.begin_mm:
            self.document.take_back(self)

    def cancel(self) -> None:
        """It never happened."""
        self.document.take_back(self)

    def words(self) -> str:
        """What is written beside the pointer."""
        return f"{self.name}: {figures.length_mm(self.height_mm)}"


def of_part(document: Document, part_id: str) -> HeightDrag:
    """Lifts a part; one that is locked stays where it is."""
    name, layout = document.build.part(part_id).name, document.layout

    def make(build: Build, height_mm: float) -> Edit:
        edit = edits.change_placement(build, layout.name, part_id, height_mm=max(0.0, height_mm))
        return edit._replace(text=f"Lift {name}")

    return HeightDrag(document, name, layout.placement(part_id).height_mm, make)


def of_corner(document: Document, run_id: str, index: int) -> HeightDrag:
    """Lifts one corner of a tube run."""
    layout = document.layout
    begin = layout.run(run_id).corners[index].height_mm

    def make(build: Build, height_mm: float) -> Edit:
        return run_edits.set_corner_height(build, layout.name, run_id, max(0.0, height_mm), index)

    return HeightDrag(document, f"corner {index + 1}", begin, make)


def of_level(document: Document, part_id: str) -> HeightDrag | None:
    """Raises the liquid in a vessel whose level is a number of its own; None if it follows from something else."""
    part, stands = document.build.part(part_id), document.layout.placement(part_id)
    if "level_mm" not in type(part).model_fields or part.surface_mm is None:
        return None

    def make(build: Build, height_mm: float) -> Edit:
        level = min(max(height_mm - stands.height_mm, 1.0), part.height_mm)
        return edits.change_part(build, part_id, level_mm=level)._replace(text=f"Fill {part.name}")

    return HeightDrag(document, f"level in {part.name}", stands.height_mm + part.surface_mm, make)


def of_lid(document: Document) -> HeightDrag:
    """Raises or lowers the lid."""

    def make(build: Build, height_mm: float) -> Edit:
        room = build.enclosure
        values = {name: getattr(room, name) for name in Enclosure.model_fields}
        edit = edits.change_build(build, enclosure=values | {"clear_height_mm": max(height_mm, 1.0)})
        return edit._replace(text="Change the clear height")

    return HeightDrag(document, "lid", document.build.enclosure.clear_height_mm, make)

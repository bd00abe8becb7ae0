"""What has to be bought, cut and poured for one layout: parts, pieces of tube, coolant."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from loopsim.build import Build, Layout
from loopsim.curves import DataCurve, ProvenanceKind, worst_provenance
from loopsim.fields import FieldDescription, record_types
from loopsim.geometry import Bend, Path
from loopsim.parts import Part, Tube, TubeRun

__all__ = ["CurveUse", "Cut", "PartClass", "Stock", "curve_uses", "part_classes", "placed_parts", "stocks"]

CUTTING_ALLOWANCE = 0.05  # common practice


@dataclass(frozen=True, slots=True)
class PartClass:
    """Parts that differ in nothing but their name."""

    parts: tuple[Part, ...]

    @property
    def names(self) -> str:
        """Names of all of them."""
        return ", ".join(part.name for part in self.parts)

    @property
    def provenance(self) -> ProvenanceKind | None:
        """Worst kind of their data."""
        return worst_provenance(self.parts[0].provenances)


@dataclass(frozen=True, slots=True)
class Cut:
    """One tube run as it is cut.

    Attributes
    ----------
    number : int
        As on the plan.
    bends : tuple of Bend
        Bends of the tube, without elbow fittings and mitres.
    elbows, mitres : int
        Corners at which the tube is cut: for a fitting, or to be glued at half the angle.
    pieces_mm : tuple of float
        Lengths along the centre line from end to cut to end; one piece where the tube is not cut.
    """

    number: int
    run: TubeRun
    path: Path
    bends: tuple[Bend, ...]
    elbows: int
    mitres: int
    pieces_mm: tuple[float, ...]

    @property
    def length_mm(self) -> float:
        """Length along the centre line, port plane to port plane."""
        return sum(self.pieces_mm)

    @property
    def bends_in_words(self) -> str:
        """``"2 × 90° r 40, 45° r 40"``; a radius that does not fit is named with the one that was asked for."""
        return ", ".join(_counted(len(list(same)), words) for words, same in groupby(map(_bend_words, self.bends)))


@dataclass(frozen=True, slots=True)
class Stock:
    """One tube and everything that is cut from it."""

    tube: Tube
    cuts: tuple[Cut, ...]

    @property
    def length_mm(self) -> float:
        """Sum of the cuts."""
        return sum(cut.length_mm for cut in self.cuts)

    @property
    def to_buy_mm(self) -> float:
        """Sum of the cuts with the allowance for waste, rounded up to the next 100 mm."""
        return math.ceil(self.length_mm * (1 + CUTTING_ALLOWANCE) / 100 - 1e-9) * 100.0


@dataclass(frozen=True, slots=True)
class CurveUse:
    """A data curve and the parts that rest on it; `curve` is None where a part leaves it to an estimate."""

    kind: type[Part]
    names: tuple[str, ...]
    field: FieldDescription
    curve: DataCurve | None


def placed_parts(build: Build, layout: Layout) -> tuple[Part, ...]:
    """Parts of a layout, in its order."""
    return tuple(build.part(placement.part) for placement in layout.placed)


def part_classes(build: Build, layout: Layout) -> tuple[PartClass, ...]:
    """Parts of a layout, alike ones together."""
    alike: dict[Part, list[Part]] = {}
    for part in placed_parts(build, layout):
        alike.setdefault(part.model_copy(update={"id": "", "name": ""}), []).append(part)
    return tuple(PartClass(tuple(parts)) for parts in alike.values())


def stocks(build: Build, layout: Layout) -> tuple[Stock, ...]:
    """Cut list by tube, in the order of the build's tubes; runs numbered in the order of the layout."""
    cuts = [_cut(number, run, build.run_path(layout, run)) for number, run in enumerate(layout.runs, start=1)]
    by_tube = ((tube, tuple(cut for cut in cuts if cut.run.tube == tube.id)) for tube in build.tubes)
    return tuple(Stock(tube, own) for tube, own in by_tube if own)


def curve_uses(build: Build, layout: Layout) -> tuple[CurveUse, ...]:
    """Every curve that a layout rests on, each once with all the parts that share it."""
    shared: dict[tuple[type[Part], str, DataCurve | None], tuple[FieldDescription, list[str]]] = {}
    for part in placed_parts(build, layout):
        for field, curve in _curves(part):
            shared.setdefault((type(part), field.name, curve), (field, []))[1].append(part.name)
    return tuple(CurveUse(kind, tuple(names), field, curve) for (kind, _, curve), (field, names) in shared.items())


def _curves(part: Part) -> Iterator[tuple[FieldDescription, DataCurve | None]]:
    for field in type(part).fields():
        annotation = type(part).model_fields[field.name].annotation
        if field.name in part.idle_fields:
            continue
        if any(issubclass(record, DataCurve) for record in record_types(annotation)):
            yield field, getattr(part, field.name)


def _cut(number: int, run: TubeRun, path: Path) -> Cut:
    bends = tuple(bend for bend in path.bends if bend.wanted_mm > 0)
    pieces = _pieces_mm(path)
    elbows = sum(run.corners[bend.corner].turn == "elbow" for bend in path.bends)
    return Cut(number, run, path, bends, elbows, len(pieces) - 1 - elbows, pieces)


def _pieces_mm(path: Path) -> tuple[float, ...]:
    """Lengths between elbows and mitres along the centre line; they run to the corner."""
    turns = {bend.corner: bend for bend in path.bends}
    pieces = [path.straights_mm[0]]
    for corner, straight in enumerate(path.straights_mm[1:]):
        turn = turns.get(corner)
        if turn and turn.wanted_mm == 0:
            pieces.append(straight)
        else:
            pieces[-1] += straight + (_arc_minus_corner_mm(turn) if turn else 0.0)
    return tuple(pieces)


def _arc_minus_corner_mm(bend: Bend) -> float:
    return bend.radius_mm * math.radians(bend.angle_deg) - 2 * bend.tangent_mm


def _bend_words(bend: Bend) -> str:
    wanted = f" (wanted {bend.wanted_mm:g})" if bend.radius_mm < bend.wanted_mm - 0.05 else ""
    return f"{bend.angle_deg:.0f}° r {bend.radius_mm:.0f}{wanted}"


def _counted(count: int, words: str) -> str:
    return words if count == 1 else f"{count} × {words}"

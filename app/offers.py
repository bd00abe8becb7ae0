"""What the drawer offers: each kind as it comes, its usual sizes, and what is on the shelf.

An offer carries a specimen: a whole part, or a tube, of which the plan places a copy. So drawer, drag and plan need
not know where it came from.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from loopsim.build.shelf import Kept, Shelf
from loopsim.curves import worst_provenance
from loopsim.parts import FAMILIES, KINDS, Part, Tube, TubeRun

__all__ = ["Offer", "OfferedKind", "kinds_offered", "shelf_offered"]

_DESCRIBED = "The numbers of a class are guesses with a wide band: put the maker's or your own in their place."


@dataclass(frozen=True)
class Offer:
    """One thing to place.

    Attributes
    ----------
    label : str
        What stands on its button.
    specimen : Part, Tube or None
        The part of which a copy is placed; the tube that a run is cut from; None for a run of the tube used last.
    symbol, help : str
    names, words : str
        What a search looks through: first what it is called, then all that is said of it.
    on_shelf : bool
    """

    label: str
    specimen: Kept | None
    symbol: str
    help: str
    names: str
    words: str
    on_shelf: bool = False

    def rank(self, searched: str) -> int | None:
        """How well it answers a search: 0 best, None if a word of it is nowhere in this offer."""
        words = searched.casefold().split()
        if not all(word in self.words for word in words):
            return None
        if self.names.startswith(" ".join(words)):
            return 0
        return 1 if all(word in self.names for word in words) else 2


@dataclass(frozen=True)
class OfferedKind:
    """A kind as it comes, its usual sizes, and the family below which a builder looks for it."""

    plain: Offer
    classes: tuple[Offer, ...]
    family: str


def kinds_offered() -> dict[str, OfferedKind]:
    """Every kind by its word in files, family by family, the tube run first."""
    run = Offer(TubeRun.title, None, TubeRun.symbol, TubeRun.help, *_searched(TubeRun.title, TubeRun.help))
    sizes = tuple(_tube(of) for of in Tube.classes)
    kinds = sorted(KINDS.items(), key=lambda item: FAMILIES.index(item[1].family))
    return {"tube_run": OfferedKind(run, sizes, FAMILIES[0]), **{name: _kind(kind) for name, kind in kinds}}


def shelf_offered(shelf: Shelf) -> tuple[Offer, ...]:
    """What is on the shelf."""
    return tuple(_kept(item) for item in shelf.items)


def _kind(kind: type[Part]) -> OfferedKind:
    plain = Offer(kind.title, _specimen(kind), kind.symbol, kind.help, *_searched(kind.title, kind.help))
    return OfferedKind(plain, tuple(_of_class(kind, of) for of in kind.classes), kind.family)


def _of_class(kind: type[Part], of: str) -> Offer:
    help_ = f"{kind.title.capitalize()}, {of} class. {_DESCRIBED}"
    searched = _searched(f"{kind.title} {of} class", kind.help)
    return Offer(of, _specimen(kind, of), kind.symbol, help_, *searched)


def _specimen(kind: type[Part], of: str | None = None) -> Part:
    return kind.model_validate({"id": kind.kind_name(), "name": kind.title, **(kind.classes[of] if of else {})})


def _tube(of: str) -> Offer:
    tube = Tube.model_validate({"id": "tube", "name": f"Tube {of}", **Tube.classes[of]})
    help_ = (
        f"A tube run of soft tube, {tube.bore_mm:g} mm bore and {tube.outer_mm:g} mm outside. {_DESCRIBED} "
        "Bores of real tube are a few tenths of a millimetre off."
    )
    return Offer(of, tube, TubeRun.symbol, help_, *_searched(f"tube run {of} mm class", TubeRun.help))


def _kept(item: Kept) -> Offer:
    record = TubeRun if isinstance(item, Tube) else item
    origins = [item.provenance] if isinstance(item, Tube) else list(item.provenances)
    sources = _joined(origin.source for origin in origins)
    help_ = f"{item.name}, {'tube' if isinstance(item, Tube) else item.title}, from your shelf."
    if origins:
        help_ += f" Least certain data: {worst_provenance(origins)}{f' ({sources})' if sources else ''}."
    return Offer(
        item.name,
        item,
        record.symbol,
        help_,
        *_searched(f"{item.name} {record.title}", f"shelf own {sources}"),
        on_shelf=True,
    )


def _joined(sources: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(source for source in sources if source))


def _searched(names: str, more: str) -> tuple[str, str]:
    return names.casefold(), f"{names} {more}".casefold()

"""How a home-made vessel or plate of clear plastic is closed and sealed."""

from typing import ClassVar, Literal

from loopsim.fields import Record, choice, number

__all__ = ["Cover"]

_OF_SCREWED_LIDS = ("rim", "bolt", "thread", "cord", "groove")  # how the names of their fields begin


class Cover(Record):
    """What the advice on clear plastic under pressure rests on, beyond the sizes that the part has anyhow."""

    described_as: ClassVar = (
        "cover", "what it is made of, and how its lid is held and sealed: for the advice on clear plastic",
    )  # fmt: skip

    material: Literal["acrylic", "polycarbonate", "something else"] = choice(
        "made of", "lid, walls and floor; of something else nothing is said", "acrylic"
    )
    known_by: Literal["measured", "drawing", "guess"] = choice(
        "known by", "measured on the finished part, read from its drawing, or a guess", "guess"
    )
    held: Literal["glued", "screwed"] = choice("lid is", "glued all round, or screwed down on a gasket", "glued")
    lid_mm: float | None = number(
        "lid",
        "its thickness; empty: as the walls, or what the plate's height leaves over its channels",
        None,
        above=0.0,
    )
    rim_mm: float = number("rim", "width of the solid edge that takes groove and bolts; a guess", 15.0, above=0.0)
    bolt_mm: float = number("bolts", "outer diameter of their thread; a guess", 3.0, above=0.0)
    bolt_spacing_mm: float = number(
        "bolt spacing", "largest distance from bolt to bolt along the edge; a guess", 30.0, above=0.0
    )
    thread_depth_mm: float = number("thread depth", "length of thread cut in the plastic; a guess", 8.0, above=0.0)
    cord_mm: float = number("gasket cord", "its diameter before it is squeezed; a guess", 2.0, above=0.0)
    cord_tolerance_mm: float = number("cord tolerance", "each way, of cord and groove together", 0.1, least=0.0)
    groove_depth_mm: float = number("groove depth", "in which the cord lies; a guess", 1.5, above=0.0)
    groove_width_mm: float = number("groove width", "a guess", 2.7, above=0.0)
    fitting_thread_mm: float | None = number(
        "fittings' thread",
        "outer diameter, where they are screwed into the walls; empty: not screwed in",
        None,
        above=0.0,
    )

    @property
    def idle_fields(self) -> frozenset[str]:
        """What counts for nothing: bolts and gasket while the lid is glued, all sizes of what nothing is said of."""
        screwed = frozenset(name for name in type(self).model_fields if name.startswith(_OF_SCREWED_LIDS))
        if self.material == "something else":
            return screwed | {"known_by", "held", "fitting_thread_mm"}
        return screwed if self.held == "glued" else frozenset()

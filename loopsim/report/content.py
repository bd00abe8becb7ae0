"""What a report says, apart from how it is set: renderers read these, and nothing else."""

from dataclasses import dataclass, field
from datetime import date
from typing import ClassVar, Literal

__all__ = ["Block", "Column", "Figure", "Listing", "Paragraph", "Report", "Section", "Table"]


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph; `weight` says whether it is the answer, plain text, or a remark on what stands above it."""

    kind: ClassVar[str] = "paragraph"

    text: str
    weight: Literal["answer", "plain", "remark"] = "plain"


@dataclass(frozen=True, slots=True)
class Column:
    """Head of a column: the unit stands here once; numbers are set to the right.

    `weight` is the column's share of the page's width, for tables of long text; 0 is as wide as the text needs.
    """

    heading: str
    unit: str = ""
    number: bool = False
    weight: float = 0.0

    @property
    def title(self) -> str:
        """Heading and unit."""
        return f"{self.heading}, {self.unit}" if self.unit else self.heading


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under columns; `total` is a last row that sums up."""

    kind: ClassVar[str] = "table"

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    total: tuple[str, ...] | None = None

    def __post_init__(self) -> None:
        for row in (*self.rows, *([self.total] if self.total else [])):
            if len(row) != len(self.columns):
                raise ValueError(f"table {self.caption!r}: a row has {len(row)} cells for {len(self.columns)} columns")


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing. `name` is its word in file names, `alt` says in words what it shows, `svg` begins with ``<svg``."""

    kind: ClassVar[str] = "figure"

    name: str
    caption: str
    alt: str
    svg: str


@dataclass(frozen=True, slots=True)
class Listing:
    """Points, one under the other."""

    kind: ClassVar[str] = "listing"

    items: tuple[str, ...]


Block = Paragraph | Table | Figure | Listing


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and what stands under it."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """A whole report: title, a few facts as (word, value), notes, sections in their order."""

    title: str
    dated: date
    facts: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
    sections: tuple[Section, ...] = field(default=())

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure, in order."""
        return tuple(block for section in self.sections for block in section.blocks if isinstance(block, Figure))

"""Records that a builder fills in, and how each field describes itself to any front end.

A record is an immutable pydantic model. Its fields are made by `number`, `text`, `choice`, `switch` and `points`,
which carry label, help and range; a record that says `described_as` is itself a field of the record that holds it.
`describe` reads them back, so that the part sheet, the file format, the report and the command line all speak of a
field in the same words.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar, Literal, Self

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from loopsim.units import UNITS, Unit, converted, unit_of

__all__ = [
    "FieldDescription",
    "Keeps",
    "Record",
    "choice",
    "describe",
    "number",
    "points",
    "record_types",
    "switch",
    "text",
]

Shape = Literal["number", "text", "choice", "switch", "points", "record"]


class Keeps:
    """Something that never changes, and keeps what was worked out from it: an edit elsewhere leaves it as it is."""

    @cached_property
    def kept(self) -> dict[str, tuple[tuple[Any, ...], Any]]:
        """By what it is: the other objects that it was worked out from, and the result."""
        return {}

    def keep(self, what: str, make: Callable[..., Any], *of: Any) -> Any:
        """``make(*of)``, or what it last gave for the same objects."""
        known = self.kept.get(what)
        if known is None or known[0] != of:  # the very same are told apart without a look inside
            known = self.kept[what] = of, make(*of)
        return known[1]


class Record(BaseModel, Keeps):
    """Base of everything a build is made of: immutable, no unknown keys, no infinities."""

    described_as: ClassVar[tuple[str, str] | None] = None  # label and help, where it is edited within its holder

    model_config: ClassVar[ConfigDict] = ConfigDict(
        frozen=True, extra="forbid", allow_inf_nan=False, hide_input_in_errors=True
    )

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy with some values replaced, unchecked; nothing that was worked out from the old ones goes along."""
        copied = super().model_copy(update=update, deep=deep)
        fields = type(self).model_fields
        for name in [name for name in copied.__dict__ if name not in fields]:
            del copied.__dict__[name]
        return copied

    @property
    def idle_fields(self) -> frozenset[str]:
        """Names of fields that count for nothing as another field is chosen."""
        return frozenset()

    def with_values(self, **values: Any) -> Self:
        """A copy with some values replaced, checked like a file's values.

        Raises
        ------
        pydantic.ValidationError
            If a value is not allowed; `loopsim.build` turns it into one sentence for the builder.
        """
        kept = {name: getattr(self, name) for name in type(self).model_fields if name not in values}
        return type(self).model_validate({**kept, **values})


@dataclass(frozen=True, slots=True)
class FieldDescription:
    """How one field presents itself: all that an editor needs to show and check it."""

    name: str
    label: str
    unit: str | None  # an ending from `loopsim.units.UNITS`
    quantity: str | None
    shape: Shape
    default: Any
    help: str
    above: float | None = None  # the value must be larger
    least: float | None = None
    most: float | None = None
    choices: tuple[str, ...] = ()
    columns: tuple["FieldDescription", ...] = ()  # of a table of points, or the fields of a record
    record: type[BaseModel] | None = None  # the record that it holds: a curve, a row of a table, a provenance
    optional: bool = False  # it may be left empty
    labels: tuple[str, ...] = ()  # what the choices are called, where not by themselves
    empty: str = ""  # what an optional choice that is left empty is called
    is_open: bool = False  # other words than the choices may be typed

    @property
    def unit_label(self) -> str:
        """The unit as written on screen, empty where there is none."""
        return UNITS[self.unit].label if self.unit else ""

    @property
    def allowed(self) -> str:
        """The range in words: ``"above 0 mm"``."""
        return self.allowed_in(UNITS[self.unit] if self.unit else None)

    def allowed_in(self, unit: Unit | None) -> str:
        """The same in another unit of its quantity."""
        if self.choices:
            return "one of " + ", ".join(self.choices)
        bounds = (("above", self.above), ("at least", self.least), ("at most", self.most))
        words = " and ".join(f"{word} {self._in(unit, bound):g}" for word, bound in bounds if bound is not None)
        return f"{words} {unit.label if unit else ''}".strip() if words else f"a {self.shape}"

    def _in(self, unit: Unit | None, value: float) -> float:
        return converted(value, UNITS[self.unit], unit) if unit and self.unit else value

    def label_of(self, value: str | None) -> str:
        """What a choice is called."""
        if value is None:
            return self.empty
        return self.labels[self.choices.index(value)] if self.labels and value in self.choices else value

    def value_of(self, label: str) -> str | None:
        """The choice that is called so; words that call none stand for themselves."""
        if self.optional and label in ("", self.empty):
            return None
        return self.choices[self.labels.index(label)] if label in self.labels else label

    def allows(self, value: float) -> bool:
        """True if a number lies within the range."""
        return (
            (self.above is None or value > self.above)
            and (self.least is None or value >= self.least)
            and (self.most is None or value <= self.most)
        )


def number(
    label: str,
    help: str,
    default: Any = ...,
    *,
    above: float | None = None,
    least: float | None = None,
    most: float | None = None,
) -> Any:
    """A number with its range; the unit is read from the field's name."""
    return Field(default, title=label, description=help, gt=above, ge=least, le=most, json_schema_extra=_as("number"))


def text(label: str, help: str, default: Any = ..., *, pattern: str | None = None) -> Any:
    """A line of text."""
    return Field(default, title=label, description=help, pattern=pattern, json_schema_extra=_as("text"))


def choice(label: str, help: str, default: Any = ...) -> Any:
    """One of a few words; the words are those of the field's `Literal` type."""
    return Field(default, title=label, description=help, json_schema_extra=_as("choice"))


def switch(label: str, help: str, default: Any = ...) -> Any:
    """Yes or no."""
    return Field(default, title=label, description=help, json_schema_extra=_as("switch"))


def points(label: str, help: str, default: Any = ...) -> Any:
    """A table: a tuple of records, or a record that holds one under `points`."""
    return Field(default, title=label, description=help, json_schema_extra=_as("points"))


def _as(shape: Shape) -> dict[str, Any]:
    return {"shape": shape}


def describe(record: type[BaseModel]) -> tuple[FieldDescription, ...]:
    """The fields of a record that a builder may edit, in the order in which they were declared."""
    return tuple(_description(name, info) for name, info in record.model_fields.items() if _shape(info))


def _shape(info: FieldInfo) -> Shape | None:
    extra = info.json_schema_extra
    if isinstance(extra, dict):
        return extra.get("shape")  # type: ignore[return-value]
    return "record" if _inner(info) else None


def _inner(info: FieldInfo) -> tuple[str, str] | None:
    """Label and help of a field that is a record of its own."""
    kind = info.annotation
    return kind.described_as if isinstance(kind, type) and issubclass(kind, Record) else None


def _description(name: str, info: FieldInfo) -> FieldDescription:
    unit = unit_of(name)
    label, help = _inner(info) or (info.title or name, info.description or "")
    return FieldDescription(
        name=name,
        label=label,
        unit=unit,
        quantity=UNITS[unit].quantity if unit else None,
        shape=_shape(info) or "text",
        default=info.get_default(call_default_factory=True) if not info.is_required() else None,
        help=help,
        above=_bound(info, "gt"),
        least=_bound(info, "ge"),
        most=_bound(info, "le"),
        choices=_words(info.annotation),
        columns=_columns(info.annotation),
        record=next(iter(record_types(info.annotation)), None),
        optional=type(None) in getattr(info.annotation, "__args__", ()),
    )


def _bound(info: FieldInfo, name: str) -> float | None:
    return next((getattr(each, name) for each in info.metadata if hasattr(each, name)), None)


def _words(annotation: Any) -> tuple[str, ...]:
    arguments = getattr(annotation, "__args__", ())
    return tuple(str(word) for word in arguments) if all(isinstance(word, str) for word in arguments) else ()


def _columns(annotation: Any) -> tuple[FieldDescription, ...]:
    """Columns of the record inside ``tuple[Row, ...]``, or inside the `points` of a curve."""
    for candidate in record_types(annotation):
        if "points" in candidate.model_fields:
            return _columns(candidate.model_fields["points"].annotation)
        return describe(candidate)
    return ()


def record_types(annotation: Any) -> Iterable[type[BaseModel]]:
    """Every record type named in an annotation, outermost first."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in getattr(annotation, "__args__", ()):
        yield from record_types(argument)

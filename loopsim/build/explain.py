"""From a validation error to one sentence that a builder can act on."""

from collections.abc import Sequence
from typing import Any

from pydantic import BaseModel, ValidationError

from loopsim.errors import did_you_mean
from loopsim.fields import record_types
from loopsim.parts import KINDS
from loopsim.units import UNITS, unit_of

__all__ = ["Explanation", "explain"]


class Explanation:
    """What is wrong, where: a sentence, and the part and field it speaks of."""

    def __init__(self, text: str, part: str | None, field: str | None) -> None:
        self.text, self.part, self.field = text, part, field


def explain(error: ValidationError, data: Any, model: type[BaseModel]) -> Explanation:
    """The first complaint of a validation error, in words.

    Parameters
    ----------
    error : pydantic.ValidationError
    data : nested dicts and lists, or records
        What was validated, so that the part can be called by its name.
    model : type
        The record that `data` was validated as.
    """
    first = error.errors(include_url=False)[0]
    place = [step for step in first["loc"] if not (isinstance(step, str) and step in KINDS)]
    owner, part = _owner(data, place)
    field = next((step for step in reversed(place) if isinstance(step, str)), None)
    where = f"{owner}: " if owner else ""
    return Explanation(where + _complaint(dict(first), place, model, data), part, field)


def _complaint(first: dict[str, Any], place: Sequence[int | str], model: type[BaseModel], data: Any) -> str:
    kind, value, path = first["type"], first.get("input"), _written(place)
    if kind == "extra_forbidden":
        known = _fields_at(model, place[:-1], data)
        return f"unknown key {place[-1]!r}{did_you_mean(str(place[-1]), known)}"
    if kind == "missing":
        return f"{path} is missing"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        given = _get(value, "kind")
        hint = did_you_mean(str(given), KINDS) or f"; one of {', '.join(KINDS)}"
        return f"{path} has no known kind, got {given!r}{hint}"
    if kind == "value_error":
        return f"{path}: {first['ctx']['error']}"
    return f"{path} is {_shown(value)}, {_allowed(first, place)}"


def _allowed(first: dict[str, Any], place: Sequence[int | str]) -> str:
    """What is allowed instead, with the unit that the field's name ends in."""
    context, unit = first.get("ctx", {}), unit_of(str(place[-1])) if place else None
    words = {"gt": "above", "ge": "at least", "lt": "below", "le": "at most"}
    for key, word in words.items():
        if key in context:
            return f"must be {word} {context[key]:g} {UNITS[unit].label if unit else ''}".rstrip()
    if first["type"] == "finite_number":
        return "must be a finite number"
    if first["type"] == "string_pattern_mismatch":
        return "must be small letters, digits and _, beginning with a letter"
    if "expected" in context:
        return f"must be {context['expected']}"
    return str(first["msg"]).replace("Input should be", "must be").partition(", unable to")[0]


def _shown(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:g}"
    return repr(value) if isinstance(value, str | int | bool | None) else f"a {type(value).__name__}"


def _written(place: Sequence[int | str]) -> str:
    """``points[3].head_m`` from the tail of a place, without the part that is named before it."""
    steps = list(place)
    for index in range(len(steps) - 1, -1, -1):
        if (
            isinstance(steps[index], int)
            and index
            and steps[index - 1] in ("parts", "tubes", "layouts", "placed", "runs")
        ):
            steps = steps[index + 1 :] or [f"{steps[index - 1]}[{steps[index]}]"]
            break
    text = ""
    for step in steps:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text or "the file"


def _owner(data: Any, place: Sequence[int | str]) -> tuple[str, str | None]:
    """The named things on the way to a place: ``"layout 'A', part 'Pump A'"``, and the id of the innermost."""
    names: list[str] = []
    part = None
    here = data
    words = {"parts": "part", "tubes": "tube", "layouts": "layout", "placed": "placement of", "runs": "tube run"}
    for before, step in zip(["", *place], place, strict=False):
        here = _get(here, step)
        if before in words:
            name = _get(here, "name") or _get(here, "id") or _get(here, "part") or f"number {step}"
            names.append(f"{words[str(before)]} {name!r}")
            part = _get(here, "id") or _get(here, "part") or part
    if not names and isinstance(_get(data, "name"), str):
        names.append(f"{_get(data, 'kind') or 'build'} {_get(data, 'name')!r}")
        part = _get(data, "id")
    return ", ".join(names), part


def _get(value: Any, step: int | str) -> Any:
    if isinstance(value, BaseModel) and isinstance(step, str):
        return getattr(value, step, None)
    try:
        return value[step]
    except (KeyError, IndexError, TypeError):
        return None


def _fields_at(model: type[BaseModel], place: Sequence[int | str], data: Any) -> list[str]:
    """Names of the fields that a record at this place may have."""
    here: type[BaseModel] | None = model
    for step in place:
        data = _get(data, step)
        if isinstance(step, str) and here is not None and step in here.model_fields:
            here = next(iter(record_types(here.model_fields[step].annotation)), None)
        kind = _get(data, "kind")
        if isinstance(step, int) and kind in KINDS:
            here = KINDS[kind]
    if here is None:
        return []
    return list(here.model_fields)

"""Failure cases of a builder's own: several things that go wrong at once, kept with the build."""

from typing import Literal

from pydantic import field_validator

from loopsim.fields import Record, choice, points, text
from loopsim.parts import ID_PATTERN

__all__ = ["FailureEvent", "OwnFailure"]

What = Literal["stopped", "clogged", "kinked", "shut", "stuck open", "stuck shut", "low", "lost", "hot room"]


class FailureEvent(Record):
    """One thing that goes wrong."""

    what: What = choice(
        "what",
        "stopped: a pump or fan; clogged: a filter; kinked: a tube run; shut: a valve; stuck: a check valve; low: a "
        "reservoir that draws air; lost: a supply; hot room: 10 K more around the machine",
    )
    item: str | None = text("of", "id of the part or tube run; empty for the room", None, pattern=ID_PATTERN)


class OwnFailure(Record):
    """Something that a builder wants to be sure of."""

    name: str = text("failure", "what you call it: power cut on the left socket")
    events: tuple[FailureEvent, ...] = points("what fails", "all of it at once")

    @field_validator("events")
    @classmethod
    def _something_fails(cls, events: tuple[FailureEvent, ...]) -> tuple[FailureEvent, ...]:
        if not events:
            raise ValueError("a failure case needs at least 1 thing that fails, got none")
        for event in events:
            if (event.item is None) != (event.what == "hot room"):
                lacks = "needs the id of what fails" if event.item is None else "takes no id"
                raise ValueError(f"{event.what!r} {lacks}")
        return events

"""A proposed way for the run that is being drawn."""

from app.plan.changes import new_run
from app.plan.draft import RunDraft
from loopsim.parts import Corner
from loopsim.studies.fit import proposed_corners

__all__ = ["Proposals"]


class Proposals:
    """Ways from a draft's beginning to ports, each worked out once."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, str], list[Corner] | None] = {}

    def corners(self, draft: RunDraft, end: str) -> list[Corner] | None:
        """Corners clear of all that stands there, whatever has been drawn so far; None if there is no such way."""
        ends = (draft.begin, end)
        if ends not in self._found:
            edit = new_run(draft.build, draft.layout.name, *ends, (), draft.tube)
            layout = edit.build.layout(draft.layout.name)
            corners = proposed_corners(edit.build, layout, layout.runs[-1].id)
            self._found[ends] = None if corners is None else list(corners)
        return self._found[ends]

"""What the commands share: arguments, and how an answer is printed."""

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Annotated, Any

import typer

from loopsim.build import FILE_ENDING, Build

__all__ = ["AsJson", "CaseName", "File", "LayoutName", "Stop", "part_ids", "print_answer"]

File = Annotated[Path, typer.Argument(help=f"a build, ending {FILE_ENDING}", show_default=False)]
LayoutName = Annotated[str | None, typer.Option("--layout", help="name of the layout; the first if not given")]
CaseName = Annotated[str | None, typer.Option("--case", help="name of the load case; the first if not given")]
Stop = Annotated[
    list[str] | None,
    typer.Option("--stop", help="id or name of a pump or fan without power; may stand several times"),
]
AsJson = Annotated[bool, typer.Option("--json", help="print JSON instead of tables")]


def part_ids(build: Build, given: Iterable[str]) -> list[str]:
    """Ids of parts given by id or by the name that the answers show, where no other part has it."""
    names = [part.name for part in build.parts]
    known = {part.name: part.id for part in build.parts if names.count(part.name) == 1}
    return [each if each in build.parts_by_id else known.get(each, each) for each in given]


def print_answer(data: Any, show: Callable[[], object]) -> None:
    """JSON if there is any, else tables."""
    if data is None:
        show()
    else:
        print(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))

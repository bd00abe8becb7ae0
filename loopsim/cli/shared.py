"""What the commands share: arguments, and how an answer is printed."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from loopsim.build import FILE_ENDING

__all__ = ["AsJson", "CaseName", "File", "LayoutName", "print_answer"]

File = Annotated[Path, typer.Argument(help=f"a build, ending {FILE_ENDING}", show_default=False)]
LayoutName = Annotated[str | None, typer.Option("--layout", help="name of the layout; the first if not given")]
CaseName = Annotated[str | None, typer.Option("--case", help="name of the load case; the first if not given")]
AsJson = Annotated[bool, typer.Option("--json", help="print JSON instead of tables")]


def print_answer(data: Any, show: Callable[[], object]) -> None:
    """JSON if there is any, else tables."""
    if data is None:
        show()
    else:
        print(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))

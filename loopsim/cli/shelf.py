"""`loopsim shelf`: own parts and tubes, kept across builds."""

from collections.abc import Callable
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.table import Table
from rich.text import Text

from loopsim.build import load
from loopsim.build.shelf import Kept, Shelf, change_shelf, read_shelf, shelf_path
from loopsim.cli.shared import AsJson, File, print_answer
from loopsim.curves import worst_provenance
from loopsim.parts import Tube

__all__ = ["app"]

app = typer.Typer(help="List the parts and tubes that you keep across builds; add to them, take one away.")


@app.callback(invoke_without_command=True)
def _listed(context: typer.Context, as_json_: AsJson = False) -> None:
    if context.invoked_subcommand is None:
        shelf = read_shelf(shelf_path())
        print_answer([_as_json(item) for item in shelf.items] if as_json_ else None, lambda: _as_text(shelf))


@app.command()
def add(
    file: File, part: Annotated[str, typer.Argument(help="id of a part or tube of the build", show_default=False)]
) -> None:
    """Keep a part or tube of a build."""
    build = load(file)
    item: Kept = build.tube(part) if part in build.tubes_by_id else build.part(part)
    before, after = _changed(lambda shelf: shelf.with_item(item))
    fresh = [name for name in after.names if name not in before.names]
    print(f"kept as {fresh[0]!r}" if fresh else f"{item.name!r} is on the shelf already, with the same data")


@app.command()
def remove(name: Annotated[str, typer.Argument(help="what it is called on the shelf", show_default=False)]) -> None:
    """Take a part or tube off the shelf; builds that hold a copy keep it."""
    _changed(lambda shelf: shelf.without(name))
    print(f"took {name!r} off the shelf")


def _changed(change: Callable[[Shelf], Shelf]) -> tuple[Shelf, Shelf]:
    """The shelf before and after a change, as it was on disk."""
    found: list[Shelf] = []

    def note(shelf: Shelf) -> Shelf:
        found.append(shelf)
        return change(shelf)

    after = change_shelf(shelf_path(), note)
    return found[0], after


def _as_json(item: Kept) -> dict[str, Any]:
    kind = "tube" if isinstance(item, Tube) else item.kind_name()
    return {"kind": kind, **item.model_dump(mode="json", exclude_none=True)}


def _as_text(shelf: Shelf) -> None:
    out = Console(soft_wrap=True, highlight=False)
    if not shelf.items:
        out.print(Text("The shelf is empty: keep a part with `loopsim shelf add FILE PART`, or in the window."))
        return
    table = Table(box=None, pad_edge=False)
    for heading in ("name", "kind", "size", "worst source"):
        table.add_column(heading, no_wrap=True)
    for item in shelf.items:
        table.add_row(*(Text(word) for word in _row(item)))
    out.print(table)


def _row(item: Kept) -> tuple[str, str, str, str]:
    if isinstance(item, Tube):
        return item.name, "tube", f"{item.bore_mm:g}/{item.outer_mm:g} mm", item.provenance.kind
    size = f"{item.length_mm:g} x {item.width_mm:g} x {item.height_mm:g} mm"
    return item.name, item.title, size, worst_provenance(item.provenances) or "-"

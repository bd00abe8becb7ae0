"""`loopsim arrange`: in which order, and what beside what."""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.status import Status
from rich.text import Text

from loopsim import build
from loopsim.build import Build
from loopsim.cli.long_work import Cluster, Jobs
from loopsim.cli.rounding import rounded
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, part_ids, print_answer
from loopsim.cli.tables import console, fixed, new_table, numbers, say
from loopsim.studies import arranging
from loopsim.studies.arranging import Arrangement, Arrangements, First, Looking, ranking_words
from loopsim.studies.chunks import Workers
from loopsim.studies.sentence import marked
from loopsim.units import from_si

__all__ = ["arrange"]

_HOW = (
    "Pumps and vessels, with all that is joined to them, stay as they are drawn; the rest is led anew. Where branches "
    "leave and join there are tees, in the tubes where there is room, else in front of a port."
)


def arrange(
    file: File,
    layout: LayoutName = None,
    case: CaseName = None,
    keep: Annotated[int, typer.Option(min=1, help="how many are shown")] = 10,
    first: Annotated[First, typer.Option(help="figure by which they stand in order")] = "margin",
    part: Annotated[
        list[str] | None,
        typer.Option(help="id or name of a block or radiator that may change places; may stand several times; all"),
    ] = None,
    as_entered: Annotated[
        bool, typer.Option("--as-entered", help="every part is entered by the port by which it is entered as drawn")
    ] = False,
    draw: Annotated[int, typer.Option(min=1, help="how many promising ones are drawn and solved")] = arranging.DRAWN,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="write the build with the arrangements shown as layouts")
    ] = None,
    jobs: Jobs = None,
    cluster: Cluster = "",
    as_json_: AsJson = False,
) -> None:
    """Try orders of the blocks and radiators where they stand, in series and in parallel, and their ports."""
    loaded = build.load(file)
    with Status("", console=Console(stderr=True)) as status:
        found = arranging.arrange(
            loaded, layout, case, keep, first, part_ids(loaded, part or ()), not as_entered, draw,
            Workers(jobs, cluster),
            lambda looking: status.update(_progress(looking)),
        )  # fmt: skip
    if output is not None:
        build.save(_with_all(loaded, found), output)
    print_answer(_as_json(found) if as_json_ else None, lambda: _as_text(found, first, output))


def _progress(looking: Looking) -> str:
    return f"{looking.stage}: {looking.done} of {looking.of}"


def _with_all(loaded: Build, found: Arrangements) -> Build:
    for number, each in enumerate(found.best, start=1):
        loaded = arranging.taken(loaded, each, f"arrangement {number}")[0].build
    return loaded


def _as_json(found: Arrangements) -> dict[str, Any]:
    return {
        "as_drawn": _arrangement(found.as_drawn),
        "arrangements": [_arrangement(each) for each in found.best],
        "tried": found.tried,
        "drawn": found.drawn,
        "not_drawn": found.not_drawn,
    }


def _arrangement(each: Arrangement) -> dict[str, Any]:
    return {
        "order": each.words,
        "passed_the_other_way": list(each.turned),
        "fits_and_holds": each.is_sound,
        "flow_l_h": rounded(from_si(each.flow, "l_h"), 6),
        "margin_k": rounded(each.margin, 6),
        "warmest": None if each.heat.warmest is None else each.heat.warmest.name,
        "tube_m": rounded(each.tube, 6),
        "fittings": each.fittings,
        "high_points": each.high_points,
        "high_points_that_may_keep_air": each.keeps_air,
        "problems": [finding.text for finding in each.problems],
    }


def _as_text(found: Arrangements, first: First, output: Path | None) -> None:
    out = console()
    columns = numbers("flow {l_h}", "margin {k}", "tube {m}", "fittings", "high points", "may keep air")
    table = new_table("", ("", True), *columns, ("order", False))
    table.columns[-1].no_wrap = False
    named = [("now", found.as_drawn), *((str(n), each) for n, each in enumerate(found.best, start=1))]
    for name, each in named:
        table.add_row(Text(name), *map(Text, _cells(each)), Text(each.words))
    out.print(table)
    for name, each in named:
        for note in _notes(each):
            say(out, f"{name:>3}  {note}")
    out.print(Text("→ is after, ‖ is beside."))
    out.print(Text(ranking_words(first)))
    out.print(Text(_HOW))
    missed = f", {found.not_drawn} more found no way for a tube or no place for a tee" if found.not_drawn else ""
    out.print(Text(f"{found.tried} orders tried, {found.drawn} drawn and solved{missed}."))
    if output is not None:
        out.print(Text(f"Written as layouts into {output}."))


def _cells(each: Arrangement) -> tuple[str, ...]:
    return (
        fixed(each.flow, 0, "l_h"),
        fixed(each.margin, 1, "k"),
        fixed(each.tube, 2, "m"),
        str(each.fittings),
        str(each.high_points),
        str(each.keeps_air),
    )


def _notes(each: Arrangement) -> Iterator[str]:
    """What a builder should know besides the figures."""
    if each.turned:
        yield f"passed the other way than drawn: {', '.join(each.turned)}"
    yield from (f"does not fit: {marked(finding.text)}" for finding in each.problems)
    yield from (f"{component.name} is past its limit" for component in each.heat.components if not component.holds)

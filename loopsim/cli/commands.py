"""The commands, and how their errors leave the program.

Exit status: 0 answered; 2 the input is not usable, said in one line on standard error; 1 a defect of ours.
"""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from loopsim import __version__, build, studies
from loopsim.cli import (
    arranging,
    as_json,
    as_text,
    closing,
    comparing,
    failing,
    fill,
    high_points,
    quieting,
    shelf,
    spreading,
    sweeping,
)
from loopsim.cli import transient as in_time
from loopsim.cli.shared import AsJson, CaseName, File, LayoutName, Stop, part_ids, print_answer
from loopsim.cli.tables import Units, measure_in
from loopsim.errors import LoopsimError, NotSolved
from loopsim.parts import Pump

__all__ = ["main"]

_UNITS = "--units"

app = typer.Typer(
    name="loopsim",
    help="Flow, head, heat and failures of a liquid-cooling loop drawn to scale.",
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

# The root of typer's errors about the arguments; newer versions carry their own copy of click.
_UsageError: Any = next(each for each in typer.BadParameter.__mro__ if each.__name__ == "ClickException")

app.add_typer(shelf.app, name="shelf")
app.command()(in_time.transient)
app.command()(failing.failures)
app.command()(high_points.highpoints)
app.command()(fill.fill)
app.command()(fill.drain)
app.command()(fill.leaktest)
app.command()(closing.swell)
app.command()(closing.covers)
app.command()(comparing.compare)
app.command()(sweeping.sweep)
app.command()(spreading.tolerance)
app.command()(quieting.quiet)
app.command()(arranging.arrange)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    given = _units_first(sys.argv[1:] if arguments is None else arguments)
    try:
        return int(app(args=given, standalone_mode=False) or 0)
    except NotSolved as error:
        return _say(str(error), 1)
    except LoopsimError as error:
        return _say(str(error), 2)
    except _UsageError as error:
        return _say(error.format_message(), 2)
    except (typer.Abort, KeyboardInterrupt):
        return _say("stopped", 130)
    except BrokenPipeError:  # whoever read our output has gone, as `head` does
        sys.stderr.close()
        return 0


def _units_first(arguments: Sequence[str]) -> list[str]:
    """The option of units may stand anywhere; it is read before the command."""
    at = next((number for number, each in enumerate(arguments) if each.partition("=")[0] == _UNITS), None)
    if at is None:
        return list(arguments)
    end = at + 1 if "=" in arguments[at] else at + 2
    return [*arguments[at:end], *arguments[:at], *arguments[end:]]


def _say(sentence: str, status: int) -> int:
    print(f"loopsim: {' '.join(sentence.split())}", file=sys.stderr)
    return status


@app.callback(invoke_without_command=True)
def _root(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="print the version")] = False,
    units: Annotated[
        Units, typer.Option(_UNITS, help="SI or US customary units in tables and sentences; JSON and files stay SI")
    ] = Units.SI,
) -> None:
    measure_in(units)
    if version:
        print(__version__)
    elif context.invoked_subcommand is None:
        print(context.get_help())


@app.command()
def solve(
    file: File,
    layout: LayoutName = None,
    case: CaseName = None,
    stop: Stop = None,
    as_json_: AsJson = False,
) -> None:
    """Solve one layout: flow, head, pressure budget, temperatures, air, warnings."""
    loaded = build.load(file)
    name = loaded.load_case(case).name
    stopped = part_ids(loaded, stop or ())
    cases = studies.heat_points(loaded, layout, stopped)
    shown = next(each for each in cases if each.case.name == name)
    standing = {part_id for part_id in stopped if isinstance(loaded.part(part_id), Pump)}
    point = studies.operating_point(loaded, layout, standing)
    print_answer(as_json.solved(point, shown, cases) if as_json_ else None, lambda: as_text.solved(point, shown, cases))


@app.command()
def report(
    file: File,
    output: Annotated[Path, typer.Option("--output", "-o", help="where to write: .html, .pdf or .md")],
    layout: LayoutName = None,
) -> None:
    """Write the report for a build log: flow, heat, parts, cuts, cautions."""
    from loopsim.report import write_report  # templates and figures load slowly

    for path in write_report(build.load(file), output, layout):
        print(path)


@app.command()
def check(file: File, as_json_: AsJson = False) -> None:
    """Read a build and say what its drawings lack, layout by layout, without solving."""
    loaded = build.load(file)
    found = {layout.name: studies.findings(loaded, layout.name) for layout in loaded.layouts}
    print_answer(
        {name: as_json.findings(each) for name, each in found.items()} if as_json_ else None,
        lambda: as_text.check(loaded, found),
    )


@app.command()
def schema() -> None:
    """Print the JSON Schema of a build's file."""
    print_answer(build.schema(), lambda: None)

"""Pump curves, system curves and where they cross, as an SVG drawing."""

import io
import re
import textwrap
import warnings
from collections.abc import Iterable
from typing import Any

import numpy as np

from loopsim.report.text import shortened, significant
from loopsim.studies.results import CurveLine, PumpPlot
from loopsim.units import from_si

__all__ = ["curves_svg"]

_WIDTH_IN, _AXES_IN, _LINE_IN = 174 / 25.4, 66 / 25.4, 4.2 / 25.4  # the key under the axes needs its lines
_LONGEST_NAME, _COLUMN = 34, 44  # characters of a name in the key, and of one of its lines
_INK, _SOFT, _LIQUID, _RUST = "#111111", "#777777", "#1D6F7A", "#B5532A"
_MARKERS = ("s", "^", "D", "v", "P", "X")
_STYLE: Any = {
    "svg.fonttype": "none",  # letters stay letters: they can be read aloud, searched, and set in any script
    "svg.hashsalt": "loopsim",  # the same drawing has the same ids
    "text.parse_math": False,  # a dollar in a name is a dollar
    "font.family": ["sans-serif"],
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 7.5,
    "axes.linewidth": 0.6,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.unicode_minus": True,
}


def curves_svg(plot: PumpPlot) -> str:
    """Head against flow of a group of pumps: as it runs, and with each pump stopped.

    Estimated stretches are dashed; every operating point has a mark of its own, explained under the axes with its
    flow and head.

    Returns
    -------
    str
        One SVG element, 174 mm wide, whose ids begin with the name of the first pump.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure as Canvas

    with mpl.rc_context(_STYLE), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")  # the reader's own fonts will have it
        canvas = Canvas(figsize=(_WIDTH_IN, _AXES_IN), layout="constrained")
        axes = canvas.subplots()
        handles = [*_running(axes, plot), *_stopped(axes, plot)]
        _frame(axes, plot)
        labels = [textwrap.fill(handle.get_gid(), _COLUMN) for handle in handles]
        canvas.legend(handles, labels, loc="outside lower left", ncols=2, frameon=False, handlelength=2.6)
        canvas.set_figheight(_AXES_IN + _LINE_IN * _lines(labels))
        for handle in handles:
            handle.set_gid(None)
        file = io.StringIO()
        canvas.savefig(file, format="svg", metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")))
    return _as_element(file.getvalue(), f"curves-{plot.pumps[0]}-")


def _running(axes: Any, plot: PumpPlot) -> Iterable[Any]:
    for line in plot.each:
        yield _curve(axes, line, shortened(line.label, _COLUMN), color=_SOFT, lw=0.8)
    yield _curve(axes, plot.system, "system: head that the loop needs", color=_INK, lw=1.2)
    label = f"{shortened(plot.combined.label, _LONGEST_NAME)}: {_at(plot.flow, plot.head)}"
    yield _curve(axes, plot.combined, label, color=_LIQUID, lw=1.8, mark=(plot, "o"))


def _stopped(axes: Any, plot: PumpPlot) -> Iterable[Any]:
    for number, case in enumerate(plot.stopped):
        mark = (case, _MARKERS[number % len(_MARKERS)])
        label = f"{shortened(case.name, _LONGEST_NAME)} stopped: {_at(case.flow, case.head)}"
        yield _curve(axes, case.combined, label, color=_RUST, lw=1.4, mark=mark)
        if _differ(case.system, plot.system):
            _curve(axes, case.system, "", color=_RUST, lw=0.6)


def _curve(axes: Any, line: CurveLine, label: str, mark: tuple[Any, str] | None = None, **look: Any) -> Any:
    """Draw one line, dashed where it is an estimate; returns the handle for the key, its words kept as its gid."""
    flow = from_si(1.0, "l_h") * line.flow
    first_unsure = len(flow) if line.sure_up_to is None else int((line.flow <= line.sure_up_to).sum())
    (handle,) = axes.plot(flow[:first_unsure], line.head[:first_unsure], **look)
    if first_unsure < len(flow):
        start = max(0, first_unsure - 1)
        axes.plot(flow[start:], line.head[start:], linestyle=(0, (4, 3)), **look)
    if mark is not None:
        point, shape = mark
        dot = {"marker": shape, "markersize": 5.5, "markerfacecolor": "white", "markeredgewidth": 1.2}
        axes.plot([from_si(point.flow, "l_h")], [point.head], linestyle="", color=look["color"], zorder=5, **dot)
        handle.set(marker=shape, markersize=5.5, markerfacecolor="white", markeredgewidth=1.2, markevery=[])
    handle.set_gid(label)
    return handle


def _lines(labels: list[str]) -> int:
    """Lines that a key in two columns takes."""
    half = (len(labels) + 1) // 2
    return max(sum(label.count("\n") + 1 for label in column) for column in (labels[:half], labels[half:]))


def _differ(line: CurveLine, other: CurveLine) -> bool:
    """True if two lines are further apart than a pen is wide."""
    head = np.interp(line.flow, other.flow, other.head)
    return bool(np.abs(line.head - head).max() > 0.01 * np.abs(head).max())


def _frame(axes: Any, plot: PumpPlot) -> None:
    heads = [float(line.head.max()) for line in (plot.combined, *plot.each)]
    flows = [float(line.flow[line.head >= 0].max(initial=0.0)) for line in (plot.combined, *plot.each)]
    axes.set_xlim(0.0, 1.03 * max(from_si(max(*flows, plot.flow), "l_h"), 1.0))
    axes.set_ylim(0.0, 1.08 * max(*heads, plot.head, 0.1))
    axes.set_xlabel("flow, L/h")
    axes.set_ylabel("head, m")
    axes.grid(color="#e4e4e4", linewidth=0.5)


def _at(flow: float, head: float) -> str:
    return f"{significant(from_si(flow, 'l_h'))} L/h at {significant(head)} m"


def _as_element(document: str, prefix: str) -> str:
    """The svg element alone, with ids that stay apart when several drawings share one page."""
    element = document[document.index("<svg") :]
    element = re.sub(r"<style.*?</style>", "", element, flags=re.DOTALL)
    element = element.replace("<svg ", '<svg stroke-linejoin="round" stroke-linecap="butt" ', 1)
    element = re.sub(r'(?<= id=")', prefix, element)
    return re.sub(r'(?<=href="#)|(?<=url\(#)', prefix, element)

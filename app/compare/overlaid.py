"""The pumps' curves of several layouts in one plot."""

from collections.abc import Sequence
from typing import NamedTuple

from app.compare.strokes import stroke_of
from app.curve_plot import CurvePlot
from app.plot_ink import Drawing
from app.theme import themes
from loopsim.studies import CurveLine, PumpPlot

__all__ = ["Overlaid", "OverlaidCurves"]


class Overlaid(NamedTuple):
    """The first plot of each layout, with the layout's name."""

    names: tuple[str, ...]
    plots: tuple[PumpPlot, ...]

    @property
    def combined(self) -> CurveLine:
        """The curve around which a band would lie."""
        return self.plots[0].combined


class OverlaidCurves(CurvePlot):
    """Of each layout the curve of its pumps together, its system curve, and where they cross."""

    def __init__(self) -> None:
        super().__init__(shows_stopped=False)
        self.setAccessibleName("curves of the layouts")

    def show_plots(self, names: Sequence[str], plots: Sequence[PumpPlot], old: bool = False) -> None:
        """Show plots by the names of their layouts."""
        now = Overlaid(tuple(names), tuple(plots))
        same = isinstance(self.shown, Overlaid) and self.shown.names == now.names
        if same and all(one is other for one, other in zip(self.shown.plots, now.plots, strict=True)):
            now = self.shown
        self.show_plot(now if now.plots else None, old)

    def _asked_for(self) -> CurveLine | None:
        """That of a single layout: several bands on one another would tell nothing apart."""
        return self.shown.plots[0].system if self.shown is not None and len(self.shown.plots) == 1 else None

    def _compose(self, plot: Overlaid, drawing: Drawing) -> None:
        theme = themes.current
        for number, (name, each) in enumerate(zip(plot.names, plot.plots, strict=True)):
            stroke = stroke_of(number)
            colour = getattr(theme, stroke.role)
            drawing.curve(f"system {number}", each.system, colour, 1.0, stroke.dash)
            drawing.curve(f"combined {number}", each.combined, colour, 2.0, stroke.dash)
            drawing.point(f"{number}", each.flow, each.head, colour)
            words = f"{name}: {self.axes.flow_text(each.flow)}"
            drawing.name_point(words, each.flow, each.head, getattr(theme, stroke.text_role), bold=True)

    def _reach(self, plot: Overlaid) -> tuple[float, float]:
        reaches = [super(OverlaidCurves, self)._reach(each) for each in plot.plots]
        return max(flow for flow, _ in reaches), max(head for _, head in reaches)

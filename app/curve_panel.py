"""The plots of a layout: one for the group that its machines form, or one for each machine to choose from."""

from collections.abc import Sequence

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.answer import Answer
from app.curve_axes import CurveAxes, air_axes, liquid_axes
from app.curve_plot import CurvePlot
from app.picker import Picker
from app.theme import Type, font
from loopsim.build import Build
from loopsim.parts import Fan, Pump
from loopsim.studies import AirPlot, PumpPlot

__all__ = ["CurvePanel"]


class CurvePanel(QWidget):
    """The plot in view, and a choice where there are several."""

    def __init__(self, shows_stopped: bool) -> None:
        super().__init__()
        self.plots: tuple[PumpPlot, ...] = ()
        self._axes: tuple[CurveAxes, ...] = ()
        self._tolerances: list[float] = []
        self.picker = Picker("group", self)
        self.why = QLabel(self, wordWrap=True, visible=False)
        self.why.setProperty("tone", "soft")
        self.why.setFont(font(Type.SMALL))
        self.plot = CurvePlot(shows_stopped)
        self._old = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget, stretch in ((self.picker, 0), (self.why, 0), (self.plot, 1)):
            column.addWidget(widget, stretch)
        self.picker.currentChanged.connect(self._on_picked)

    def show_answer(self, answer: Answer, build: Build) -> None:
        """Show the plots of an answer's pumps; none of them, if it has none."""
        self._show_liquid(answer.plots, answer.curves_are_old, build)

    def _show_liquid(self, plots: Sequence[PumpPlot], old: bool, build: Build) -> None:
        self._show(plots, [liquid_axes()] * len(plots), old, build)

    def show_air(self, plots: Sequence[AirPlot], old: bool, build: Build) -> None:
        """Show the plots of fans; none of them, if there is none."""
        self._show([plot.curves for plot in plots], [air_axes(plot.density) for plot in plots], old, build)

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection: bring up the plot of a selected machine."""
        wanted = next((number for number, plot in enumerate(self.plots) if ids & set(plot.pumps)), None)
        if wanted is not None and len(self.plots) > 1:
            self.picker.setCurrentIndex(wanted)
        self.plot.choose(ids)

    def plot_at(self, number: int) -> PumpPlot:
        """What is shown of a plot."""
        return self.plots[number]

    def _show(self, plots: Sequence[PumpPlot], axes: Sequence[CurveAxes], old: bool, build: Build) -> None:
        self.plots, self._axes, self._old = tuple(plots), tuple(axes), old
        self._tolerances = [_tolerance(plot, build) for plot in self.plots]
        self.picker.offer([_title(plot, build) for plot in self.plots])
        self.setVisible(bool(self.plots))
        self._on_picked()

    def _on_picked(self, _: int = 0) -> None:
        at = self.picker.at
        plot = self.plot_at(at) if at < len(self.plots) else None
        why = plot.why_single if plot is not None else ""
        self.why.setText(f"{why[:1].upper()}{why[1:]}.")
        self.why.setVisible(bool(why))
        if plot is None:
            self.plot.show_plot(None, self._old)
        else:
            self.plot.show_plot(plot, self._old, self._tolerances[at], self._axes[at])


def _title(plot: PumpPlot, build: Build) -> str:
    """Names of the plot's machines; an older plot may speak of one that is gone."""
    return ", ".join(build.parts_by_id[each].name for each in plot.pumps if each in build.parts_by_id)


def _tolerance(plot: PumpPlot, build: Build) -> float:
    """The widest band of the plot's machines, as a share of the head."""
    machines = (build.parts_by_id[each] for each in plot.pumps if each in build.parts_by_id)
    return max((each.curve.relative_tolerance for each in machines if isinstance(each, Pump | Fan)), default=0.0)

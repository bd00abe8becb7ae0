"""What was measured on the finished machine, against what was worked out for it."""

from dataclasses import dataclass

from loopsim.studies.results import OperatingPoint
from loopsim.studies.sentence import Sentence
from loopsim.studies.words import NO_FLOW, l_h
from loopsim.units import to_si

__all__ = ["MeasuredFlow", "measured_against"]


@dataclass(frozen=True, slots=True)
class MeasuredFlow:
    """The flow of one layout, measured and predicted at the same part.

    Attributes
    ----------
    measured, predicted : float
        [m3/s].
    at : str or None
        Id of the part in which both are read; None where the layout has none that stands for the loop.
    place : str
        What that part is called, empty where there is none.
    note : str
        How it was measured, in the builder's words; may be empty.
    """

    measured: float
    predicted: float
    at: str | None
    place: str
    note: str

    @property
    def deviation(self) -> float:
        """Predicted over measured, less one: 0.08 where the prediction is 8 % too high."""
        return self.predicted / self.measured - 1.0

    @property
    def sentence(self) -> Sentence:
        """``"measured 305 L/h at Reservoir, predicted 330 L/h, +8 %"``."""
        where = f" at {self.place}" if self.place else ""
        read = f"measured {l_h(self.measured)}{where}"
        if self.predicted < NO_FLOW:
            return Sentence(f"{read}, predicted none: as drawn, nothing flows there")
        return Sentence(f"{read}, predicted {l_h(self.predicted)}, {_percent(self.deviation)}")


def measured_against(point: OperatingPoint) -> MeasuredFlow | None:
    """The measured flow of a solved layout beside the predicted one.

    None where nothing was measured, or where a pump is stopped: what was measured holds with all of them running.
    """
    measured = point.layout.measured_flow_l_h
    if measured is None or point.stopped:
        return None
    return MeasuredFlow(
        measured=to_si(measured, "l_h"),
        predicted=point.loop_flow,
        at=point.loop_flow_at,
        place=point.build.part(point.loop_flow_at).name if point.loop_flow_at else "",
        note=point.layout.measured_note or "",
    )


def _percent(share: float) -> str:
    """Whole per cent with its sign; a share that rounds to nothing has none."""
    rounded = round(100 * share)
    return f"{rounded:+d} %" if rounded else "0 %"

"""All checks of fit, one after the other."""

from loopsim.build import Build, Layout
from loopsim.studies.fit.bodies import body_findings
from loopsim.studies.fit.closing import closing_findings
from loopsim.studies.fit.direction import direction_findings
from loopsim.studies.fit.drawing import Drawing
from loopsim.studies.fit.joints import joint_findings
from loopsim.studies.fit.metals import metal_findings
from loopsim.studies.fit.room import room_findings
from loopsim.studies.fit.turns import turn_findings
from loopsim.studies.harm import by_harm
from loopsim.studies.results import Finding

__all__ = ["fit"]


def fit(build: Build, layout_name: str | None = None) -> tuple[Finding, ...]:
    """Whether a layout fits together and into its enclosure, from the drawing alone.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.

    Returns
    -------
    findings : tuple of Finding
        The most harmful first; each says what to do about it, see `remedied`. Parts that stand outside the enclosure
        on purpose are left out.

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    layout = build.layout(layout_name)
    drawing = Drawing(build, layout)
    found = [
        *_of_circuits(build, layout),
        *joint_findings(drawing),
        *turn_findings(drawing),
        *body_findings(drawing),
        *room_findings(drawing),
    ]
    return tuple(by_harm(found))


def _of_circuits(build: Build, layout: Layout) -> tuple[Finding, ...]:
    """What follows from parts and what joins them, wherever they stand: the same all through a drag."""
    global _last_circuits
    joins = tuple((run.id, run.start, run.end, run.tube) for run in layout.runs)
    key = (build.parts, build.tubes, tuple(layout.placements), joins)
    known = _last_circuits
    if known is None or known[0] != key:
        found = (
            *closing_findings(build, layout),
            *direction_findings(build, layout),
            *metal_findings(build, layout),
        )
        known = _last_circuits = (key, found)
    return known[1]


_last_circuits: tuple[tuple[object, ...], tuple[Finding, ...]] | None = None

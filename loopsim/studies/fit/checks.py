"""All checks of fit, one after the other."""

from collections.abc import Iterator

from loopsim.build import Build, Layout
from loopsim.studies.fit.as_joined import as_joined
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
        *as_joined(build, layout, _of_circuits),
        *joint_findings(drawing),
        *turn_findings(drawing),
        *body_findings(drawing),
        *room_findings(drawing),
    ]
    return tuple(by_harm(found))


def _of_circuits(build: Build, layout: Layout) -> Iterator[Finding]:
    yield from closing_findings(build, layout)
    yield from direction_findings(build, layout)
    yield from metal_findings(build, layout)

"""The report of one layout: everything solved once, then section by section in the order a builder reads."""

from datetime import date

from loopsim import __version__
from loopsim.build import Build
from loopsim.report import (
    closing_sections,
    fill_sections,
    flow_sections,
    heat_sections,
    making_sections,
    pressure_sections,
    trust_sections,
)
from loopsim.report.alarm_section import alarm_levels
from loopsim.report.content import Report
from loopsim.report.words import Namer
from loopsim.studies import failures, heat_points, news_of_heat, operating_point, pump_plots
from loopsim.studies.fill import swell_sheet

__all__ = ["report_content"]


def report_content(build: Build, layout_name: str | None = None, dated: date | None = None) -> Report:
    """What the report of a layout says, apart from how it is set.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    dated : date, optional
        Date of the report, today if not given. The same build and date give the same report to the last byte.

    Raises
    ------
    SketchError
        If there is no such layout, or nothing is placed in it.
    """
    point = operating_point(build, layout_name)
    layout = point.layout
    cases = heat_points(build, layout.name)
    heat = cases[0]
    stopped = failures(build, layout.name, heat)
    name, swells = Namer(build, layout), swell_sheet(point, cases)
    dated = dated or date.today()
    return Report(
        title=f"Flow and heat report: {build.name}",
        dated=dated,
        facts=(
            ("Build", build.name),
            ("Layout", layout.name),
            ("Date", dated.isoformat()),
            ("Worked out by", f"Loopsim {__version__}"),
        ),
        notes=tuple(line for line in build.note.splitlines() if line.strip()),
        sections=(
            flow_sections.answer(point, stopped, heat, name),
            flow_sections.plan(point, name),
            flow_sections.operating(point, name),
            pressure_sections.budget(point, name),
            pressure_sections.grade(point),
            flow_sections.curves(pump_plots(build, layout.name, stopped)),
            flow_sections.failure_table(stopped, heat.case),
            *alarm_levels(layout),
            heat_sections.temperatures(heat, cases),
            heat_sections.balance(heat),
            heat_sections.air(heat),
            making_sections.parts_list(build, layout),
            making_sections.cut_list(build, layout, name),
            making_sections.coolant_volume(build, layout, name),
            fill_sections.filling(build, layout),
            fill_sections.draining(build, layout),
            fill_sections.leaks(build, layout),
            closing_sections.swelling(swells),
            *closing_sections.clear_plastic(point, swells),
            trust_sections.finding_list((*news_of_heat(heat, cases, point), *point.findings)),
            trust_sections.cautions(),
            trust_sections.data(build, layout, stopped, name),
            trust_sections.left_out(),
        ),
    )

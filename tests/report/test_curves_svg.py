"""The figure of pump curves and system curve."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from loopsim.report.curves_svg import curves_svg
from loopsim.studies import CurveLine, PumpPlot, StoppedCase

SVG = "{http://www.w3.org/2000/svg}"
FLOW = np.linspace(0.0, 1.2e-4, 25)


def _plot(name: str = "pump $a$ <b>") -> PumpPlot:
    """Two pumps side by side whose curves are parabolas; invented."""
    one = CurveLine(f"{name} alone", FLOW, 4.0 - 2e8 * FLOW**2, sure_up_to=1.0e-4)
    system = CurveLine("loop", FLOW, 3e8 * FLOW**2)
    stopped = StoppedCase("a", name, one, system, 0.9e-4, 2.4)
    combined = CurveLine("both pumps", FLOW, 4.0 - 0.5e8 * FLOW**2, sure_up_to=1.2e-4)
    return PumpPlot(("a", "b"), combined, system, (one, one), 1.07e-4, 3.43, (stopped,))


def _words(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


def test_the_key_names_every_line_and_gives_each_operating_point() -> None:
    words = " ".join(_words(curves_svg(_plot())))
    assert "both pumps: 385 L/h at 3.43 m" in words
    assert "pump $a$ <b> stopped: 324 L/h at 2.40 m" in words
    assert "pump $a$ <b> alone" in words
    assert "flow, L/h" in words
    assert "head, m" in words


def test_beyond_the_data_lines_are_dashed() -> None:
    dashed = curves_svg(_plot()).count("stroke-dasharray: ")
    plot = _plot()
    sure = replace(plot.each[0], sure_up_to=None)
    stopped = replace(plot.stopped[0], combined=sure)
    assert curves_svg(replace(plot, each=(sure, sure), stopped=(stopped,))).count("stroke-dasharray: ") == dashed - 3


def test_the_system_curve_of_a_stopped_case_is_drawn_only_where_it_differs() -> None:
    plot = _plot()
    other = replace(plot.stopped[0], system=CurveLine("loop", FLOW, 4e8 * FLOW**2))
    assert _lines(curves_svg(replace(plot, stopped=(other,)))) == _lines(curves_svg(plot)) + 1


def _lines(svg: str) -> int:
    return len(re.findall(r'<g id="[^"]*line2d', svg))


def test_the_drawing_is_one_element_with_ids_of_its_own_and_no_date() -> None:
    svg = curves_svg(_plot())
    ids = re.findall(r' id="([^"]*)"', svg)
    assert svg.startswith("<svg")
    assert len(ids) == len(set(ids))
    assert all(each.startswith("curves-a-") for each in ids)
    assert set(re.findall(r'href="#([^"]*)"', svg)) | set(re.findall(r"url\(#([^)]*)\)", svg)) <= set(ids)
    assert "metadata" not in svg
    assert "<style" not in svg


def test_the_same_plot_gives_the_same_bytes() -> None:
    assert curves_svg(_plot()) == curves_svg(_plot())


@pytest.mark.parametrize("name", ["名前", "_hidden", "a" * 90])
def test_any_name_can_be_drawn(name: str) -> None:
    words = " ".join(_words(curves_svg(_plot(name))))
    assert name[:33] in words
    assert "stopped: 324 L/h" in words

"""Where ports are proposed, and what they bring."""

from contextlib import suppress

import pytest

from loopsim.build import load
from loopsim.build.service_ports import add_service_port
from loopsim.errors import SketchError
from loopsim.parts import DrainPort, FillPort
from loopsim.studies import operating_point
from loopsim.studies.fill import (
    HighPoint,
    PortProposal,
    air_map,
    bleed_proposal,
    drain,
    drain_plan,
    drain_proposal,
    fill_proposal,
)
from loopsim.units import from_si

PIER = "sample_loops/pier-camera.loop.json"


def test_a_bleed_port_on_the_crest_lets_its_air_out_once_opened():
    """Bend to bend, the crest of a tube holds its air; a cap on top of it lets all of it out."""
    build = load(PIER)
    name = build.layouts[0].name
    crest = next(each for each in air_map(operating_point(build)).points if each.at.item == "run_3")
    found = bleed_proposal(build, name, crest)
    assert found.gain == pytest.approx(crest.gas, rel=0.05)
    opened = air_map(operating_point(found.edit.build), opened=[found.port])
    assert opened.gas == pytest.approx(air_map(operating_point(build)).gas - found.gain, abs=0.5e-6)


def test_a_high_point_inside_a_part_is_not_promised_away():
    """The top of the radiator's tank lies above every tube beside it: a port in a tube cannot reach it."""
    build = load(PIER)
    inside = next(each for each in air_map(operating_point(build)).points if each.at.item == "radiator")
    found = bleed_proposal(build, build.layouts[0].name, inside)
    assert found.gain == pytest.approx(0.0, abs=1e-7)
    assert "none of this air" in found.sentence
    assert not inside.takes_port


@pytest.mark.parametrize("sample", ["render-plinth", "kiln-lamp", "pier-camera", "awkward-riser"])
def test_what_the_air_map_advises_can_be_done(sample: str):
    """A port is advised if and only if one put there lets air of that high point out, as trying it shows."""
    build = load(f"sample_loops/{sample}.loop.json")
    for layout in build.layouts:
        for high in air_map(operating_point(build, layout.name)).points:
            said = "put a bleed port" in high.sentence
            assert said == high.takes_port
            if high.takes_port:
                assert bleed_proposal(build, layout.name, high).helps
            elif high.verdict != "clears" and high.cap is None and not high.is_stirred:
                found = bleed_proposal(build, layout.name, high)
                opened = [*_opened(found, layout.name)] if found is not None and found.helps else []
                assert not any(each.at.place == high.at.place and each.gas < high.gas for each in opened)


def _opened(found: PortProposal, layout: str) -> tuple[HighPoint, ...]:
    """High points once the proposed port is in and open."""
    return air_map(operating_point(found.edit.build, layout), opened=[found.port]).points


def test_a_port_above_the_level_that_nothing_presses_out_of_is_not_offered():
    """A crest over the vessel, all pumps standing: an opening there lets air in (communicating vessels)."""
    build = load("sample_loops/awkward-riser.loop.json")
    crest = next(each for each in air_map(operating_point(build)).points if each.at.item == "run_6")
    assert crest.bled_while == "never"
    assert crest.tube_reaches
    assert not bleed_proposal(build, build.layouts[0].name, crest).helps


def test_a_proposed_drain_lets_out_what_its_plan_says():
    build = load(PIER)
    name = build.layouts[0].name
    best = drain_proposal(build, name)
    assert isinstance(best.edit.build.part(best.port), DrainPort)
    drained = drain_plan(best.edit.build, name).drain.drained
    assert drained == pytest.approx(best.gain)  # there was no opening before
    assert f"{from_si(drained, 'ml'):.0f} mL run off" in best.sentence
    low = drain(best.edit.build, name).low_points[0].at
    again = drain_proposal(best.edit.build, name, low)
    assert drain_plan(again.edit.build, name).drain.drained == pytest.approx(drained + again.gain)


def test_no_place_beside_a_corner_or_port_lets_the_fill_port_stand_higher():
    """Against every place that there is."""
    build = load(PIER)
    name = build.layouts[0].name
    layout = build.layout(name)
    heights = []
    for run in layout.runs:
        for spot in build.run_path(layout, run).spots:
            with suppress(SketchError):
                edit, port = add_service_port(build, name, FillPort, run.id, spot[:2])
                placed, part = edit.build.layout(name).placement(port), edit.build.part(port)
                heights.append(placed.height_mm + part.opening_height_mm)
    assert from_si(fill_proposal(build, name).gain, "mm") == pytest.approx(max(heights))

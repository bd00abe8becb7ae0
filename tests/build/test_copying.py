"""Parts and runs copied within a build and from one build to another."""

import pytest

from loopsim.build import Build, Placement, arranging, copying, edits, from_text, to_text
from loopsim.errors import SketchError
from loopsim.parts import KINDS, Fan, Pump, Supply, Tube

NAME = "layout 1"


def test_a_copy_has_ids_and_names_of_its_own_and_its_runs_come_along(build):
    cut = copying.cutting(build, NAME, ["pump", "block"])
    edit, ids = copying.paste(build, NAME, cut, 10.0, 200.0)
    layout = edit.build.layout(NAME)
    assert ids == {"pump_2", "block_2", "run"}
    assert [edit.build.part(part).name for part in ("pump_2", "block_2")] == ["Pump 2", "Block 2"]
    copied = layout.run("run")
    assert (copied.start, copied.end) == ("pump_2.outlet", "block_2.inlet")
    assert (layout.placement("pump_2").x_mm, layout.placement("pump_2").y_mm) == (310, 300)
    assert edit.text == "Paste 2 parts"


def test_the_tube_is_not_doubled_where_it_is_known_and_comes_along_where_it_is_not(build):
    cut = copying.cutting(build, NAME, ["pump", "block"])
    assert copying.paste(build, NAME, cut, 0.0, 0.0)[0].build.tubes == build.tubes
    other = Build(name="other", tubes=(Tube(id="t", name="wide", bore_mm=13),))
    pasted = copying.paste(other, NAME, cut, 0.0, 0.0)[0].build
    assert [tube.name for tube in pasted.tubes] == ["wide", "10/13"]
    assert pasted.layout(NAME).runs[0].tube == pasted.tubes[1].id


def test_what_was_cut_out_is_a_build_whose_text_can_be_read_again(build):
    cut = copying.cutting(build, NAME, ["pump", "block", "run_3"])
    assert from_text(to_text(cut)) == cut


def test_runs_to_parts_that_are_not_copied_stay_behind(build):
    assert copying.cutting(build, NAME, ["pump"]).layouts[0].runs == ()


def test_a_copied_group_is_a_group_of_its_own_and_is_not_locked(build):
    build = arranging.group(build, NAME, ["pump", "block"]).build
    build = arranging.lock(build, NAME, ["pump"], True).build
    edit, _ = copying.paste(build, NAME, copying.cutting(build, NAME, ["pump", "block"]), 0.0, 0.0)
    copies = [edit.build.layout(NAME).placement(part) for part in ("pump_2", "block_2")]
    assert [each.group for each in copies] == ["group_2", "group_2"]
    assert not any(each.locked for each in copies)


def test_a_copied_supply_feeds_the_copies():
    build = Build(name="air")
    supply = Supply.model_validate({"id": "supply", "name": "Supply", "feeds": [{"part": "fan"}, {"part": "pump"}]})
    for part in (supply, Fan(id="fan", name="Fan"), Pump(id="pump", name="Pump")):
        build = edits.add_part(build, NAME, part, Placement(part=part.id, x_mm=0, y_mm=0)).build
    cut = copying.cutting(build, NAME, ["supply", "fan"])
    pasted = copying.paste(build, NAME, cut, 0.0, 0.0)[0].build
    assert [fed.part for fed in pasted.part("supply_2").feeds] == ["fan_2"]


def test_every_kind_can_be_copied_into_another_build():
    for kind in KINDS.values():
        part = kind(id="it", name="It")
        build = edits.add_part(Build(name="b"), NAME, part, Placement(part="it", x_mm=0, y_mm=0)).build
        edit, _ = copying.paste(Build(name="other"), NAME, copying.cutting(build, NAME, ["it"]), 0.0, 0.0)
        assert edit.build.parts[0].model_copy(update={"id": "it"}) == part


def test_copying_nothing_is_refused_with_what_to_do(build):
    with pytest.raises(SketchError, match="select the parts to copy"):
        copying.cutting(build, NAME, ["run_1"])

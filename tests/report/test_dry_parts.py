"""Parts without ports for coolant: on the plan, in lists and data, and in none of the flow's tables."""

import pytest

from loopsim.build import Build, Placement, edits, from_text, to_text
from loopsim.parts import KINDS, DryPart, Fan
from loopsim.report import Report, Table, report_content, to_html
from loopsim.studies import operating_point

from .conftest import DAY

DRY = [name for name, kind in KINDS.items() if issubclass(kind, DryPart)]


@pytest.fixture(scope="module")
def furnished(build: Build) -> Build:
    """The small loop with one of each dry kind; the data of the fan are better than all others."""
    for number, name in enumerate(DRY):
        part = KINDS[name].model_validate({"id": name, "name": f"Dry {name}"})
        build = edits.add_part(build, "ring", part, Placement(part=name, x_mm=60 + 60 * number, y_mm=200)).build
    return build


@pytest.fixture(scope="module")
def report(furnished: Build) -> Report:
    return report_content(furnished, dated=DAY)


def table(report: Report, section: str, number: int = 0) -> Table:
    blocks = next(each for each in report.sections if each.title == section).blocks
    return [block for block in blocks if isinstance(block, Table)][number]


def test_they_change_nothing_that_flows(build: Build, furnished: Build) -> None:
    alone, among = operating_point(build), operating_point(furnished)
    assert among.loop_flow == alone.loop_flow
    assert [part.id for part in among.parts] == [part.id for part in alone.parts]
    assert among.worst_provenance == alone.worst_provenance


def test_their_guesses_are_not_behind_the_flow(furnished: Build) -> None:
    """All that is wet measured, only the dry ones guessed."""
    only_dry = furnished.with_values(
        parts=tuple(part for part in furnished.parts if isinstance(part, DryPart)),
        layouts=(furnished.layout().with_values(
            placed=tuple(place for place in furnished.layout().placed if place.part in DRY), runs=(), loop_flow_at=None
        ),),
    )  # fmt: skip
    point = operating_point(only_dry)
    assert point.parts == ()
    assert point.worst_provenance is None


def test_a_file_keeps_the_speed_of_a_fan_and_nothing_else_has_one(furnished: Build) -> None:
    slowed = edits.change_placement(furnished, "ring", "fan", speed_percent=60).build
    assert from_text(to_text(slowed)) == slowed
    assert to_text(furnished).count("speed_percent") == 2  # the pump's and the fan's


def test_the_parts_list_has_them_and_the_coolant_volume_does_not(report: Report) -> None:
    listed = " ".join(" ".join(row) for row in table(report, "Parts list").rows)
    filled = " ".join(" ".join(row) for row in table(report, "Coolant volume").rows)
    for name in DRY:
        assert f"Dry {name}" in listed
        assert f"Dry {name}" not in filled


def test_data_of_fans_and_filters_say_in_which_air_they_hold(report: Report) -> None:
    rows = {row[0]: row for row in table(report, "Where the data come from", 1).rows}
    first = Fan.classes["80 mm"]["curve"].points[0]
    assert "air, 1.2 kg/m³" in rows["Dry fan"]
    assert rows["Dry fan"][-1].startswith(f"{first.pressure_pa:.0f} ± ")
    assert rows["Dry fan"][-1].endswith("Pa at 0 m³/h")
    assert "Pa at" in rows["Dry air_filter"][-1]


def test_the_report_prints(report: Report) -> None:
    assert "Dry fan" in to_html(report)

"""Advice on clear plastic: lids, walls, bolts, gaskets and threads, by hand calculation."""

import math
from collections.abc import Callable

import pytest

from loopsim.build import Build, edits
from loopsim.parts import ChannelPlate, Cover
from loopsim.studies.fill import ACRYLIC, POLYCARBONATE, CoverCheck, covers, leak_sheet, lid_load

Make = Callable[..., Build]


def with_cover(build: Build, part: str = "vessel", **values: object) -> Build:
    cover = build.part(part).cover.with_values(**values)
    return edits.change_part(build, part, cover=cover).build


def checks(build: Build, **more: float) -> dict[str, CoverCheck]:
    (advice,) = covers(build, **more)
    return {each.what: each for each in advice.checks}


@pytest.fixture
def vessel(loop: Make) -> Build:
    """160 by 90 by 55 mm outside, walls of 5 mm."""
    return loop(50)


@pytest.fixture
def plate(build: Callable[..., Build]) -> Build:
    """180 by 120 by 25 mm, channels of 10 by 8 mm with their middle at 12 mm: 9 mm of lid, 8 mm of floor."""
    return build({ChannelPlate(id="plate", name="Plate"): {"x_mm": 200, "y_mm": 200}}, [])


def test_a_glued_lid_spans_from_wall_to_wall_and_a_screwed_one_from_bolt_row_to_bolt_row(vessel: Build) -> None:
    pressure = leak_sheet(vessel).pressure
    glued = lid_load(0.150, 0.080, 0.005, pressure)
    screwed = lid_load(0.145, 0.075, 0.005, pressure)
    assert checks(vessel)["lid"].found == f"{glued.stress / 1e6:.1f} MPa"
    assert checks(with_cover(vessel, held="screwed"))["lid"].found == f"{screwed.stress / 1e6:.1f} MPa"


def test_the_pressure_of_the_test_counts_unless_another_is_asked_for(vessel: Build) -> None:
    """Stress is in proportion to it: 0.1 bar instead of 0.5."""
    usual, low = checks(vessel)["lid"], checks(vessel, pressure=1e4)["lid"]
    assert float(usual.found.split()[0]) == pytest.approx(5 * float(low.found.split()[0]), abs=0.3)
    assert (usual.verdict, low.verdict) == ("for the test only", "fine")


def test_a_margin_is_what_is_asked_for_over_what_is_found(vessel: Build) -> None:
    """Of every plate, whatever its verdict: who divides the two figures of a row gets the third."""
    plates = [check for check in checks(vessel).values() if check.asked.endswith("MPa")]
    assert {check.verdict for check in plates} == {"fine", "for the test only"}
    for check in plates:
        asked, found = float(check.asked.split()[2]), float(check.found.split()[0])
        assert check.margin == pytest.approx(asked / found, rel=0.03)


def test_a_lid_too_thin_is_to_be_changed_and_says_how(vessel: Build) -> None:
    thin = checks(with_cover(vessel, lid_mm=2.0))["lid"]
    assert thin.verdict == "change"
    assert thin.margin < 1
    assert "thicker" in thin.remedy


def test_a_pressure_that_stands_for_years_is_judged_by_what_lasts(vessel: Build) -> None:
    """Short strength helps no more: 0.5 bar is fine for minutes and not for years."""
    found = checks(vessel, standing=5e4)
    assert (found["lid"].verdict, found["lid, for years"].verdict) == ("for the test only", "change")
    assert "more gas above the cold coolant" in found["lid, for years"].remedy
    assert "lid, for years" not in checks(vessel)


def test_the_material_counts_and_of_something_else_nothing_is_said(vessel: Build) -> None:
    tough = checks(with_cover(vessel, material="polycarbonate"))["lid"]
    assert tough.margin == pytest.approx(
        checks(vessel)["lid"].margin * POLYCARBONATE.strength / ACRYLIC.strength, rel=0.02
    )
    (advice,) = covers(with_cover(vessel, material="something else"))
    assert advice.checks == ()


def test_channels_are_held_by_lid_wall_and_floor(plate: Build) -> None:
    """Strips of 10 mm over the channel: 0.5 * 50 kPa * (10/9)^2 = 31 kPa in the lid; walls of 5 mm, 8 mm high."""
    found = checks(plate)
    assert set(found) == {"lid over a channel", "lid, bond let go", "floor under a channel", "channel wall"}
    assert found["lid over a channel"].margin > found["lid, bond let go"].margin > 1
    stress = {name: ACRYLIC.strength / 4 / each.margin for name, each in found.items()}
    lasting = {name: ACRYLIC.long_time / 2 / each.margin for name, each in found.items()}
    # The margin counts from whichever is kept, the strength over 4 or what lasts over 2.
    for where, thick_mm in (("lid over a channel", 9), ("floor under a channel", 8)):
        by_hand = 0.5 * 5e4 * (10 / thick_mm) ** 2
        assert by_hand == pytest.approx(stress[where]) or by_hand == pytest.approx(lasting[where]), where
    assert ACRYLIC.strength / 4 / (0.5 * 5e4 * (8 / 5) ** 2) == pytest.approx(found["channel wall"].margin)


def test_a_screwed_lid_leaves_channel_walls_standing_alone(plate: Build) -> None:
    glued, screwed = checks(plate), checks(with_cover(plate, "plate", held="screwed"))
    assert screwed["channel wall"].margin == pytest.approx(glued["channel wall"].margin / 6)
    assert "lid over a channel" not in screwed


def test_squeeze_and_fill_by_hand(vessel: Build) -> None:
    """A cord of 2.62 mm in a groove of 2.0 by 3.6 mm: 24 % squeezed, 75 % full."""
    sizes = {"held": "screwed", "cord_mm": 2.62, "groove_depth_mm": 2.0, "groove_width_mm": 3.6}
    found = checks(with_cover(vessel, **sizes, cord_tolerance_mm=0.0))
    assert found["gasket squeeze"].found == "24%"
    assert found["gasket fill"].found == f"{math.pi / 4 * 2.62**2 / 7.2:.0%}" == "75%"
    assert {found[each].verdict for each in ("gasket squeeze", "gasket fill")} == {"fine"}


@pytest.mark.parametrize(
    ("values", "what", "remedy"),
    [
        ({"groove_depth_mm": 1.9}, "gasket squeeze", "less deep"),
        ({"groove_depth_mm": 1.1}, "gasket squeeze", "deeper"),
        ({"cord_tolerance_mm": 0.5}, "gasket squeeze", ""),
        ({"groove_width_mm": 2.1}, "gasket fill", "wider"),
        ({"bolt_spacing_mm": 150.0}, "edge between bolts", "closer"),
        ({"rim_mm": 10.0}, "wall beside bolts", "rim wider"),
        ({"thread_depth_mm": 4.0}, "thread depth", "deeper"),
    ],
)
def test_what_is_outside_of_practice_is_to_be_changed(
    vessel: Build, values: dict[str, float], what: str, remedy: str
) -> None:
    assert checks(with_cover(vessel, held="screwed"))[what].verdict == "fine"
    found = checks(with_cover(vessel, held="screwed", **values))[what]
    assert found.verdict == "change"
    assert remedy in found.remedy
    assert found.margin < 1


def test_the_edge_lifts_with_the_fourth_power_of_the_spacing(vessel: Build) -> None:
    near, far = (
        checks(with_cover(vessel, held="screwed", bolt_spacing_mm=each))["edge between bolts"] for each in (50, 100)
    )
    assert near.margin == pytest.approx(16 * far.margin)
    bow = 5e4 * 0.075 / 2 * 0.1**4 / (384 * ACRYLIC.modulus * 0.015 * 0.005**3 / 12)
    assert far.margin == pytest.approx(0.25 * 0.5e-3 / bow)


def test_fittings_need_solid_walls_beside_their_threads(vessel: Build) -> None:
    """Ports at 12 mm height, a thread of 13.2 mm: 5.4 mm are left below it, 6.6 mm are asked for."""
    found = checks(with_cover(vessel, fitting_thread_mm=13.2))["wall beside fittings"]
    assert (found.found, found.asked, found.verdict) == ("5.4 mm", "at least 6.6 mm", "change")
    assert "wall beside fittings" not in checks(vessel)


def test_every_check_names_where_it_comes_from(vessel: Build) -> None:
    for each in checks(with_cover(vessel, held="screwed", fitting_thread_mm=13.2)).values():
        assert any(word in each.source for word in ("theory", "memory", "common practice", "estimate"))


def test_sizes_are_a_guess_until_somebody_says_how_they_are_known(vessel: Build) -> None:
    assert covers(vessel)[0].is_guess
    assert not covers(with_cover(vessel, known_by="measured"))[0].is_guess


def test_the_thickness_of_a_lid_lowers_its_underside(vessel: Build) -> None:
    thick = with_cover(vessel, lid_mm=8.0).part("vessel")
    assert thick.level_range_mm[1] == 47
    assert Cover().lid_mm is None

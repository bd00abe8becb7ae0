"""Cut list, parts list and coolant volume against hand calculation."""

import math

import pytest

from loopsim.build import Build, Layout, Placement
from loopsim.parts import Block, Corner, Pump, Reservoir, Tube, TubeRun
from loopsim.report.content import Table
from loopsim.report.inventory import Cut, curve_uses, part_classes, stocks
from loopsim.report.making_sections import coolant_volume
from loopsim.report.words import Namer

PORT_HEIGHT = 18.0  # of a block, above its underside


def _loop(corners: tuple[Corner, ...], to_x: float, to_y: float, facing: float = 0.0) -> Build:
    """Two blocks joined by one run from the outlet of the first at (40, 0)."""
    run = TubeRun(id="run", start="a.outlet", end="b.inlet", tube="hose", radius_mm=40, corners=corners)
    placed = (
        Placement(part="a", x_mm=0, y_mm=0),
        Placement(part="b", x_mm=to_x, y_mm=to_y, rotation_deg=facing),
    )
    return Build(
        name="bench",
        tubes=(Tube(id="hose", name="hose", bore_mm=10, outer_mm=13),),
        parts=(Block(id="a", name="A"), Block(id="b", name="B")),
        layouts=(Layout(name="one", placed=placed, runs=(run,)),),
    )


def _only_cut(build: Build) -> Cut:
    (stock,) = stocks(build, build.layout())
    (cut,) = stock.cuts
    return cut


def test_a_straight_of_300_and_a_quarter_bend_of_radius_40_measure_as_by_hand() -> None:
    # From (40, 0) along x to the corner at (380, 0), then to the inlet at (380, 40): 300 mm straight, then the arc.
    corner = Corner(x_mm=380, y_mm=0, height_mm=PORT_HEIGHT)
    cut = _only_cut(_loop((corner,), to_x=380, to_y=80, facing=90))
    assert cut.length_mm == pytest.approx(300 + 40 * math.pi / 2)
    assert cut.bends_in_words == "90° r 40"
    assert cut.elbows == 0
    assert cut.pieces_mm == (cut.length_mm,)


def test_at_an_elbow_the_tube_is_cut_into_two_pieces_to_the_corner() -> None:
    corner = Corner(x_mm=380, y_mm=0, height_mm=PORT_HEIGHT, turn="elbow")
    cut = _only_cut(_loop((corner,), to_x=380, to_y=290, facing=90))
    assert cut.pieces_mm == pytest.approx((340, 250))
    assert (cut.elbows, cut.mitres, cut.bends) == (1, 0, ())


def test_a_mitre_is_cut_like_an_elbow_but_is_no_fitting() -> None:
    corner = Corner(x_mm=380, y_mm=0, height_mm=PORT_HEIGHT, turn="mitre")
    cut = _only_cut(_loop((corner,), to_x=380, to_y=290, facing=90))
    assert cut.pieces_mm == pytest.approx((340, 250))
    assert (cut.elbows, cut.mitres, cut.bends) == (0, 1, ())


def test_a_radius_that_does_not_fit_is_named_with_the_one_asked_for() -> None:
    corner = Corner(x_mm=380, y_mm=0, height_mm=PORT_HEIGHT)
    cut = _only_cut(_loop((corner,), to_x=380, to_y=65, facing=90))
    assert cut.bends_in_words == "90° r 25 (wanted 40)"
    assert cut.length_mm == pytest.approx(315 + 25 * math.pi / 2)


def test_pieces_add_up_to_the_path_of_the_geometry(build: Build) -> None:
    layout = build.layout()
    for stock in stocks(build, layout):
        for cut in stock.cuts:
            assert sum(cut.pieces_mm) == pytest.approx(build.run_path(layout, cut.run).length_mm)


def test_the_tube_to_buy_is_the_sum_with_five_per_cent_rounded_up() -> None:
    # Common practice, no source: 5 % for waste. 1000 mm make 1050, so 1.1 m; 1047.6 mm make 1100, so 1.1 m exactly.
    (stock,) = stocks(*_straight(1000.0))
    assert stock.length_mm == pytest.approx(1000.0)
    assert stock.to_buy_mm == 1100.0
    (stock,) = stocks(*_straight(1000.0 / 1.05 * 1.1))
    assert stock.to_buy_mm == 1100.0


def _straight(length_mm: float) -> tuple[Build, Layout]:
    build = _loop((), to_x=80 + length_mm, to_y=0)
    return build, build.layout()


def test_coolant_volumes_follow_from_closed_forms() -> None:
    tank = Reservoir(id="tank", name="Tank", length_mm=160, width_mm=90, wall_mm=5, level_mm=44)
    build = _loop((), to_x=1080, to_y=0)
    layout = build.layout().with_values(placed=(*build.layout().placed, Placement(part="tank", x_mm=0, y_mm=300)))
    build = build.with_values(parts=(*build.parts, tank), layouts=(layout,))
    _, table = coolant_volume(build, layout, Namer(build, layout)).blocks
    assert isinstance(table, Table)
    volumes = {row[0]: float(row[2]) for row in table.rows}
    assert volumes["run 1"] == pytest.approx(math.pi / 4 * 1.0**2 * 100.0, abs=0.05)  # 10 mm bore, 1 m: cm
    assert volumes["Tank"] == pytest.approx(15.0 * 8.0 * 3.9, abs=0.05)  # inside of the walls, floor to level: cm
    assert volumes["A"] == volumes["B"] == 20.0
    assert table.total is not None
    assert float(table.total[2]) == pytest.approx(sum(volumes.values()), abs=0.1)


def test_a_glycol_fill_is_also_given_by_mass(build: Build) -> None:
    layout = build.layout()
    words = coolant_volume(build, layout, Namer(build, layout)).blocks[0]
    glycol, water = (float(words.text.split(f" kg of {name}")[0].split()[-1]) for name in ("propylene glycol", "water"))
    assert glycol / (glycol + water) == pytest.approx(0.3, abs=0.003)


def test_parts_that_differ_only_by_name_are_one_class() -> None:
    placed = tuple(Placement(part=name, x_mm=0, y_mm=0) for name in ("p", "q", "r"))
    parts = (Pump(id="p", name="P"), Pump(id="q", name="Q"), Pump(id="r", name="R", rated_power_w=20))
    build = Build(name="pumps", parts=parts, layouts=(Layout(name="one", placed=placed),))
    assert [alike.names for alike in part_classes(build, build.layout())] == ["P, Q", "R"]


def test_a_part_that_no_layout_places_is_not_on_the_list(build: Build) -> None:
    more = build.with_values(parts=(*build.parts, Block(id="spare", name="Spare")))
    assert "Spare" not in [alike.names for alike in part_classes(more, more.layout())]


def test_curves_left_to_an_estimate_are_listed_too(build: Build) -> None:
    uses = {(use.field.name, use.curve is None) for use in curve_uses(build, build.layout())}
    estimated = ("power", "stopped_forward", "stopped_backward")
    given = ("curve", "drop", "resistance")
    assert uses == {*((name, False) for name in given), *((name, True) for name in estimated)}

"""Every kind keeps the same promises; a new kind is picked up by these tests by itself."""

import contextlib
from pathlib import Path

import pytest
from pydantic import ValidationError

from loopsim.build import Build
from loopsim.elements import Element
from loopsim.fields import describe
from loopsim.media import air, water
from loopsim.parts import KINDS, Corner, Cover, DryPart, KvPoint, Part, PlateChannel, Setting, SidePort, Tube, TubeRun


@pytest.fixture(params=KINDS.values(), ids=KINDS.keys())
def part(request: pytest.FixtureRequest) -> Part:
    """A part of each kind with its defaults."""
    return request.param(id="x", name="X")


def test_every_file_of_a_kind_holds_one_kind() -> None:
    folder = Path(__file__).parents[2] / "loopsim" / "parts"
    files = {path.stem for path in folder.glob("*.py")} - {
        "__init__",
        "base",
        "branching",
        "cover",
        "fitting",
        "inner",
        "tube_run",
    }
    assert files == set(KINDS)


def test_a_kind_says_what_it_is(part: Part) -> None:
    assert part.title
    assert part.symbol
    assert part.help.endswith(".")


def test_every_field_explains_itself(part: Part) -> None:
    for field in part.fields():
        assert field.label, field.name
        assert field.help, field.name
        assert field.shape != "choice" or len(field.choices) > 1
        assert field.shape != "points" or field.columns


def test_every_length_and_flow_names_its_unit(part: Part) -> None:
    for field in part.fields():
        if field.shape == "number" and field.quantity is None:
            without_unit = ("loss", "share", "tolerance", "coefficient", "factor", "count")
            assert any(word in field.name for word in without_unit), f"{field.name} has no unit in its name"


def test_ports_lie_on_the_outline_and_face_outwards(part: Part) -> None:
    assert bool(part.ports) != isinstance(part, DryPart)
    for port in part.ports.values():
        x, y, height = port.spot
        assert abs(x) <= part.length_mm / 2 + 1e-9
        assert abs(y) <= part.width_mm / 2 + 1e-9
        assert 0 <= height <= part.height_mm
        outward = {0.0: x, 180.0: -x, 90.0: y, 270.0: -y}[port.facing_deg]
        assert outward > 0


def test_flow_paths_join_its_own_places_and_rise(part: Part) -> None:
    assert not set(part.inner_nodes) & set(part.ports)
    for path in part.flow_paths:
        assert {path.start, path.end} <= {*part.ports, *part.inner_nodes}
        assert isinstance(path.element, Element)
        assert path.element.dp(1e-4, water().at(20))[0] > path.element.dp(0.0, water().at(20))[0]
    assert part.flow_paths or part.merges_ports or isinstance(part, DryPart)


def test_its_flow_paths_have_names_of_their_own(part: Part) -> None:
    names = [path.name for path in part.flow_paths]
    assert len(set(names)) == len(names)
    assert len(names) < 2 or all(names)


def test_it_has_a_drawing_in_one_style(part: Part) -> None:
    drawing = (Path(__file__).parents[2] / "icons" / f"{part.symbol}.svg").read_text(encoding="utf-8")
    assert 'viewBox="0 0 48 48"' in drawing
    assert 'stroke="currentColor"' in drawing
    assert "<title>" in drawing


def test_data_that_nobody_measured_say_so(part: Part) -> None:
    """A new part's numbers are typical values: none may pass as measured or as a maker's."""
    assert {provenance.kind for provenance in part.provenances} <= {"guess", "geometry"}


def test_a_file_holds_it_as_it_is(part: Part) -> None:
    build = Build(name="b", parts=(part,))
    assert Build.model_validate_json(build.model_dump_json()).part("x") == part


def test_it_holds_coolant_unless_it_is_dry(part: Part) -> None:
    assert (part.coolant_ml > 0) != isinstance(part, DryPart)


@pytest.mark.parametrize("record", [Tube, TubeRun, Corner, Cover, SidePort, PlateChannel, KvPoint])
def test_other_records_explain_themselves_too(record: type) -> None:
    for field in describe(record):
        assert field.label
        assert field.help


def test_reservoir_volume_is_that_of_the_box_inside_its_walls() -> None:
    reservoir = KINDS["reservoir"](id="r", name="R", length_mm=110, width_mm=60, wall_mm=5, level_mm=45)
    assert reservoir.coolant_ml == pytest.approx(10.0 * 5.0 * 4.0)


def test_reservoir_ports_sit_where_their_walls_are() -> None:
    holes = [{"name": side, "side": side, "offset_mm": 10} for side in ("left", "right", "front", "back")]
    ports = KINDS["reservoir"](id="r", name="R", length_mm=100, width_mm=60, port_list=holes).ports
    assert [ports[side].spot[:2] for side in ports] == [(-50, 10), (50, 10), (10, -30), (10, 30)]


def test_stopped_data_of_a_pump_replace_the_estimate_in_their_direction() -> None:
    measured = {"points": [{"flow_l_h": 100, "dp_kpa": 5}], "exponent": 2}
    pump = KINDS["pump"](id="p", name="P", stopped_forward=measured)
    state, flow = pump.stopped_forward.provenance.state, 100 / 3.6e6
    assert pump.stopped_element.dp(flow, state)[0] == pytest.approx(5000, rel=2e-3)
    estimate = KINDS["pump"](id="p", name="P").stopped_element
    assert pump.stopped_element.dp(-flow, state)[0] == pytest.approx(estimate.dp(-flow, state)[0])
    assert pump.stopped_is_estimate


@pytest.mark.parametrize(
    ("characteristic", "opening", "kv"),
    [
        ("linear", 1.0, 6.0),
        ("linear", 0.25, 1.5),
        ("equal percentage", 1.0, 6.0),
        ("equal percentage", 0.5, 0.8485),
        ("quick opening", 0.25, 3.0),
    ],
)
def test_a_valves_flow_coefficient_falls_as_it_closes(characteristic: str, opening: float, kv: float) -> None:
    """Equal percentage with a range of 50: half open passes 1 / sqrt(50) of the flow."""
    valve = KINDS["valve"](id="v", name="V", kv_m3_h=6.0, characteristic=characteristic)
    assert valve.kv_at(opening) == pytest.approx(kv, rel=1e-4)


def _chosen(part: Part) -> list[Part]:
    """A part with each of its choices in turn, where that is allowed by itself."""
    chosen = [part]
    for name, choice in [(each.name, choice) for each in part.fields() for choice in each.choices]:
        with contextlib.suppress(ValidationError):
            chosen.append(part.with_values(**{name: choice}))
    return chosen


def _counts(part: Part) -> tuple[object, ...]:
    """Everything of a part that flow and heat are worked out from."""
    flow = [1e-5, 1e-4]
    ways = [
        (path.name, *(float(path.element.dp(each, water().at(20))[0]) for each in flow)) for path in part.flow_paths
    ]
    air_ways = [float(path.element.dp(flow[1], air(25))[0]) for path in part.air_paths_as_set(Setting())]
    return tuple(part.ports.items()), ways, air_ways


def test_an_idle_field_counts_for_nothing(part: Part) -> None:
    for chosen in _chosen(part):
        for field in chosen.fields():
            if field.name in chosen.idle_fields and field.shape == "number":
                now = getattr(chosen, field.name)
                value = next(each for each in (type(now)(0.75 * now), now + 1) if field.allows(each))
                assert _counts(chosen.with_values(**{field.name: value})) == _counts(chosen), field.name


def test_idle_fields_are_fields_and_come_to_count_by_another_choice(part: Part) -> None:
    idle = [chosen.idle_fields for chosen in _chosen(part)]
    names = {field.name for field in part.fields()}
    assert frozenset().union(*idle) <= names
    assert len(idle) == 1 or not frozenset.intersection(*idle)

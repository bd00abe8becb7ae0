"""Every number of an item can be found by the item alone, and set."""

from loopsim.studies.varying.parameter import parameter, parameters_of

from ..failing.struck import LAYOUT, machine


def test_a_pump_offers_its_own_numbers_and_those_of_its_place() -> None:
    build = machine()
    found = {each.reference: each for each in parameters_of(build, "pump")}
    assert found["pump.speed_percent"].value == 100.0
    assert found["pump.speed_percent"].heading == "Pump speed, %"
    assert {"pump.x_mm", "pump.height_mm"} <= found.keys()
    faster = found["pump.speed_percent"].put(build, 120.0)
    assert faster.layout(LAYOUT).placement("pump").speed_percent == 120.0
    assert len(found) == len(parameters_of(build, "pump")), "no two go by one name"
    assert all(parameter(build, each.reference).value == each.value for each in found.values())


def test_room_and_load_are_items_too_and_an_unknown_one_has_no_numbers() -> None:
    build = machine()
    assert {each.reference for each in parameters_of(build, "ambient")} == {
        "ambient.temperature_c", "ambient.altitude_m",
    }  # fmt: skip
    assert [each.reference for each in parameters_of(build, "case")] == ["case.load_percent"]
    assert parameters_of(build, "nothing") == ()


def test_a_block_offers_the_numbers_of_its_component_and_its_own_load_in_the_case() -> None:
    build = machine()
    found = {each.reference: each for each in parameters_of(build, "block", case_name="warm day")}
    assert found["block.loads.1.heat_w"].heading == "Block heat, W"
    assert found["block.load_percent"].heading == "Block, in warm day load, %"
    assert all(parameter(build, reference).value == one.value for reference, one in found.items())
    assert not any(reference.startswith("block.drop") for reference in found), "points of curves are not offered"

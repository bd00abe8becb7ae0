"""Heat, air, supplies and sound as JSON; temperatures that never settle are null."""

from collections.abc import Iterable
from typing import Any

from loopsim.cli.rounding import rounded
from loopsim.studies import (
    ComponentHeat,
    ExchangerHeat,
    FanFlow,
    HeatLine,
    HeatPoint,
    SpaceAir,
    Staircase,
    SupplyLoad,
    air_drawn_in,
    heat_balance,
    heat_sentence,
    settled,
    staircases,
)
from loopsim.studies.tolerance.quick import quick_bands
from loopsim.units import from_si

__all__ = ["heat_point", "load_case"]


def heat_point(of: HeatPoint) -> dict[str, Any]:
    """One load case in full."""
    balance = heat_balance(of)
    return {
        **load_case(of),
        "rounds": of.coupled.rounds,
        "imbalance": of.imbalance,
        "components": [_component(each) for each in of.components],
        "exchangers": [_exchanger(each) for each in of.exchangers],
        "fans": [_fan(each) for each in of.fans],
        "spaces": [_space(each) for each in of.spaces],
        "supplies": [_supply(each) for each in of.supplies],
        "budget": _budget(of),
        "heat_in": _lines(balance.into),
        "heat_out": _lines(balance.out),
        "heat_left_w": rounded(balance.left, 6),
        "coolant_c": {port: rounded(settled(each), 6) for port, each in of.ports.items()},
        "staircase": [_staircase(each) for each in staircases(of)],
        "sentence": heat_sentence(of, quick_bands(of)),
    }


def load_case(of: HeatPoint) -> dict[str, Any]:
    """What stands in a row beside other load cases."""
    nearest = of.warmest
    return {
        "case": of.case.name,
        "load": rounded(of.case.load_percent / 100, 6),
        "room_c": of.room,
        "steady": of.is_steady,
        "flow_l_h": rounded(from_si(of.point.loop_flow, "l_h"), 6),
        "coolant_rise_k": rounded(of.coolant_rise, 6),
        "air_m3_h": rounded(from_si(air_drawn_in(of), "m3_h"), 6),
        "sound_dba": rounded(of.sound, 3),
        "nearest_to_limit": None if nearest is None else nearest.part,
        "margin_k": None if nearest is None else rounded(nearest.margin, 6),
        "holds": all(component.holds for component in of.components),
    }


def _component(of: ComponentHeat) -> dict[str, Any]:
    least = None if of.least_flow is None else from_si(of.least_flow, "l_h")
    return {
        "part": of.part,
        "name": of.name,
        "heat_w": rounded(of.heat, 6),
        "temperature_c": rounded(of.temperature, 6),
        "tolerance_k": rounded(of.tolerance, 6),
        "limit_c": of.limit,
        "margin_k": rounded(of.margin, 6),
        "holds": of.holds,
        "boils": of.boils,
        "cooled_by": of.cooled_by,
        "flow_l_h": rounded(from_si(of.flow, "l_h"), 6),
        "least_flow_l_h": rounded(least, 6),
    }


def _exchanger(of: ExchangerHeat) -> dict[str, Any]:
    key, unit = ("air_m3_h", "m3_h") if of.is_air_cooled else ("other_flow_l_h", "l_h")
    return {
        "part": of.part,
        "name": of.name,
        "heat_w": rounded(of.heat, 6),
        "flow_l_h": rounded(from_si(of.flow, "l_h"), 6),
        key: rounded(from_si(of.other_flow, unit), 6),
        "enters_c": rounded(settled(of.enters), 6),
        "leaves_c": rounded(settled(of.leaves), 6),
        "other_enters_c": rounded(settled(of.other_enters), 6),
        "other_leaves_c": rounded(settled(of.other_leaves), 6),
        "effectiveness": rounded(of.effectiveness, 6),
    }


def _fan(of: FanFlow) -> dict[str, Any]:
    return {
        "id": of.id,
        "name": of.name,
        "state": of.state,
        "air_m3_h": rounded(from_si(of.flow, "m3_h"), 6),
        "pressure_pa": rounded(of.pressure, 6),
        "power_w": rounded(of.power, 6),
        "sound_dba": rounded(of.sound, 3),
    }


def _space(of: SpaceAir) -> dict[str, Any]:
    return {
        "name": of.name,
        "temperature_c": rounded(of.temperature, 6),
        "pressure_pa": rounded(of.pressure, 6),
        "air_m3_h": rounded(from_si(of.passing, "m3_h"), 6),
        "escaping_share": rounded(of.escaping, 6),
    }


def _supply(of: SupplyLoad) -> dict[str, Any]:
    return {
        "id": of.id,
        "name": of.name,
        "stands": of.stands,
        "load_w": rounded(of.load, 6),
        "rating_w": of.rating,
        "loss_w": rounded(of.loss, 6),
        "drawn_w": rounded(of.drawn, 6),
        "overloaded": of.is_overloaded,
    }


def _budget(of: HeatPoint) -> dict[str, Any]:
    budget = of.budget
    return {
        "electrical_w": rounded(budget.electrical, 6),
        "into_coolant_w": rounded(budget.into_coolant, 6),
        "into_air_w": rounded(budget.into_air, 6),
        "outside_w": rounded(budget.outside, 6),
        "to_air_by_exchangers_w": rounded(budget.to_air_by_exchangers, 6),
    }


def _lines(lines: Iterable[HeatLine]) -> list[dict[str, Any]]:
    return [{"part": line.item, "name": line.name, "heat_w": rounded(line.heat, 6)} for line in lines]


def _staircase(of: Staircase) -> list[dict[str, Any]]:
    return [
        {
            "id": step.id,
            "name": step.name,
            "from_m": rounded(step.start, 6),
            "to_m": rounded(step.end, 6),
            "enters_c": rounded(step.enters, 6),
            "leaves_c": rounded(step.leaves, 6),
        }
        for step in of.steps
    ]

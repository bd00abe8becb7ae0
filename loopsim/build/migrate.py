"""Files of older versions, brought up to what this version reads; nothing that was in them is lost."""

from collections.abc import Callable
from typing import Any

__all__ = ["migrated"]

Data = dict[str, Any]


def migrated(data: Data) -> Data:
    """The data of a file as this version writes them; those of this version come back as they are."""
    while (step := _STEPS.get(data.get("schema_version", 0))) is not None:
        data = step(data)
    return data


def _from_1(data: Data) -> Data:
    """One coolant became a list, a junction a tee or cross, a block's heat a table of loads."""
    kept = {key: value for key, value in data.items() if key != "coolant"}
    if "coolant" in data:
        kept["coolants"] = [data["coolant"]]
    if isinstance(data.get("parts"), list):
        kept["parts"] = [_part_from_1(part) for part in data["parts"]]
    return {**kept, "schema_version": 2}


def _part_from_1(part: Any) -> Any:
    if not isinstance(part, dict):
        return part
    if part.get("kind") == "junction":
        kind = "cross" if part.get("legs") == "four" else "tee"
        rest = {key: value for key, value in part.items() if key not in ("kind", "legs", "bore_mm")}
        bore = part.get("bore_mm", 10.0)
        return {"kind": kind, **rest, "bore_mm": bore, "branch_bore_mm": bore, "losses": "constant per leg"}
    if part.get("kind") == "block" and "load_w" in part:
        rest = {key: value for key, value in part.items() if key != "load_w"}
        return {**rest, "loads": [{"name": "component", "heat_w": part["load_w"]}]}
    return part


_STEPS: dict[Any, Callable[[Data], Data]] = {1: _from_1}

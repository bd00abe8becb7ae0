"""A leak test with air, as it was read."""

from loopsim.fields import Record, number, switch, text

__all__ = ["LeakRecord"]


class LeakRecord(Record):
    """Readings of one leak test of a layout; kept with it, for whoever services the machine."""

    start_bar: float = number("pressure at start", "read at the gauge", 0.3, above=0.0, most=3.0)
    end_bar: float = number("pressure at end", "read at the gauge", 0.3, least=-1.0, most=3.0)
    start_c: float = number("temperature at start", "of the air inside", 22.0, least=-20.0, most=60.0)
    end_c: float = number("temperature at end", "of the air inside", 22.0, least=-20.0, most=60.0)
    lasted_minutes: float | None = number("time", "between the readings; empty if not noted", None, above=0.0)
    is_wet: bool = switch("wet loop", "coolant is inside: its vapour counts", False)
    start_air_kpa: float | None = number(
        "air pressure at start", "of the room, absolute; empty: the build's", None, least=50.0, most=115.0
    )
    end_air_kpa: float | None = number(
        "air pressure at end", "of the room, absolute; empty: as at the start", None, least=50.0, most=115.0
    )
    note: str = text("note", "when, by whom, with which gauge", "")

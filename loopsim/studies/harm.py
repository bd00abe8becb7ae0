"""Which findings come first: what can hurt or ruin, then what keeps the machine from working, then the rest."""

from collections.abc import Iterable

from loopsim.studies.results import Finding

__all__ = ["BY_HARM", "by_harm"]

BY_HARM = (
    # Coolant or heat where it does harm.
    "open_end", "boils", "standing_boils", "no_way_out", "rating", "cushion", "over_limit", "overloaded",
    "limit_below_room", "frost", "joint_above", "mixed_metals",
    # What does not work.
    "backwards", "no_vessel", "level", "drawn_level", "suction", "back_flow", "no_air", "dead_fan",
    "fan_against", "fan_start", "air_back", "warms_coolant", "escaping_air", "below_atmosphere", "two_coolants",
    "coolant", "no_wall",
    # What cannot be built as drawn.
    "tight_bend", "through_part", "tubes_meet", "part_over_part", "too_high", "outside", "reserved", "too_low",
    "backward_exit", "sideways_exit", "close_corners",
    # What is not sure.
    "swapped", "unsteady", "chatter", "tee_unsettled", "undecided_warmth", "thick_liquid", "levelled_curve",
    "power_data", "beyond_data", "stopped_estimate", "transitional", "uneven_flow", "tee_gain",
    # What is still to be drawn.
    "empty", "no_pump", "no_reservoir", "open_port", "nothing_flows", "unjoined",
)  # fmt: skip
_RANK = {code: rank for rank, code in enumerate(BY_HARM)}


def by_harm(findings: Iterable[Finding]) -> list[Finding]:
    """The findings, the most harmful first; of one kind in their order."""
    return sorted(findings, key=lambda finding: _RANK.get(finding.code, len(_RANK)))

"""Published values that no test compares, each with the reason: a whole case by its id, one value by "id: name"."""

__all__ = ["UNUSED"]

_GLYCOL = (
    "the handbook's tables are for inhibited glycol, ours for glycol and water alone; the two publications differ by "
    "more than the case's tolerance and are held within their spread in tests/media/test_coolant_published.py"
)
_PORT_LOSS = (
    "a rounded or protruding entrance is no part of its own: the port's loss is a number that the builder gives"
)
_FIT = "a least-squares parabola is the source's own choice; ours goes through the points, so its fit is an input here"

_CROSS_FLOW = (
    "a one-line approximation of cross flow, up to 0.012 from the exact law used here; test_heat.py holds the two "
    "within that"
)
_OTHER_SHEET = (
    "another maker's sheet: the lowest modulus and strength of the three are taken, for advice on the safe side"
)
_GIVEN = "follows from the given numbers alone; no law of Loopsim takes part"

UNUSED = {
    "fr-blasius": (
        "another fit to the measurements on smooth pipes, up to 3 % from Colebrook's law, which is used here; the case "
        "allows for rounding only, so test_friction.py holds the two within 3 %"
    ),
    "fr-annulus-laminar": "there is no element for the gap between two tubes",
    "fr-churchill-all-regimes": (
        "one formula for all regimes, up to 2 % from Colebrook's law outside the transition and another guess inside "
        "it; test_friction.py holds the two within 2 % outside"
    ),
    "mi-orifice-crane-7-29": (
        "the case is about the discharge coefficient of a metering orifice, which Loopsim does not compute; one with a "
        "given coefficient is compared in mi-orifice-methanol"
    ),
    "mi-bend-r-over-d-table": (
        "Crane's table and the law of Rennels used here are two fits to the same kind of measurement, up to a third "
        "apart; test_losses.py holds them within that"
    ),
    "mi-standard-entrance-exit: K_reentrant_entrance": _PORT_LOSS,
    "mi-standard-entrance-exit: K_well_rounded_entrance": _PORT_LOSS,
    "pu-operating-point-fitted-curve: pump_shutoff": _FIT,
    "pu-operating-point-fitted-curve: pump_coefficient": _FIT,
    "pu-scaling-dimensionless": "sizing a pump by dimensionless coefficients is no part of the job",
    "ne-three-loop-cast-iron: first_loop_correction": (
        "the source's first step counts the drop of pipe 8 against the direction of its starting flow; with that sign "
        "the printed corrections follow to all digits, with the right one others do; its converged flows are compared"
    ),
    "fl-ethylene-glycol-ashrae": _GLYCOL,
    "fl-propylene-glycol-ashrae": _GLYCOL,
    "fl-ethylene-glycol-freezing": (f"at half glycol the curve falls 1.4 K per percent, and {_GLYCOL}"),
    "fa-fan-scaling-fox: power_factor": "a fan's power is taken as that in standard air, a little too much in thin air",
    "fa-fan-power-abulencia": "shaft power needs an efficiency, which no fan states",
    "so-distance": "levels are taken at 1 m as makers state them; none is turned from a power level",
    "he-crossflow-effectiveness": _CROSS_FLOW,
    "he-crossflow-table: approximate": _CROSS_FLOW,
    "he-incropera-finned-crossflow-size: effectiveness": _GIVEN,
    "he-incropera-finned-crossflow-size: cr": _GIVEN,
    "he-automotive-radiator: heat_rate": _GIVEN,
    "he-automotive-radiator: lmtd": _GIVEN,
    "he-automotive-radiator: overall_coefficient": "rests on a mean temperature difference and a factor from a chart",
    "he-heat-sink-resistance": _GIVEN,
    "he-turbulent-tube-dittus-boelter: reynolds": _GIVEN,
    "lt-thermocouple-1s: diameter": _GIVEN,
    "pl-pmma-properties: modulus_1": _OTHER_SHEET,
    "pl-pmma-properties: modulus_3": _OTHER_SHEET,
    "pl-pmma-properties: tensile_2": _OTHER_SHEET,
}

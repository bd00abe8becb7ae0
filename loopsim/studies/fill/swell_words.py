"""Sentences on the swell of a circuit's coolant, vented or sealed, and the verdict on it."""

from collections.abc import Iterator
from dataclasses import replace

from loopsim.studies.fill.places import millilitres
from loopsim.studies.fill.swell_results import CircuitSwell, SwellVerdict
from loopsim.studies.sentence import quantity
from loopsim.units import to_si

__all__ = ["SWELL_CAUTIONS", "told"]

SWELL_CAUTIONS = (
    "A sealed loop without gas bursts when it warms: liquid does not give way. Fit a relief valve below the lowest "
    "rating, lead its outlet where nobody stands, and never rely on glued plastic or on one made at home to hold.",
    "Let a sealed loop cool before you open it: hot coolant under pressure scalds.",
)


def told(found: CircuitSwell) -> CircuitSwell:
    """The same with its verdict and sentences."""
    verdict, sentence = _sealed(found) if not found.rises else _vented(found)
    said = (_grows(found), sentence, *(_instead(found) if found.rises else ()), _sizes(found))
    return replace(found, verdict=verdict, sentences=said)


def _grows(found: CircuitSwell) -> str:
    change = "swell" if found.swell >= 0 else "shrink"
    return (
        f"{millilitres(found.volume)} of {found.coolant}, filled at {quantity(found.cold_c, 'c')}, {change} by "
        f"{millilitres(abs(found.swell))} up to {quantity(found.hot_c, 'c')}"
    )


def _vented(found: CircuitSwell) -> tuple[SwellVerdict, str]:
    over = [each for each in found.rises if each.rise > each.room]
    said = [
        f"{each.name}: its level rises by {_mm(each.rise)} of {_mm(each.room)} up to the lid" for each in found.rises
    ]
    end = f"; {over[0].name} overflows: fill it lower, or take a larger one" if over else ""
    return ("overflows" if over else "holds"), f"vented, {'; '.join(said)}{end}"


def _sealed(found: CircuitSwell) -> tuple[SwellVerdict, str]:
    if found.cushion is None:
        return "nowhere to go", (
            "no vessel takes that up: a loop full of liquid bursts as it warms; add a reservoir or an expansion vessel"
        )
    gas = f"sealed, {found.name}: {millilitres(found.gas)} of gas at {_bar(found.cold)} when cold"
    if found.hot == float("inf"):
        return "bursts", f"{gas} are taken up whole by the swell: the loop bursts"
    verdict: SwellVerdict = "holds" if found.hot <= found.most else "too high"
    return verdict, f"{gas} stand at {_bar(found.hot)} when hot; {_bar(found.most)} are allowed{_by(found)}: {verdict}"


def _instead(found: CircuitSwell) -> Iterator[str]:
    if found.gas <= 0 or found.hot == float("inf"):
        yield "sealed as it is drawn it would burst: the air above its level has no room for the swell"
        return
    verdict = "within" if found.hot <= found.most else "above"
    yield (
        f"sealed as it is drawn, with {millilitres(found.gas)} of air, it would stand at {_bar(found.hot)} when hot, "
        f"{verdict} the {_bar(found.most)} allowed{_by(found)}"
    )


def _sizes(found: CircuitSwell) -> str:
    """What keeps it below the pressure allowed, and what never does: a size of inf."""
    charged = f"charged to {_bar(found.precharge)}"
    air = f"at least {millilitres(found.least_gas)} of air above the cold coolant"
    vessel = f"an expansion vessel of at least {millilitres(found.vessel_size)} {charged}"
    sizes = (
        (found.least_gas, air, "no amount of air alone is enough"),
        (found.vessel_size, vessel, f"no expansion vessel {charged} is enough"),
    )
    enough = ", or ".join(text for size, text, _ in sizes if size < float("inf"))
    never = [text for size, _, text in sizes if size == float("inf")]
    return f"to stay below {_bar(found.most)} sealed: {'; '.join([enough, *never] if enough else never)}"


def _by(found: CircuitSwell) -> str:
    """Why no more is allowed."""
    if found.weakest is None:
        return " (no part states a rating: the usual test pressure)"
    return f" by {found.weakest}, the pumps' own pressure there taken off"


def _mm(length: float) -> str:
    return quantity(length, "mm", 0 if abs(length) >= to_si(1.0, "mm") else 1)


def _bar(pressure: float) -> str:
    return quantity(pressure, "bar", 2)

"""Layouts of all part kinds at random: what a builder could draw, sensible or not."""

import math
import random
from typing import Any

from pydantic import ValidationError

from loopsim.build import AirReturn, Ambient, Build, BuildCoolant, Layout, LoadCase, Placement
from loopsim.fields import FieldDescription
from loopsim.parts import KINDS, Corner, Part, Tube, TubeRun

__all__ = ["any_build", "movers"]

_LIQUID = [kind for kind in sorted(KINDS) if KINDS[kind].layer == "liquid"]
_DRY = [kind for kind in sorted(KINDS) if KINDS[kind].layer != "liquid"]
_BORES_MM = (2.0, 6.0, 10.0, 13.0, 40.0)
_SPACES = ("room", "chamber", "duct", *[None] * 9)  # most parts as usual


def any_build(seed: int) -> Build:
    """A build with one layout, three load cases, up to three coolants, and joins between any two ports."""
    rng = random.Random(seed)
    coolants = _coolants(rng)
    parts = tuple(_filled(_part(kind, number, rng), coolants, rng) for number, kind in enumerate(_kinds(rng)))
    layout = Layout(
        name="any",
        placed=tuple(_placement(part, rng) for part in parts),
        runs=tuple(_runs(parts, rng)),
        air_returns=tuple(_returns(parts, rng)),
    )
    return Build(
        name="any",
        parts=parts,
        coolants=coolants,
        layouts=(layout,),
        tubes=tuple(Tube(id=f"t{bore:g}", name="Tube", bore_mm=bore, outer_mm=bore + 3) for bore in _BORES_MM),
        load_cases=(
            LoadCase(name="full"),
            LoadCase(name="idle", load_percent=0),
            LoadCase(name="hot", load_percent=200, ambient_c=rng.choice((-40, 35, 60))),
        ),
        ambient=Ambient(temperature_c=rng.uniform(-40, 60), altitude_m=rng.choice((0, rng.uniform(-400, 9000)))),
    )


def movers(build: Build, kind: str, seed: int) -> list[str]:
    """Some of its pumps or fans, to be stopped."""
    rng = random.Random(seed)
    return [part.id for part in build.parts if part.kind_name() == kind and rng.random() < 0.25]


def _kinds(rng: random.Random) -> list[str]:
    """A machine's usual parts, most of the time, among anything else."""
    usual = (("reservoir", 0.8), ("pump", 0.85), ("block", 0.5), ("radiator", 0.5), ("fan", 0.4), ("fan", 0.4))
    kinds = [kind for kind, often in usual if rng.random() < often]
    kinds += [*rng.choices(_LIQUID, k=rng.randint(1, 10)), *rng.choices(_DRY, k=rng.randint(0, 4))]
    rng.shuffle(kinds)
    return kinds


def _part(kind: str, number: int, rng: random.Random) -> Part:
    made = KINDS[kind](id=f"{kind}_{number}", name=f"{kind} {number}", **_class_of(kind, rng))
    if rng.random() < 0.5:
        return made
    for field in type(made).fields():
        value = _value(field, rng) if rng.random() < 0.4 else None
        if value is not None:
            try:
                made = made.with_values(**{field.name: value})
            except ValidationError:  # it contradicts another field
                continue
    return made


def _class_of(kind: str, rng: random.Random) -> dict[str, Any]:
    classes = KINDS[kind].classes
    return dict(classes[rng.choice(sorted(classes))]) if classes and rng.random() < 0.6 else {}


def _value(field: FieldDescription, rng: random.Random) -> Any:
    """A value within a decade of the usual one, or at an end of what is allowed; None where there is none to change."""
    if field.choices:
        return rng.choice(field.choices)
    if field.shape != "number":
        return None
    ends = [end for end in (field.least, field.most) if end is not None]
    if ends and rng.random() < 0.1:
        return rng.choice(ends)
    scaled = (field.default or 1.0) * math.exp(rng.uniform(-2.5, 2.5))
    value = max(1, round(scaled)) if isinstance(field.default, int) else scaled
    return value if field.allows(value) else None


def _coolants(rng: random.Random) -> tuple[BuildCoolant, ...]:
    found = [BuildCoolant(temperature_c=rng.uniform(5, 60))]
    for name, kind in (("second", "propylene_glycol"), ("third", "ethylene_glycol")):
        share = rng.choice((0.3, 0.6))
        found.append(BuildCoolant(id=name, kind=kind, glycol_mass_fraction=share, temperature_c=rng.uniform(-5, 100)))
    return tuple(found)


def _filled(part: Part, coolants: tuple[BuildCoolant, ...], rng: random.Random) -> Part:
    if "coolant" not in type(part).model_fields or rng.random() < 0.6:
        return part
    return part.with_values(coolant=rng.choice(coolants).id)


def _placement(part: Part, rng: random.Random) -> Placement:
    return Placement(
        part=part.id,
        x_mm=rng.uniform(0, 900),
        y_mm=rng.uniform(0, 500),
        height_mm=rng.choice((0, 0, rng.uniform(-200, 600))),
        rotation_deg=rng.choice((0, 90, rng.uniform(0, 360))),
        lie=rng.choice(("flat", "on edge", "ports up")),
        mirrored=rng.random() < 0.2,
        speed_percent=rng.choice((100, 100, 1, rng.uniform(1, 150))),
        opening_percent=rng.choice((100, 0, rng.uniform(0, 100))),
        air_from=rng.choice(_SPACES),
        air_to=rng.choice(_SPACES),
    )


def _runs(parts: tuple[Part, ...], rng: random.Random) -> list[TubeRun]:
    """Every other layout a ring of all that has two ports, or more; what is left, any port to any other."""
    ring = [(first, second) for part in parts if len(ports := _ports(part)) > 1 for first, second in [ports[:2]]]
    pairs = [(ring[place - 1][1], ring[place][0]) for place in range(len(ring))] if rng.random() < 0.5 else []
    taken = {port for pair in pairs for port in pair}
    left = [port for part in parts for port in _ports(part) if port not in taken]
    rng.shuffle(left)
    joined = rng.choice((1.0, 1.0, 0.8, 0.4))
    pairs += [pair for pair in zip(left[::2], left[1::2], strict=False) if rng.random() < joined]
    return [
        TubeRun(
            id=f"run_{number}",
            start=start,
            end=end,
            tube=f"t{rng.choices(_BORES_MM, (1, 3, 10, 3, 1))[0]:g}",
            flattening_percent=rng.choice((0, 0, 60)),
            kinked_percent=rng.choice((0, 0, 50, 95)),
            corners=tuple(_corner(rng) for _ in range(rng.choice((0, 0, 1, 2)))),
        )
        for number, (start, end) in enumerate(pairs)
    ]


def _ports(part: Part) -> list[str]:
    return [f"{part.id}.{port}" for port in part.ports]


def _corner(rng: random.Random) -> Corner:
    turn = rng.choice(("bend", "elbow", "mitre"))
    return Corner(x_mm=rng.uniform(0, 900), y_mm=rng.uniform(0, 500), height_mm=rng.uniform(0, 600), turn=turn)


def _returns(parts: tuple[Part, ...], rng: random.Random) -> list[AirReturn]:
    ways = [part.id for part in parts if part.kind_name() in ("fan", "grille", "radiator", "air_filter")]
    if len(ways) < 2:
        return []
    pairs = [rng.sample(ways, 2) for _ in range(rng.randint(0, 2))]
    return [AirReturn(outlet=outlet, inlet=inlet, share_percent=rng.uniform(0, 44)) for outlet, inlet in pairs]

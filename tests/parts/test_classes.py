"""The usual sizes from which a builder may start, of every kind that has them."""

from collections.abc import Iterator
from itertools import pairwise

import pytest

from loopsim.curves import DataCurve, Provenance
from loopsim.fields import Record
from loopsim.parts import KINDS, Tube

OF_CLASS = [(kind, name) for kind in (*KINDS.values(), Tube) for name in kind.classes]
AS_IT_COMES = [(kind, None) for kind in (*KINDS.values(), Tube)]


def made(kind: type[Record], of: str | None) -> Record:
    return kind.model_validate({"id": "x", "name": "X", **(kind.classes[of] if of else {})})


def named(case: object) -> str | None:
    return case.__name__ if isinstance(case, type) else None


def origins(record: Record) -> Iterator[tuple[Provenance, float | None]]:
    """Where the numbers of a record come from, each with its band."""
    values = [getattr(record, name) for name in type(record).model_fields]
    yield from ((value.provenance, value.relative_tolerance) for value in values if isinstance(value, DataCurve))
    if hasattr(record, "provenance"):
        yield record.provenance, getattr(record, "relative_tolerance", None)


@pytest.mark.parametrize(("kind", "of"), OF_CLASS + AS_IT_COMES, ids=named)
def test_every_default_says_where_it_comes_from_and_carries_a_band(kind: type[Record], of: str | None) -> None:
    found = list(origins(made(kind, of)))
    assert found
    for origin, band in found:
        assert origin.kind == "guess" or origin.source
        assert band is not None
        assert 0 < band <= 1


@pytest.mark.parametrize(("kind", "of"), OF_CLASS, ids=named)
def test_a_class_is_a_guess_in_fields_that_the_kind_has(kind: type[Record], of: str) -> None:
    assert {origin.kind for origin, _ in origins(made(kind, of))} == {"guess"}
    assert set(kind.classes[of]) <= set(kind.model_fields)


@pytest.mark.parametrize(("kind", "of"), OF_CLASS, ids=named)
def test_a_class_keeps_its_ports_on_its_outline(kind: type[Record], of: str) -> None:
    part = made(kind, of)
    for port in getattr(part, "ports", {}).values():
        x, y, height = port.spot
        assert abs(x) <= part.length_mm / 2
        assert abs(y) <= part.width_mm / 2
        assert port.bore_mm / 2 <= height <= part.height_mm - port.bore_mm / 2


def test_a_longer_radiator_costs_more_pressure_and_holds_more() -> None:
    sizes = [made(KINDS["radiator"], name) for name in KINDS["radiator"].classes]
    for shorter, longer in pairwise(sizes):
        assert shorter.length_mm < longer.length_mm
        assert shorter.coolant_ml < longer.coolant_ml
        for less, more in zip(shorter.drop.points, longer.drop.points, strict=True):
            assert less.flow_l_h == more.flow_l_h
            assert less.dp_kpa < more.dp_kpa


@pytest.mark.parametrize("of", [*KINDS["radiator"].classes, None])
def test_drops_of_radiators_lie_where_builders_measure_them(of: str | None) -> None:
    """Common practice, no source: a slim radiator takes 1 to 8 kPa at 4 L/min."""
    drop = made(KINDS["radiator"], of).drop
    assert 1.0 < next(point.dp_kpa for point in drop.points if point.flow_l_h == 240) < 8.0


def test_tube_sizes_are_called_by_bore_and_outside() -> None:
    for name in Tube.classes:
        tube = made(Tube, name)
        assert name == f"{tube.bore_mm:g}/{tube.outer_mm:g}"
        assert tube.bore_mm < tube.outer_mm < tube.least_radius_mm

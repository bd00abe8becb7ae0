"""Numbers and sentences as they stand on the screen."""

import pytest

from app import figures, words
from loopsim.units import to_si


@pytest.mark.parametrize(
    ("l_h", "text"),
    [(234.6, "235"), (10.4, "10"), (9.87, "9.9"), (0.4, "0.4"), (0.01, "0"), (0.0, "0"), (-12.0, "−12")],
)
def test_flow_is_written_with_no_more_digits_than_help(l_h: float, text: str):
    assert figures.number(to_si(l_h, "l_h"), "l_h") == text


@pytest.mark.parametrize(("pa", "text"), [(23_640.0, "23.6"), (990.0, "0.99"), (110.0, "0.11"), (0.0, "0.00")])
def test_pressure_drop_keeps_a_decimal_more_where_it_is_small(pa: float, text: str):
    assert figures.number(pa, "kpa") == text


@pytest.mark.parametrize(("share", "text"), [(0.686, "69"), (1.0, "100"), (0.004, "< 1"), (1e-9, "0"), (0.0, "0")])
def test_a_small_share_is_told_from_none(share: float, text: str):
    assert figures.percent(share) == text


@pytest.mark.parametrize(("value", "text"), [(100.0, "100"), (0.05, "0.05"), (1e-05, "0.00001"), (1e6, "1000000")])
def test_a_number_in_a_field_reads_as_a_builder_would_type_it(value: float, text: str):
    assert figures.plain(value) == text


def test_no_line_break_parts_a_number_from_its_unit():
    text = figures.unbroken("226 L/h, 68 % of the flow at 0.75 m/s")
    assert "226\u00a0L/\u2060h" in text
    assert "68\u00a0%" in text
    assert "0.75\u00a0m/\u2060s" in text
    assert "of the flow" in text


@pytest.mark.parametrize(
    ("names", "pumps", "text"),
    [
        (["Pump B"], 2, "Pump B stopped"),
        (["Pump A", "Pump B"], 2, "either pump stopped"),
        (["A", "B", "C"], 3, "any one pump stopped"),
        (["A", "C"], 3, "A or C stopped"),
        (["A", "B", "C"], 4, "A, B or C stopped"),
        (["Large pump"], 1, "Large pump stopped"),
    ],
)
def test_pumps_that_leave_the_same_are_named_together(names: list[str], pumps: int, text: str):
    assert words.either_stopped(names, pumps) == text

"""Numbers as a report prints them."""

import pytest

from loopsim.report.text import aligned, printable, scientific, shortened, significant


@pytest.mark.parametrize(
    ("value", "words"),
    [(211.64, "212"), (9.996, "10.0"), (0.012345, "0.0123"), (12345.0, "12300"), (-3.5, "−3.50"), (1e-16, "0")],
)
def test_three_significant_digits_without_an_exponent(value: float, words: str) -> None:
    assert significant(value) == words


def test_a_column_has_the_same_decimals_throughout() -> None:
    assert aligned([12.345, 1.2, None, 0.0]) == ["12.3", "1.2", "–", "0.0"]
    assert aligned([]) == []
    assert aligned([-0.0004, 9.0]) == ["0.00", "9.00"]


def test_very_small_numbers_are_written_with_a_power_of_ten() -> None:
    assert scientific(3.14e-16) == "3.1 × 10⁻¹⁶"
    assert scientific(0.0) == "0"


def test_names_are_brought_to_one_line_that_every_page_can_hold() -> None:
    assert printable("two\nlines\tand\x07 \ud800") == "two lines and\ufffd \ufffd"
    assert shortened("short", 10) == "short"
    assert shortened("a rather long name", 9) == "a rather…"

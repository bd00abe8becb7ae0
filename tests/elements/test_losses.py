"""Sudden changes of section against an independent library and a handbook table."""

import fluids
import pytest

from loopsim.elements import narrowing_loss, widening_loss


@pytest.mark.parametrize("ratio", [0.05, 0.25, 0.5, 0.9, 1.0])
def test_a_sudden_widening_is_that_of_an_independent_library(ratio: float) -> None:
    expected = fluids.fittings.diffuser_sharp(Di1=ratio**0.5, Di2=1.0, method="Rennels")
    assert widening_loss(ratio) == pytest.approx(expected, abs=1e-12)


def test_a_sudden_narrowing_has_the_handbook_values() -> None:
    """Idelchik, sharp edges, turbulent: 0.5 (1 - A1/A0)^0.75, as tabulated at 0, 0.2, 0.4, 0.6, 0.8, 1; from memory."""
    got = [narrowing_loss(ratio) for ratio in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)]
    assert got == pytest.approx([0.5, 0.42, 0.34, 0.25, 0.15, 0.0], abs=0.006)

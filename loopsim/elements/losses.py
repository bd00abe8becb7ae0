"""Losses where the cross section changes at once."""

__all__ = ["narrowing_loss", "widening_loss"]


def widening_loss(area_ratio: float) -> float:
    """Loss coefficient of a sudden widening, on the velocity in the narrow section.

    Parameters
    ----------
    area_ratio : float
        Narrow over wide area, 0 to 1.

    References
    ----------
    Borda and Carnot, ``(1 - A1/A2)^2``. Checked in tests/elements/test_losses.py.
    """
    return (1 - area_ratio) ** 2


def narrowing_loss(area_ratio: float) -> float:
    """Loss coefficient of a sudden narrowing with a sharp edge, on the velocity in the narrow section.

    Parameters
    ----------
    area_ratio : float
        Narrow over wide area, 0 to 1.

    References
    ----------
    Idelchik, Handbook of Hydraulic Resistance, ``0.5 (1 - A1/A0)^0.75``. Checked in tests/elements/test_losses.py.
    """
    return float(0.5 * (1 - area_ratio) ** 0.75)

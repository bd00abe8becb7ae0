"""How numbers are rounded on their way into JSON."""

from typing import Any

__all__ = ["rounded"]


def rounded(value: Any, digits: int) -> Any:
    """Without the noise of the last digits, and without a minus before zero; None stays none."""
    return round(value, digits) + 0.0 if isinstance(value, float) else value

"""Arrow keys that go along a row of things of which one is chosen."""

from collections.abc import Sequence

from PySide6.QtCore import Qt

__all__ = ["stepped"]

_STEPS = {Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1}


def stepped(key: int, ids: Sequence[str], chosen: frozenset[str]) -> str | None:
    """Where a key leads from the chosen one of some ids; from none, to the first or the last.

    Parameters
    ----------
    key : int
        As `QKeyEvent.key` gives it: an arrow, Home or End.
    ids : sequence of str
        In the order in which they are seen.
    chosen : frozenset of str
        What is selected, here and elsewhere.

    Returns
    -------
    str or None
        None if there is nothing to go to, or the key is another one.
    """
    if not ids:
        return None
    if key in (Qt.Key.Key_Home, Qt.Key.Key_End):
        return ids[0 if key == Qt.Key.Key_Home else -1]
    step = _STEPS.get(Qt.Key(key))
    if step is None:
        return None
    now = next((number for number, each in enumerate(ids) if each in chosen), -1 if step > 0 else len(ids))
    return ids[min(max(now + step, 0), len(ids) - 1)]

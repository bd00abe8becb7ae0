"""Times that can be compared on a machine with other work on it: the quickest of several runs, taken in turn."""

import gc
import time
from collections.abc import Callable

__all__ = ["in_turn", "quickest"]

Work = Callable[[], object]


def quickest(work: Work, repeats: int = 7) -> float:
    """Seconds of the quickest of several runs: noise only ever adds."""
    return in_turn([work], repeats)[0]


def in_turn(works: list[Work], repeats: int = 7) -> list[float]:
    """The same for several pieces of work, one after the other again and again, so that all see the same machine."""
    times = [float("inf")] * len(works)
    gc.collect()
    for _ in range(repeats):
        for place, work in enumerate(works):
            begin = time.perf_counter()
            work()
            times[place] = min(times[place], time.perf_counter() - begin)
    return times

"""Who works out chunks: this process, several on this machine, or a cluster. None is lost with the one that had it."""

import pickle
import re
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

from loopsim import __version__
from loopsim.errors import WorkerError

__all__ = ["HERE", "Workers", "each_done"]

T = TypeVar("T")

MOST_PROCESSES = 256
_WORTH_STARTING = 32  # chunks from which further processes save more than it takes to start them
_AHEAD = 16  # chunks for each worker that are under way or wait for their turn, and so take memory
_MOST_LOST = 3  # times over that workers may end without one chunk more being done
_ADDRESS = re.compile(r"(\w+://)?(\[[\da-fA-F:]+\]|[^\s:/]+):\d+")  # of a scheduler
_PATIENCE = 10.0  # for a cluster to answer [s]


@dataclass(frozen=True, slots=True)
class Workers:
    """How many work at once, and where. It changes nothing but the time.

    Attributes
    ----------
    processes : int or None
        On this machine, 1 to 256; None for one on each core where there is much to do, else one alone.
    cluster : str
        Address of the scheduler of a Dask cluster, as ``"tcp://10.0.0.5:8786"``; empty for this machine. Its workers
        need the same version of Loopsim; to the last bit the same come results from processors of one kind.

    Raises
    ------
    WorkerError
        For a number of processes out of range, or an address of another form.
    """

    processes: int | None = None
    cluster: str = ""

    def __post_init__(self) -> None:
        if self.processes is not None and not 1 <= self.processes <= MOST_PROCESSES:
            raise WorkerError(f"workers: processes must be 1 to {MOST_PROCESSES}, got {self.processes}")
        if self.cluster and not _ADDRESS.fullmatch(self.cluster):
            raise WorkerError(f"cluster {self.cluster!r}: write its address as tcp://HOST:8786")

    def count_for(self, chunks: int) -> int:
        """Processes on this machine for so many chunks."""
        if self.processes is not None:
            return min(self.processes, max(chunks, 1))
        if chunks < _WORTH_STARTING:
            return 1
        from joblib import cpu_count  # loads slowly

        return min(int(cpu_count()), MOST_PROCESSES)


HERE = Workers(1)


def each_done(work: Callable[[int], T], numbers: Iterable[int], workers: Workers = HERE) -> Iterator[T]:
    """Results of chunks in the order of their numbers, while others are worked out.

    Memory holds the chunks that are under way and at most 16 for each worker that wait for their turn. What a worker
    had that ended, killed or short of memory, is done again.

    Parameters
    ----------
    work : callable
        ``work(number) -> result``; where there are several workers it can be pickled, and so can its results.
    numbers : iterable of int
    workers : Workers

    Raises
    ------
    WorkerError
        If the cluster cannot be reached, runs another version, or workers end again and again.
    """
    left = list(numbers)
    if not left:
        return
    if not workers.cluster and workers.count_for(len(left)) == 1:
        yield from (_alone(work, number) for number in left)
        return
    with _crew(workers, len(left)) as (count, options):
        yield from _each_elsewhere(pickle.dumps(work), left, count, options)


def _each_elsewhere(work: bytes, left: list[int], count: int, options: dict[str, Any]) -> Iterator[Any]:
    from joblib import Parallel, delayed, parallel_config

    lost = 0
    while left:
        with parallel_config(**options):
            crew = Parallel(return_as="generator")  # a new one: what broke may still tell what it had
        some = left[: _AHEAD * count]
        try:
            for number, result in crew(delayed(_done)(work, number) for number in some):
                if left[:1] == [number]:
                    del left[0]
                    lost = 0
                    yield result
        except BrokenExecutor as error:
            lost += 1
            if lost >= _MOST_LOST:
                raise WorkerError(
                    f"workers: their processes ended {lost} times over without a result, the last time at chunk "
                    f"{left[0]}; memory may be short: let fewer work at once"
                ) from error


@contextmanager
def _crew(workers: Workers, chunks: int) -> Iterator[tuple[int, dict[str, Any]]]:
    """How many work at once, and the options by which joblib finds them."""
    if not workers.cluster:
        count = workers.count_for(chunks)
        yield count, {"backend": "loky", "n_jobs": count}
        return
    with _client(workers.cluster) as client:
        yield sum(client.ncores().values()), {"backend": "dask", "n_jobs": -1, "client": client}


@contextmanager
def _client(address: str) -> Iterator[Any]:
    """A cluster whose workers can work out what is asked here."""
    try:
        from distributed import Client, KilledWorker
    except ImportError as error:
        why = "cluster: this needs the library distributed; install Loopsim with its extra [cluster]"
        raise WorkerError(why) from error
    connect: Any = Client  # it says nothing of its types
    try:
        client = connect(address, timeout=_PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise WorkerError(f"cluster {address}: no scheduler answers there ({error})") from error
    try:
        _check(address, client)
        yield client
    except KilledWorker as error:
        raise WorkerError(f"cluster {address}: one chunk ended worker after worker ({error})") from error
    finally:
        client.close()


def _check(address: str, client: Any) -> None:
    try:
        client.wait_for_workers(1, timeout=_PATIENCE)
    except TimeoutError as error:
        raise WorkerError(f"cluster {address}: its scheduler has no workers") from error
    try:
        versions = set(client.run(_version).values())
    except ImportError as error:
        raise WorkerError(f"cluster {address}: its workers need Loopsim {__version__} installed ({error})") from error
    if versions != {__version__}:
        found = ", ".join(sorted(versions))
        raise WorkerError(f"cluster {address}: its workers run Loopsim {found}, here it is {__version__}; install one")


def _version() -> str:
    return __version__


def _done(work: bytes, number: int) -> tuple[int, Any]:
    """One chunk, worked out where this runs, and its number: none is ever taken for another."""
    return number, _alone(_opened(work), number)


@lru_cache(maxsize=2)
def _opened(work: bytes) -> Callable[[int], Any]:
    """The work, unpacked once in each process: a solved machine keeps what it has learnt for the next chunk."""
    opened: Callable[[int], Any] = pickle.loads(work)
    return opened


def _alone(work: Callable[[int], T], number: int) -> T:
    """One chunk on one thread: more of them add up in another order, and get in each other's way."""
    with _libraries().limit(limits=1):
        return work(number)


@lru_cache(maxsize=1)
def _libraries() -> Any:
    """The libraries of this process that start threads of their own."""
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()

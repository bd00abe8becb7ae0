"""Whoever works out the chunks, they come in order, all of them, and the same to the last bit."""

import math
import os
import pickle
import signal
import sys
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from loopsim.build import load
from loopsim.errors import SketchError, WorkerError
from loopsim.studies import heat_point, uncertainties
from loopsim.studies.chunks import Workers, each_done
from loopsim.studies.tolerance.draws import CHUNK, Draws
from loopsim.studies.tolerance.model import Model

MANY = 100  # chunks: more than two workers look ahead
POWERS = partial(math.pow, 2.0)
BREAKING = partial(math.dist, (0.0,))  # of no sequence: fails in the worker
KILLS = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system has no such signal")


@pytest.fixture(scope="module")
def drawn(plinth_path: Path) -> Draws:
    heat = heat_point(load(plinth_path))
    inputs = uncertainties(heat.coupled.thermal)
    return Draws(Model(heat, inputs), inputs, 6 * CHUNK, seed=4)


@pytest.fixture(scope="module")
def alone(drawn: Draws) -> list[bytes]:
    return [_bits(each) for each in each_done(drawn, range(drawn.chunks))]


def _bits(columns: Any) -> bytes:
    return b"".join(np.ascontiguousarray(values).tobytes() for values in columns.values())


def test_chunks_come_in_the_order_in_which_they_are_asked_for() -> None:
    assert list(each_done(POWERS, [3, 1, 2])) == [8.0, 2.0, 4.0]
    assert list(each_done(POWERS, [])) == []


def test_one_process_works_out_a_chunk_when_it_is_asked_for() -> None:
    done: list[int] = []
    results = each_done(done.append, range(5))
    next(results)
    assert done == [0]


@pytest.mark.slow
def test_an_error_of_the_work_comes_through() -> None:
    with pytest.raises(TypeError):
        list(each_done(BREAKING, range(3), Workers(2)))


def test_errors_of_a_sketch_survive_the_way_from_a_worker() -> None:
    error = pickle.loads(pickle.dumps(SketchError("no way round", part="pump", field="curve")))
    assert (str(error), error.part, error.field) == ("no way round", "pump", "curve")


@pytest.mark.slow
def test_two_processes_find_the_same_to_the_last_bit(drawn: Draws, alone: list[bytes]) -> None:
    assert [_bits(each) for each in each_done(drawn, range(drawn.chunks), Workers(2))] == alone


@pytest.mark.slow
@KILLS
def test_a_process_that_is_killed_loses_no_chunk() -> None:
    """There are more chunks than two workers look ahead, so some are still to be done whenever it dies."""
    from joblib.externals.loky import reusable_executor

    results = each_done(POWERS, range(MANY), Workers(2))
    found = [next(results)]
    os.kill(min(reusable_executor._executor._processes), signal.SIGKILL)
    assert [*found, *results] == [2.0**number for number in range(MANY)]


@pytest.mark.slow
def test_work_that_ends_every_process_is_given_up_with_a_word() -> None:
    with pytest.raises(WorkerError, match="ended 3 times over without a result, the last time at chunk 1"):
        list(each_done(os._exit, [1, 2], Workers(2)))


@pytest.mark.parametrize("count", [0, 257, -1])
def test_a_number_of_processes_out_of_range_is_refused(count: int) -> None:
    with pytest.raises(WorkerError, match=f"processes must be 1 to 256, got {count}"):
        Workers(count)


def test_little_work_is_not_shared_out_and_much_is_unless_asked_for() -> None:
    assert Workers().count_for(10) == 1
    assert Workers().count_for(1000) >= 1
    assert Workers(3).count_for(1000) == 3
    assert Workers(3).count_for(2) == 2


@pytest.mark.slow
@KILLS
def test_a_cluster_finds_the_same_to_the_last_bit_and_loses_no_chunk_with_a_worker(
    drawn: Draws, alone: list[bytes]
) -> None:
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1") as cluster,
        distributed.Client(cluster, set_as_default=False) as client,
    ):
        workers = Workers(cluster=cluster.scheduler_address)
        assert [_bits(each) for each in each_done(drawn, range(drawn.chunks), workers)] == alone
        results = each_done(POWERS, range(MANY), workers)
        found = [next(results)]
        os.kill(min(client.run(os.getpid).values()), signal.SIGKILL)
        assert [*found, *results] == [2.0**number for number in range(MANY)]


def test_a_cluster_that_does_not_answer_is_said_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("loopsim.studies.chunks.workers._PATIENCE", 0.2)
    with pytest.raises(WorkerError, match=r"cluster tcp://127\.0\.0\.1:9: no scheduler answers there"):
        list(each_done(POWERS, range(3), Workers(cluster="tcp://127.0.0.1:9")))


def test_a_cluster_without_its_library_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(WorkerError, match=r"needs the library distributed; install Loopsim with its extra \[cluster\]"):
        list(each_done(POWERS, range(3), Workers(cluster="tcp://127.0.0.1:9")))


@pytest.mark.parametrize("address", ["nonsense", "tcp://host", "host:", "a b:1"])
def test_an_address_of_another_form_is_refused(address: str) -> None:
    with pytest.raises(WorkerError, match="write its address as tcp://HOST:8786"):
        Workers(cluster=address)


@pytest.mark.parametrize("address", ["tcp://10.0.0.5:8786", "host.local:8786", "tls://[fe80::1]:8786"])
def test_usual_forms_of_an_address_are_taken(address: str) -> None:
    assert Workers(cluster=address).cluster == address

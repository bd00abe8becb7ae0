"""Finished chunks stay on disk, and nothing else is taken for them."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from loopsim.build import edits, load
from loopsim.errors import FileError
from loopsim.studies.chunks import Columns, Kept, each_kept, fingerprint


class Work:
    """Columns of three chunks; counts what it is asked for, and breaks down on the way if told to."""

    def __init__(self, breaks_at: int | None = None) -> None:
        self.breaks_at, self.asked = breaks_at, list[int]()

    def __call__(self, number: int) -> Columns:
        if number == self.breaks_at:
            raise KeyboardInterrupt
        self.asked.append(number)
        return {"flow_l_h": np.array([number, np.pi]), "a/b, name": np.array(["ä", "none"])}


def same(found: list[Columns], expected: list[Columns]) -> bool:
    pairs = [(one[key], other[key]) for one, other in zip(found, expected, strict=True) for key in other]
    return all((a == b).all() and a.dtype == b.dtype for a, b in pairs)


def test_work_that_was_cut_short_is_taken_up_where_it_was_left(tmp_path: Path) -> None:
    cut, again = Work(breaks_at=2), Work()
    with pytest.raises(KeyboardInterrupt):
        list(each_kept(cut, 3, kept=Kept(tmp_path / "parts", "x")))
    found = list(each_kept(again, 3, kept=Kept(tmp_path / "parts", "x")))
    assert (cut.asked, again.asked) == ([0, 1], [2])
    assert same(found, [Work()(number) for number in range(3)])
    assert list(found[0]) == ["flow_l_h", "a/b, name"]


def test_without_a_folder_nothing_is_kept(tmp_path: Path) -> None:
    assert same(list(each_kept(Work(), 2)), [Work()(0), Work()(1)])
    assert not any(tmp_path.iterdir())


def test_chunks_of_something_else_are_refused_and_stay(tmp_path: Path) -> None:
    Kept(tmp_path / "parts", "x").keep(0, Work()(0))
    with pytest.raises(FileError, match="parts: holds unfinished work on another build, or with other options"):
        Kept(tmp_path / "parts", "y")
    assert 0 in Kept(tmp_path / "parts", "x")


def test_a_folder_of_something_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letters.txt").write_text("dear")
    with pytest.raises(FileError, match="is a folder of something else"):
        Kept(tmp_path, "x")
    assert [each.name for each in tmp_path.iterdir()] == ["letters.txt"]


@pytest.mark.parametrize("damage", [lambda path: path.write_bytes(b"PK"), lambda path: path.write_bytes(b"")])
def test_a_damaged_chunk_is_named(tmp_path: Path, damage: Callable[[Path], object]) -> None:
    kept = Kept(tmp_path / "parts", "x")
    kept.keep(7, Work()(7))
    damage(tmp_path / "parts" / "000007.npz")
    with pytest.raises(FileError, match=r"parts/000007\.npz: is damaged; remove it"):
        kept.read(7)


def test_a_place_that_cannot_be_used_is_said(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="parts: cannot be used for finished chunks"):
        Kept(tmp_path / "none" / "parts", "x")


def test_a_finished_folder_goes(tmp_path: Path) -> None:
    kept = Kept(tmp_path / "parts", "x")
    kept.keep(0, Work()(0))
    kept.remove()
    assert not any(tmp_path.iterdir())


def test_a_fingerprint_differs_with_the_build_and_the_options(plinth_path: Path) -> None:
    build = load(plinth_path)
    warmer = edits.change_build(build, ambient={**build.ambient.model_dump(), "temperature_c": 30.0}).build
    found = [fingerprint(build, draws=1), fingerprint(build, draws=2), fingerprint(warmer, draws=1)]
    assert len(set(found)) == 3
    assert fingerprint(load(plinth_path), draws=1) == found[0]

"""Writing the report to files."""

import subprocess
import sys
from pathlib import Path

import pytest

from loopsim import atomic
from loopsim.build import Build
from loopsim.errors import FileError, SketchError
from loopsim.report import write_report

from .conftest import DAY


@pytest.mark.parametrize(("name", "start"), [("r.html", b"<!DOCTYPE html>"), ("r.pdf", b"%PDF"), ("r.md", b"# Flow")])
def test_the_ending_chooses_the_format(build: Build, tmp_path: Path, name: str, start: bytes) -> None:
    written = write_report(build, tmp_path / name, dated=DAY)
    assert written[0] == tmp_path / name
    assert written[0].read_bytes().startswith(start)
    assert sorted(written) == sorted(tmp_path.iterdir())


def test_markdown_brings_its_drawings_along_under_its_own_name(build: Build, tmp_path: Path) -> None:
    written = write_report(build, str(tmp_path / "loop log.MD"), "ring", dated=DAY)
    drawings = [f"loop log-{name}.svg" for name in ("plan", "budget", "grade-line", "curves", "heat-balance")]
    assert [file.name for file in written] == ["loop log.MD", *drawings]
    assert all(file.read_text(encoding="utf-8").startswith("<svg") for file in written[1:])


@pytest.mark.parametrize("name", ["r.docx", "report", "r.htm", ".pdf"])
def test_another_ending_is_refused_with_those_that_are_allowed(build: Build, tmp_path: Path, name: str) -> None:
    with pytest.raises(FileError, match=r"allowed are \.html, \.pdf, \.md"):
        write_report(build, tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_does_not_exist_is_one_clear_error(build: Build, tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"r\.html: cannot be written \(No such file or directory\)"):
        write_report(build, tmp_path / "nowhere" / "r.html", dated=DAY)


def test_a_sketch_that_cannot_be_solved_leaves_the_old_report_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "r.html"
    file.write_text("the old report")
    with pytest.raises(SketchError):
        write_report(Build(name="empty"), file)
    assert file.read_text() == "the old report"


def test_the_same_build_and_date_give_the_same_bytes(build: Build, tmp_path: Path) -> None:
    for ending in ("html", "pdf", "md"):
        first = [file.read_bytes() for file in write_report(build, tmp_path / f"r.{ending}", dated=DAY)]
        again = [file.read_bytes() for file in write_report(build, tmp_path / f"r.{ending}", dated=DAY)]
        assert first == again


def test_a_write_that_breaks_off_leaves_the_old_file_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "kept"
    file.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic.os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        atomic.write_atomically(file, b"new")
    assert file.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [file]


def test_a_link_is_followed_and_the_mode_kept(tmp_path: Path) -> None:
    file, link = tmp_path / "file", tmp_path / "link"
    file.write_bytes(b"old")
    file.chmod(0o600)
    link.symlink_to(file)
    atomic.write_atomically(link, b"new")
    assert link.is_symlink()
    assert (file.read_bytes(), file.stat().st_mode & 0o777) == (b"new", 0o600)


@pytest.mark.slow
def test_importing_the_report_loads_none_of_the_heavy_libraries_and_no_window() -> None:
    code = (
        "import sys, loopsim.report; "
        "print([name for name in ('jinja2', 'typst', 'matplotlib', 'PySide6') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"

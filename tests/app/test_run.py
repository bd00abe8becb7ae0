"""Real runs of the program in a process of its own: it ends cleanly, with a display and without."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
ROOT = Path(__file__).parents[2]

MANY_UPDATES = """
import sys
from PySide6.QtCore import QTimer
from app.__main__ import options, start
from loopsim.build import edits

application, window = start(options([]))
document, steps = window.document, iter(range(300))

def step():
    number = next(steps, None)
    if number is None:
        timer.stop()
        print("flow", window.verdict.flow.value.whole, "after", document.history.count())
        window.leave()
    elif number % 40 == 39:
        names = [layout.name for layout in document.build.layouts]
        document.view_layout(names[number // 40 % len(names)])
    else:
        pump = next(part for part in document.layout.placements if "pump" in part)
        x_mm = document.layout.placement(pump).x_mm + (1 if number % 2 else -1)
        document.do(edits.move(document.build, document.layout.name, pump, x_mm, 150.0))
        window.bench.show_bench(("Draw", "Flow", "Failures")[number // 10 % 3])

timer = QTimer(interval=5)
timer.timeout.connect(step)
timer.start()
sys.exit(application.exec())
"""


def run(arguments: list[str], folder: Path, **environment: str) -> subprocess.CompletedProcess:
    """Run Python with the project on its path, and settings in a folder of the test's own."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if name not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    kept |= {"PYTHONPATH": str(ROOT), "XDG_CONFIG_HOME": str(folder / "config"), "PYTHONFAULTHANDLER": "1"}
    return subprocess.run(
        [sys.executable, *arguments], cwd=folder, env=kept | environment, capture_output=True, text=True, timeout=600
    )


@pytest.mark.slow
def test_a_run_that_closes_by_itself_ends_with_0(tmp_path: Path):
    done = run(["-m", "app", "--quit-after", "1"], tmp_path, QT_QPA_PLATFORM="offscreen")
    assert (done.returncode, done.stdout) == (0, ""), done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.slow
def test_a_run_with_hundreds_of_updates_ends_with_0(tmp_path: Path):
    done = run(["-c", MANY_UPDATES], tmp_path, QT_QPA_PLATFORM="offscreen")
    assert done.returncode == 0, done.stderr
    assert "L/h after" in done.stdout
    assert "Traceback" not in done.stderr


@pytest.mark.slow
def test_without_a_display_the_sample_is_solved_and_its_report_written(tmp_path: Path):
    done = run(["-m", "app"], tmp_path)
    assert done.returncode == 0, done.stderr
    report = tmp_path / "render-plinth-report.html"
    assert str(report) in done.stdout
    assert "There is no display" in done.stdout
    assert "Render plinth" in report.read_text(encoding="utf-8")


@pytest.mark.slow
def test_without_a_display_qt_is_not_imported(tmp_path: Path):
    code = (
        "import sys; from app.__main__ import main; code = main([]); "
        "assert not [name for name in sys.modules if name.startswith(('PySide6', 'pyqtgraph'))]; sys.exit(code)"
    )
    done = run(["-c", code], tmp_path)
    assert done.returncode == 0, done.stderr


@pytest.mark.slow
def test_the_window_starts_without_the_slow_libraries(tmp_path: Path):
    code = (
        "import sys; from app.__main__ import options, start; application, window = start(options([])); "
        "print([name for name in ('matplotlib', 'scipy.optimize', 'networkx', 'CoolProp', 'jinja2', 'typst') "
        "if name in sys.modules]); window.leave()"
    )
    done = run(["-c", code], tmp_path, QT_QPA_PLATFORM="offscreen")
    assert (done.returncode, done.stdout.strip()) == (0, "[]"), done.stderr


@pytest.mark.slow
def test_a_file_that_cannot_be_read_leaves_the_sample_open(tmp_path: Path):
    (tmp_path / "bad.loop.json").write_text("no build")
    done = run(["-m", "app", "bad.loop.json", "--quit-after", "0.2"], tmp_path, QT_QPA_PLATFORM="offscreen")
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr

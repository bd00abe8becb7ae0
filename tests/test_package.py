"""What the package as a whole promises."""

import subprocess
import sys

HIDE_QT = """
import importlib, pkgutil, sys
class Hidden:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in ("PySide6", "pyqtgraph", "shiboken6", "app"):
            raise ImportError(f"{name} is hidden")
sys.meta_path.insert(0, Hidden())
import loopsim
for module in pkgutil.walk_packages(loopsim.__path__, "loopsim."):
    if not module.name.endswith(("__main__", "generate")):
        importlib.import_module(module.name)
from loopsim.cli import main
import sample_loops
sys.exit(main(["solve", str(sample_loops.sample("render-plinth"))]))
"""

SLOW_TO_LOAD = (
    "CoolProp",
    "SALib",
    "fluids",
    "jinja2",
    "joblib",
    "matplotlib",
    "networkx",
    "pint",
    "scipy.optimize",
    "typst",
)


def test_the_calculation_runs_where_there_is_no_qt() -> None:
    done = subprocess.run([sys.executable, "-c", HIDE_QT], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "Pressure budget" in done.stdout


def test_importing_the_studies_loads_nothing_slow() -> None:
    code = "import sys, loopsim.studies, loopsim.build.edits; print([m for m in sys.argv[1:] if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code, *SLOW_TO_LOAD], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"

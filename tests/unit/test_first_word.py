"""What a command waits for before it says anything: it loads nothing that its answer does not need."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NOT_NEEDED = (
    *("scipy.stats", "scipy.integrate", "scipy.interpolate", "scipy.ndimage", "scipy.optimize", "scipy.linalg"),
    *("statsmodels", "openpyxl"),
)


NOT_USED_WITHOUT_A_REPORT = (
    *("jinja2", "plotly", "pyarrow.parquet", "linesim.report.page", "linesim.report.charts", "linesim.study.doubt"),
    *("linesim.floor.run", "linesim.works.book", "linesim.desk.desk", "linesim.cards.making"),
    "linesim.study.search.intervals.search",
    # numba's way to what it compiles, which nothing takes that has been compiled
    *("numba.np.linalg", "numba.np.random.generator_methods", "numba.cpython.charseq"),
)
_COMPARE = """
import sys
from linesim.cli import main
sys.argv = ["linesim", "compare", {file!r}, "--replications", "2", "--workers", "1"]
try:
    main()
except SystemExit:
    print([name for name in {unwanted!r} if name in sys.modules])
"""


def test_compare_and_run_load_no_library_that_they_do_not_use() -> None:
    """Without them loading the command takes some two thirds of its seconds."""
    code = f"import sys, linesim.cli.compare, linesim.cli.run; print([n for n in {NOT_NEEDED} if n in sys.modules])"
    surroundings = os.environ | {"PYTHONPATH": str(ROOT), "LINESIM_STORE": "none"}
    done = subprocess.run([sys.executable, "-c", code], env=surroundings, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_comparison_on_the_terminal_is_told_without_what_its_report_and_its_compiler_take() -> None:
    """All of it, from reading the scenario to the last table; kernels are compiled by the first of two calls."""
    unwanted = (*NOT_NEEDED, *NOT_USED_WITHOUT_A_REPORT)
    code = _COMPARE.format(file=str(ROOT / "scenarios/smallest.yaml"), unwanted=unwanted)
    surroundings = os.environ | {"PYTHONPATH": str(ROOT), "LINESIM_STORE": "none"}
    called = [
        subprocess.run([sys.executable, "-c", code], env=surroundings, capture_output=True, text=True, check=True)
        for _ in range(2)
    ]
    assert called[1].stdout.splitlines()[-1] == "[]"

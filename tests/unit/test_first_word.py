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


def test_compare_and_run_load_no_library_that_they_do_not_use() -> None:
    """Without them loading the command takes some two thirds of its seconds."""
    code = f"import sys, linesim.cli.compare, linesim.cli.run; print([n for n in {NOT_NEEDED} if n in sys.modules])"
    surroundings = os.environ | {"PYTHONPATH": str(ROOT), "LINESIM_STORE": "none"}
    done = subprocess.run([sys.executable, "-c", code], env=surroundings, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"

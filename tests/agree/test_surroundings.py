"""Machines on which the compiled engine cannot be had, or not be kept: a clear word, the same figures, and no crash.

Nothing is pretended here: the program runs in a process of its own, from a copy that nobody may write to, on a disk
that takes no more bytes, with no numba among its packages, or with a numba whose compiler is not a library.
"""

from __future__ import annotations

import ctypes
import json
import os
import resource
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path
from typing import Any

import pytest

from linesim.study import run
from linesim.works import load_works

_ROOT = Path(__file__).parents[2]
_SCENARIO = _ROOT / "scenarios" / "smallest.yaml"
_DROP_FROM_BOUNDING_SET, _MAY_WRITE_ANYWHERE = 24, 1
"""PR_CAPBSET_DROP and CAP_DAC_OVERRIDE of prctl(2) and capabilities(7)."""


def _run(program: list[str], folder: Path, preset: dict[str, str], **how: Any) -> tuple[dict[str, Any], str]:
    """The summary of a run of the smallest scenario, and what was said on stderr; it must end well."""
    shutil.copy(_SCENARIO, folder / "smallest.yaml")
    plain = {"PATH": os.environ["PATH"], "HOME": str(folder / "home")}
    command = [*program, "-m", "linesim", "run", str(folder / "smallest.yaml"), "--engine", "fast", "--json"]
    done = subprocess.run(command, env=plain | preset, cwd=folder, capture_output=True, text=True, check=False, **how)
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    return json.loads(done.stdout)["summary"], done.stderr


def _same_figures(summary: dict[str, Any]) -> bool:
    """Whether they are those of the SimPy floor in this process."""
    here = run(load_works(_SCENARIO), engine="simpy").summary
    return all(summary[name] == here[name] for name in ("lines", "ledger", "counted_min"))


def _read_only_copy(folder: Path) -> Path:
    """The package as an installation that its user may not write to."""
    copy = folder / "installed"
    shutil.copytree(_ROOT / "linesim", copy / "linesim", ignore=shutil.ignore_patterns("__pycache__"))
    for path in (*copy.rglob("*"), copy):
        path.chmod(0o555 if path.is_dir() else 0o444)
    return copy


def _without_a_way_in() -> None:
    """Before the program starts: its files may not grow, and not even root may write where writing is not allowed."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    if os.getuid() == 0:
        ctypes.CDLL(None).prctl(_DROP_FROM_BOUNDING_SET, _MAY_WRITE_ANYWHERE, 0, 0, 0)


@pytest.mark.longer  # everything is compiled anew
def test_a_read_only_install_on_a_full_disk_compiles_each_time_and_says_so(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir(mode=0o555)
    copy = _read_only_copy(tmp_path)
    preset = {"PYTHONPATH": str(copy), "XDG_CACHE_HOME": str(home), "TMPDIR": str(home)}
    summary, said = _run([sys.executable], tmp_path, preset, preexec_fn=_without_a_way_in)
    assert summary["engine"] == "fast"
    assert "Compiling the fast engine" in said
    assert "it cannot be kept, as no folder can be written to" in said
    assert _same_figures(summary)
    assert not list(home.iterdir())
    assert not list(copy.rglob("__pycache__"))


def _packages_without(folder: Path, *left_out: str) -> Path:
    """All packages that are installed here, but for some."""
    site = folder / "packages"
    site.mkdir()
    for package in Path(sysconfig.get_path("purelib")).iterdir():
        if not package.name.startswith(left_out):
            (site / package.name).symlink_to(package)
    return site


@pytest.mark.late
@pytest.mark.parametrize("what", ["no numba", "a broken compiler"])
def test_without_a_working_compiler_simpy_runs_and_says_why(what: str, tmp_path: Path) -> None:
    if what == "no numba":
        site = _packages_without(tmp_path, "numba", "llvmlite")
    else:
        site = _packages_without(tmp_path, "llvmlite")
        source = Path(sysconfig.get_path("purelib")) / "llvmlite"
        shutil.copytree(source, site / "llvmlite", ignore=shutil.ignore_patterns("__pycache__"))
        libraries = list((site / "llvmlite").rglob("*llvmlite*.so"))
        assert libraries
        for library in libraries:
            library.write_text("This is not a library.\n", encoding="utf-8")
    # -S leaves out the packages of this environment.
    summary, _ = _run([sys.executable, "-S"], tmp_path, {"PYTHONPATH": f"{site}{os.pathsep}{_ROOT}"})
    assert summary["engine"] == "simpy"
    assert any("Numba is missing, broken or switched off" in found["text"] for found in summary["findings"])
    assert _same_figures(summary)

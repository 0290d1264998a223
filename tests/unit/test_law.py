"""The decorator of laws: where compiled code is kept, and what happens when it cannot be."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from enum import Enum
from pathlib import Path

import pytest

import linesim.law
from linesim.fast import codes, layout
from linesim.law import cache_home, digest_of, kernel_folder, law_files, usable_folder

PACKAGE = Path(linesim.law.__file__).parent


def run_with(code: str, **surroundings: str) -> str:
    """Output of a fresh Python with some environment variables set."""
    compiled = {"LINESIM_PLAIN": "0", "NUMBA_DISABLE_JIT": "0"}
    everything = {**os.environ, "PYTHONPATH": str(PACKAGE.parent), **compiled, **surroundings}
    done = subprocess.run([sys.executable, "-c", code], env=everything, capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_the_digest_covers_every_file_that_uses_the_decorator() -> None:
    """Any module that imports the decorator is among the files that name the folder."""
    imports = re.compile(r"from linesim\.law import .*\b(law|law_with|part_with)\b")
    users = {path for path in PACKAGE.rglob("*.py") if imports.search(path.read_text("utf-8"))}
    assert users <= set(law_files())
    assert PACKAGE / "law.py" in law_files()


def test_a_table_or_a_list_of_names_that_changes_is_a_new_kernel_too() -> None:
    """Where the columns of a record lie, and the numbers of members, are compiled into the kernels."""
    lists = [value for value in vars(codes).values() if isinstance(value, type) and issubclass(value, Enum)]
    of = {Path(str(sys.modules[kind.__module__].__file__)) for kind in (*layout._TABLES.values(), *lists)}
    assert len(of) > 10
    assert of <= set(law_files())


def test_an_edited_law_changes_the_digest(tmp_path: Path) -> None:
    """One byte in one file, and a renamed file."""
    first, second = tmp_path / "a.py", tmp_path / "b.py"
    first.write_text("x = 1\n")
    before = digest_of([first])
    second.write_text("x = 1\n")
    assert digest_of([second]) != before
    first.write_text("x = 2\n")
    assert digest_of([first]) != before


@pytest.mark.skipif(sys.platform != "linux", reason="the folder is another one on each system")
def test_the_cache_lies_where_the_system_wants_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Source: XDG Base Directory Specification, $XDG_CACHE_HOME or else $HOME/.cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    assert cache_home() == tmp_path / "caches" / "linesim"
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert cache_home() == tmp_path / ".cache" / "linesim"


def test_compiled_laws_are_kept_under_their_digest(tmp_path: Path) -> None:
    """A kernel compiled in a fresh process is found in the folder afterwards."""
    code = (
        "import numpy; from linesim.cutting.economics import edge_cost_over_edges as f\n"
        "print(f(20.0, 15.0, numpy.float64(2.0)))"  # compiled at once; a plain number is left to Python at first
    )
    assert run_with(code, XDG_CACHE_HOME=str(tmp_path), LOCALAPPDATA=str(tmp_path), HOME=str(tmp_path)) == "3.125"
    kept = list(tmp_path.rglob(f"kernels-{digest_of(law_files())}/**/*edge_cost_over_edges*.nbi"))
    assert len(kept) == 1


def test_an_unusable_cache_home_falls_back_on_the_temporary_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A file stands where the folder should be."""
    blocked, spare = tmp_path / "blocked", tmp_path / "spare"
    blocked.write_text("not a folder")
    spare.mkdir()
    monkeypatch.setattr(linesim.law, "cache_home", lambda: blocked)
    monkeypatch.setattr(linesim.law.tempfile, "gettempdir", lambda: str(spare))
    assert usable_folder(blocked) is None
    found = kernel_folder()
    assert found is not None
    assert found.parent == spare
    assert found.name.startswith("linesim-")
    assert found.name.endswith(f"-kernels-{digest_of(law_files())}")


def test_a_folder_that_others_can_write_in_is_not_used(tmp_path: Path) -> None:
    """Kernels are loaded as code, so nobody else may have put them there."""
    shared = tmp_path / "shared"
    shared.mkdir()
    shared.chmod(0o777)
    assert usable_folder(shared) == (None if hasattr(os, "getuid") else shared)
    shared.chmod(0o700)
    assert usable_folder(shared) == shared


def test_nothing_writable_anywhere_is_no_error(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Then the laws are compiled afresh in every process."""
    blocked = tmp_path / "blocked"
    blocked.write_text("not a folder")
    monkeypatch.setattr(linesim.law, "cache_home", lambda: blocked)
    monkeypatch.setattr(linesim.law.tempfile, "gettempdir", lambda: str(blocked))
    assert kernel_folder() is None


def test_plain_and_missing_numba_both_leave_the_function_alone() -> None:
    """LINESIM_PLAIN=1, NUMBA_DISABLE_JIT=1, and a numba that cannot be imported."""
    code = "import linesim.law as l; f = lambda x: x; print(l.IS_COMPILED, l.law(f) is f)"
    assert run_with(code, LINESIM_PLAIN="1") == "False True"
    assert run_with(code, NUMBA_DISABLE_JIT="1") == "False True"
    assert run_with("import sys; sys.modules['numba'] = None\n" + code) == "False True"


def test_the_package_itself_does_not_import_the_compiler() -> None:
    """`import linesim` stays quick."""
    assert run_with("import sys, linesim; print('numba' in sys.modules)") == "False"


def test_kernels_of_old_versions_are_cleared_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(linesim.law, "cache_home", lambda: tmp_path)
    for age in range(8):
        old = tmp_path / f"kernels-old{age}"
        old.mkdir(parents=True, mode=0o700)
        os.utime(old, (1000.0 - age, 1000.0 - age))
    chosen = linesim.law.kernel_folder()
    assert chosen is not None
    left = {folder.name for folder in tmp_path.iterdir()}
    assert left == {chosen.name, *(f"kernels-old{age}" for age in range(linesim.law.VERSIONS_KEPT - 1))}

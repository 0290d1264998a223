"""One decorator for the laws that both engines share: compiled where numba is present, plain Python elsewhere.

A function marked ``@law`` takes and returns plain numbers. Compiled without ``fastmath`` it gives bit for bit what
the same text gives in plain Python, so that two engines which call it can be compared with ``==``.

numba's cache on disk does not notice an edit in another file. So the cache lies in a folder named by the digest of
all files that hold laws: a changed law is a new folder, and an old kernel can never be taken for a new one.

Set ``LINESIM_PLAIN=1`` to leave numba out (a debugger, a machine without numba, a second opinion on a result).
"""

from __future__ import annotations

import hashlib
import importlib
import os
import shutil
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path
from types import ModuleType
from typing import ParamSpec, TypeVar, cast

from platformdirs import user_cache_path

from linesim.linking import linking

P = ParamSpec("P")
R = TypeVar("R")

LAW_FILES = (
    "law.py", "linking.py", "folding.py", "philox.py", "normal.py",
    "chance/*.py", "cutting/*.py", "quality/*.py", "rules/*.py", "fast/*.py",
    # Numbers that the kernels take over from the plan and from the floor are compiled into them.
    "plan/tables.py", "plan/column_types.py", "plan/*_tables.py", "plan/staffing.py", "plan/states.py", "plan/tally.py",
    "plan/unlike.py", "plan/whereabouts.py", "floor/foreman.py", "floor/circles.py",
)  # fmt: skip


VERSIONS_KEPT = 5
"""Versions of linesim whose kernels stay on disk."""


def _numba_if_wanted() -> ModuleType | None:
    """Return numba, or None when it is missing, broken, switched off, or not wanted."""
    if os.environ.get("LINESIM_PLAIN") == "1":
        return None
    try:
        numba = importlib.import_module("numba")
    except (ImportError, AttributeError, OSError, SystemError):  # more than absent: it may not fit its LLVM
        return None
    return None if numba.config.DISABLE_JIT else numba


def law_files(room: Path | None = None) -> list[Path]:
    """List the files whose text decides what a compiled law does, in a fixed order.

    Parameters
    ----------
    room : Path, optional
        Folder of the package; the installed one if not given.
    """
    folder = Path(__file__).parent if room is None else room
    return sorted(path for pattern in LAW_FILES for path in folder.glob(pattern))


def digest_of(files: Iterable[Path]) -> str:
    """Digest of the names and bytes of some files, 16 hexadecimal digits of SHA-256."""
    digest = hashlib.sha256()
    for path in files:
        digest.update(path.name.encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def cache_home() -> Path:
    """Folder in which this user's programs keep what can be made again, as the system wants it (platformdirs)."""
    return user_cache_path("linesim", appauthor=False)


def _is_ours(folder: Path) -> bool:
    """Whether nobody else can have put something there; kernels are loaded as code."""
    if not hasattr(os, "getuid"):
        return True
    state = folder.stat()
    return state.st_uid == os.getuid() and not state.st_mode & 0o022


def usable_folder(wanted: Path) -> Path | None:
    """Make the folder if need be; return it if it is this user's own and a file can be written in it, else None."""
    try:
        wanted.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=wanted):
            return wanted if _is_ours(wanted) else None
    except OSError:
        return None


def kernel_folder() -> Path | None:
    """Folder for the compiled laws of exactly this source text, or None when nothing can be written.

    Returns
    -------
    Path or None
        ``<cache home>/kernels-<digest>``; if that is unwritable ``linesim-<user>-kernels-<digest>`` in the
        temporary folder.
    """
    try:
        name = f"kernels-{digest_of(law_files())}"
        user = os.getuid() if hasattr(os, "getuid") else "user"
        folders = [cache_home() / name, Path(tempfile.gettempdir()) / f"linesim-{user}-{name}"]
    except (OSError, RuntimeError):  # RuntimeError: no home directory for this user
        return None
    chosen = next((usable for folder in folders if (usable := usable_folder(folder))), None)
    if chosen is not None and chosen == folders[0]:
        _tidy(chosen)
    return chosen


def _tidy(chosen: Path) -> None:
    """Clear away the kernels of old versions, all but the few used last; a version that misses them makes them anew."""
    try:
        chosen.touch()
        old = sorted(chosen.parent.glob("kernels-*"), key=lambda folder: folder.stat().st_mtime, reverse=True)
    except OSError:
        return
    for folder in old[VERSIONS_KEPT:]:
        shutil.rmtree(folder, ignore_errors=True)


_WITHIN = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True, "cache": False}
"""What nobody but compiled code calls needs no wrappers, and is kept on disk only within what calls it."""

_OF_PLANS = ("linesim.cutting.", "linesim.quality.")
"""Where laws are that a plan asks a few times for each cut."""

_CALLS_BY_PYTHON = 300
"""Calls of such a law that Python carries out itself, with the same result to the last bit, before it is compiled."""

_numba = _numba_if_wanted()
_folder = kernel_folder() if _numba is not None else None
if _numba is not None and _folder is not None:
    _numba.config.CACHE_DIR = str(_folder)

_linking = linking() if _numba is not None else None

IS_COMPILED: bool = _numba is not None
"""Whether laws are compiled in this process."""


def part_with(**options: object) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Return a decorator for functions that compiled code alone calls: they are compiled as part of what calls them."""
    if _linking is None:
        return law_with(**_WITHIN, **options)
    linked, wanted = _linking, {"nopython": True, "boundscheck": None, **_WITHIN, **options}
    del wanted["cache"]

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        part = linked.part_dispatcher(py_func=function, locals={}, targetoptions=wanted, pipeline_class=linked.part)
        return cast("Callable[P, R]", part)

    return decorate


def law_with(**options: object) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Return a decorator such as `law`, with more options for numba."""

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        if _numba is None:
            return function
        return cast("Callable[P, R]", _numba.njit(**{"cache": _folder is not None, **options})(function))

    return decorate


def law(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function of plain numbers; the type checker goes on seeing the function as written.

    Parameters
    ----------
    function : callable
        Scalar arithmetic only, raising nothing. Whole-number powers are written as products, because a compiler
        and ``pow`` may round them differently.

    Returns
    -------
    callable
        The compiled function, or the function itself when numba is absent or ``LINESIM_PLAIN=1``.
    """
    if _linking is None:
        return law_with()(function)
    whole = _linking.dispatcher(
        py_func=function,
        locals={},
        targetoptions={"nopython": True, "boundscheck": None},
        pipeline_class=_linking.kernel,
    )
    whole.part = part_with()(function)
    if function.__module__.startswith(_OF_PLANS):
        whole.calls_by_python = _CALLS_BY_PYTHON
    if _folder is not None:
        whole.enable_caching()
    return cast("Callable[P, R]", whole)

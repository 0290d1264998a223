"""Rules of the user's own, kept in a Python file: loaded here and in every worker."""

from __future__ import annotations

import hashlib
import importlib.util
import sys
import traceback
from pathlib import Path

from linesim.errors import StudyError

__all__ = ["load_rules"]


def load_rules(path: str | Path) -> None:
    """Run a Python file that makes rules known with ``change_rule``; once per process and file.

    Parameters
    ----------
    path : str or pathlib.Path
        The file; its code runs with the rights of whoever runs linesim.

    Raises
    ------
    StudyError
        The file cannot be read, or fails when it is run; names the line of the file.
    """
    file = Path(path).resolve()
    name = f"linesim_own_rules_{hashlib.sha256(str(file).encode()).hexdigest()[:16]}"
    if name in sys.modules:
        return
    if not file.is_file():
        raise StudyError(f"{path}: there is no such file; a Python file with rules was expected")
    spec = importlib.util.spec_from_file_location(name, file)
    if spec is None or spec.loader is None:
        raise StudyError(f"{path}: a Python file with rules was expected, its name ending in .py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    try:
        spec.loader.exec_module(module)
    except Exception as error:  # the user's own code may fail in any way
        del sys.modules[name]
        raise StudyError(f"{path}{_line_of(error, file)}: {type(error).__name__}: {error}") from error


def _line_of(error: Exception, file: Path) -> str:
    """The line of the user's file at which it failed, as far as it is known."""
    if isinstance(error, SyntaxError):
        return f", line {error.lineno}"
    lines = [frame.lineno for frame in traceback.extract_tb(error.__traceback__) if Path(frame.filename) == file]
    return f", line {lines[-1]}" if lines else ""

"""Rules of the user's own, kept in a Python file: loaded here and in every worker."""

from __future__ import annotations

import hashlib
import sys
import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

from linesim.errors import StudyError
from linesim.floor.own_rules import carried_out

__all__ = ["RuleFile", "load_rules", "read_rules", "use_rules"]


@dataclass(frozen=True)
class RuleFile:
    """A file with rules as it was when it was read.

    Attributes
    ----------
    path : pathlib.Path
        Where it lies, every link followed.
    source : bytes
        What it says; a worker that cannot see the file runs this.
    """

    path: Path
    source: bytes

    @property
    def digest(self) -> str:
        """SHA-256 of what it says, in hexadecimal."""
        return hashlib.sha256(self.source).hexdigest()


_in_use: list[RuleFile] = []
"""Files in the order in which they were run; of two that name the same rule, the later one holds."""


def load_rules(path: str | Path) -> None:
    """Run a Python file that makes rules known with ``change_rule``; again only if it says something else by now.

    Parameters
    ----------
    path : str or pathlib.Path
        The file; its code runs with the rights of whoever runs linesim.

    Raises
    ------
    StudyError
        The file cannot be read, or fails when it is run; names the line of the file.
    """
    file = read_rules(path)
    if file not in _in_use:
        _run(file, str(path))


def read_rules(path: str | Path) -> RuleFile:
    """Read a Python file with rules, without running it.

    Raises
    ------
    StudyError
        It cannot be read, or is no Python file by its name.
    """
    file = Path(path).resolve()
    if not file.is_file():
        raise StudyError(f"{path}: there is no such file; a Python file with rules was expected")
    if file.suffix != ".py":
        raise StudyError(f"{path}: a Python file with rules was expected, its name ending in .py")
    try:
        return RuleFile(file, file.read_bytes())
    except OSError as error:
        raise StudyError(f"{path}: {error.strerror or error}; a Python file with rules was expected") from error


def use_rules(files: Sequence[RuleFile]) -> None:
    """See to it that the rules of these files hold, and not what another study in this process has loaded since.

    Parameters
    ----------
    files : sequence of RuleFile
        Run in this order, unless they were the last ones that were.

    Raises
    ------
    StudyError
        One of them fails when it is run; names the line of the file.
    """
    if list(files) != _in_use[len(_in_use) - len(files) :]:
        for file in files:
            _run(file, str(file.path))


def _run(file: RuleFile, shown: str) -> None:
    """Run one file as a module of its own; ``shown`` is what the user calls it."""
    name = f"linesim_own_rules_{hashlib.sha256(str(file.path).encode()).hexdigest()[:16]}"
    module = ModuleType(name)
    module.__file__ = str(file.path)
    before = sys.modules.get(name)
    sys.modules[name] = module
    try:
        carried_out(exec, compile(file.source, str(file.path), "exec"), vars(module), where=shown)
    except BaseException as error:  # the user's own code may fail in any way, and even want to end the program
        del sys.modules[name]
        if before is not None:
            sys.modules[name] = before
        if isinstance(error, KeyboardInterrupt):
            raise
        cause = error.__cause__ or error
        raise StudyError(f"{shown}{_line_of(cause, file.path)}: {type(cause).__name__}: {cause}") from cause
    _in_use[:] = [other for other in _in_use if other.path != file.path] + [file]


def _line_of(error: BaseException, file: Path) -> str:
    """The line of the user's file at which it failed, as far as it is known."""
    if isinstance(error, SyntaxError):
        return f", line {error.lineno}"
    lines = [frame.lineno for frame in traceback.extract_tb(error.__traceback__) if Path(frame.filename) == file]
    return f", line {lines[-1]}" if lines else ""

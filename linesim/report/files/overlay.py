"""A scenario file that extends another, with a policy or figures of its own; safe for what lies there already."""

from __future__ import annotations

from pathlib import Path

from linesim.errors import StudyError
from linesim.report.files.whole import write_text

__all__ = ["check_overlay", "write_overlay"]

_FIRST_LINE = "# Written by linesim; it extends a scenario; all else stays as it is there.\n"


def check_overlay(path: Path, scenario: Path, is_forced: bool = False) -> str:
    """See to it that an overlay can be written, before anything is run for it.

    Parameters
    ----------
    path : pathlib.Path
        The file to be.
    scenario : pathlib.Path
        The scenario that it will extend.
    is_forced : bool
        Whether a file that linesim did not write may be overwritten.

    Returns
    -------
    str
        The scenario's path as the overlay has to name it.

    Raises
    ------
    StudyError
        It would lie where the scenario cannot be extended from, is no YAML file, or is another's.
    """
    if path.suffix.lower() not in (".yaml", ".yml"):
        raise StudyError(f"{path}: a scenario file such as best.yaml was expected")
    folder, original = path.parent.resolve(), scenario.resolve()
    if not original.is_relative_to(folder):
        sentence = f"{path}: a scenario extends only files in its own folder or below it"
        raise StudyError(f"{sentence}; a file in {scenario.parent} was expected")
    if path.resolve() == original:
        raise StudyError(f"{path}: this is the scenario itself; another name was expected")
    if path.exists() and not is_forced and not _is_ours(path):
        raise StudyError(f"{path} was not written by linesim; name another file, or add --force to overwrite it")
    return original.relative_to(folder).as_posix()


def write_overlay(path: Path, text: str) -> None:
    """Write an overlay.

    Parameters
    ----------
    path : pathlib.Path
        Checked by `check_overlay`.
    text : str
        YAML.

    Raises
    ------
    StudyError
        It cannot be written.
    """
    write_text(path, _FIRST_LINE + text)


def _is_ours(path: Path) -> bool:
    """Whether a file begins as linesim's do."""
    try:
        with path.open(encoding="utf-8") as file:
            return file.readline() == _FIRST_LINE
    except (OSError, ValueError):
        return False

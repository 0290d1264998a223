"""Writing an HTML page; safe for what lies there already."""

from __future__ import annotations

from pathlib import Path

from linesim.errors import StudyError
from linesim.report.files.beside import write_text

__all__ = ["check_page", "check_place", "write_page"]

_MADE_BY = b'<meta name="generator" content="linesim'
_HEAD_BYTES = 2048


def check_page(path: Path, is_forced: bool) -> None:
    """See to it that the page can be written, before anything is run for it.

    Raises
    ------
    StudyError
        The path is a folder, its folder is missing, or a file lies there that linesim did not write.
    """
    check_place(path, "the report", "report.html")
    if path.exists() and not is_forced:
        with path.open("rb") as file:
            head = file.read(_HEAD_BYTES)
        if _MADE_BY not in head:
            raise StudyError(
                f"{path}: lies there already and is not a report of linesim; name another file, or add "
                "--force to overwrite it"
            )


def check_place(path: Path, what: str, example: str) -> None:
    """See to it that a file can be put there, whatever may lie there already.

    Raises
    ------
    StudyError
        The path is a folder, or its folder is missing.
    """
    if path.is_dir():
        raise StudyError(f"{path}: this is a folder; a file name such as {example} was expected")
    if not path.parent.is_dir():
        raise StudyError(f"{path.parent}: there is no such folder for {what}; make it first")


def write_page(path: Path, page: str, is_forced: bool = False) -> None:
    """Write an HTML page, whole or not at all.

    Parameters
    ----------
    path : pathlib.Path
        The file; an older report of linesim is overwritten.
    page : str
        The HTML.
    is_forced : bool
        Whether a file that linesim did not write may be overwritten.

    Raises
    ------
    StudyError
        As for `check_page`, or the file cannot be written.
    """
    check_page(path, is_forced)
    write_text(path, page)

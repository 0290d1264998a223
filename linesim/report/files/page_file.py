"""Writing an HTML page, safe for what lies there already, with the report that it shows as data within it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from linesim.errors import StudyError
from linesim.report.files.whole import write_text

__all__ = ["check_page", "check_place", "report_in", "with_report", "write_page"]

_MADE_BY = b'<meta name="generator" content="linesim'
_HEAD_BYTES = 2048
_OPENS, _ENDS, _LAST = '<script type="application/json" id="linesim-report">', "</script>", "</body>"
"""Around the data; a browser runs nothing of this type (WHATWG HTML, section 4.12.1)."""


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


def with_report(page: str, content: Mapping[str, Any] | None) -> str:
    """A page that carries the report which it shows, so that its figures can be asked for again.

    Parameters
    ----------
    page : str
        HTML.
    content : mapping or None
        Plain values; None for nothing to carry.

    Returns
    -------
    str
        No text within the data can end it, as every < of it is written as a number.
    """
    if content is None:
        return page
    data = json.dumps(content, allow_nan=False).replace("<", "\\u003c")
    head, last, tail = page.rpartition(_LAST)
    return f"{head}{_OPENS}{data}{_ENDS}\n{last}{tail}"


def report_in(page: str) -> str | None:
    r"""The data that a page carries, as JSON text; None if it carries none.

    >>> print(report_in(with_report("<body></body>", {"works": "</script>"})))
    {"works": "\u003c/script>"}
    """
    _, opens, rest = page.rpartition(_OPENS)
    return rest.partition(_ENDS)[0] if opens else None

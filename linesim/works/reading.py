"""A scenario file or text is read within limits: how large it may be, and what may stand around its entries."""

from __future__ import annotations

import re
import stat
from dataclasses import dataclass
from pathlib import Path as FilePath

from linesim.errors import Problem
from linesim.works.nodes import MOST_NODES, Node, collected, sign_refused
from linesim.works.yaml_tree import TreeBuilder, refused_at

__all__ = ["LARGEST_FILE", "Allowance", "file_content", "read_content", "read_file", "read_text"]

LARGEST_FILE = 2_000_000
"""Bytes of the files of one scenario together."""

_MOST_DIRECTIVES = 10
_DIRECTIVE = re.compile("(?:^|[\n\r\x85\u2028\u2029])%")


@dataclass
class Allowance:
    """What may still be read of one scenario, whose files together hold no more than one file may.

    Parameters
    ----------
    size : int
        Bytes, or signs of a text.
    values : int
        Names, texts and figures, groups and lists.
    """

    size: int = LARGEST_FILE
    values: int = MOST_NODES

    def take(self, size: int, shown: str) -> None:
        """Take off the size of a text.

        Parameters
        ----------
        size : int
            Bytes or signs.
        shown : str
            Name of the text.

        Raises
        ------
        ScenarioError
            If it is too large.
        """
        if size > self.size:
            before = LARGEST_FILE - self.size
            whole = f"{(before + size) / 1e6:.1f} MB is too large"
            together = " for all files of a scenario together" if before else ""
            raise refused_at(shown, None, f"{whole}{together}; at most {LARGEST_FILE / 1e6:g} MB was expected")
        self.size -= size


def read_file(
    path: FilePath, shown: str, problems: list[Problem] | None = None, allowance: Allowance | None = None
) -> Node:
    """Read a scenario file.

    Parameters
    ----------
    path : pathlib.Path
        A regular file of at most 2 MB, UTF-8.
    shown : str
        What to call it in errors.
    problems : list of Problem, optional
        Takes what is wrong with single values, which are then `UNREADABLE`; raised here unless given.
    allowance : Allowance, optional
        What the files of a scenario may still hold; that of one file unless given.

    Returns
    -------
    Node
        The mapping at the top of the file.

    Raises
    ------
    ScenarioError
        If it cannot be read as a scenario.
    """
    left = allowance or Allowance()
    return read_content(file_content(path, shown, left), shown, problems, left)


def file_content(path: FilePath, shown: str, allowance: Allowance) -> bytes:
    """Return what stands in a file, if that is not too much.

    Parameters
    ----------
    path : pathlib.Path
        A regular file.
    shown : str
        What to call it in errors.
    allowance : Allowance
        What the files of a scenario may still hold.

    Raises
    ------
    ScenarioError
        If it cannot be read, or is too large.
    """
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise refused_at(shown, None, "this is not a file; a scenario file was expected")
        if status.st_size > allowance.size:
            allowance.take(status.st_size, shown)
        with path.open("rb") as file:
            content = file.read(allowance.size + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        raise refused_at(shown, None, f"the file cannot be read: {reason}") from error
    allowance.take(len(content), shown)
    return content


def read_content(content: bytes, shown: str, problems: list[Problem] | None, allowance: Allowance) -> Node:
    """Read a scenario from the bytes of a file of text, whose size has been taken off already.

    Parameters
    ----------
    content : bytes
        UTF-8.
    shown : str
        What to call it in errors.
    problems : list of Problem or None
        As for `read_file`.
    allowance : Allowance
        What may still be read.
    """
    return _tree(_decoded(content, shown), shown, problems, allowance)


def read_text(text: str, shown: str, problems: list[Problem] | None = None) -> Node:
    """Read a scenario from a text, such as an upload.

    Parameters
    ----------
    text : str
        YAML, of at most 2 MB.
    shown : str
        What to call it in errors.
    problems : list of Problem, optional
        Takes what is wrong with single values, which are then `UNREADABLE`; raised here unless given.

    Returns
    -------
    Node
        The mapping at the top of the text.

    Raises
    ------
    ScenarioError
        If it cannot be read as a scenario.

    >>> read_text("a: {b: 3}", "x.yaml").plain()
    {'a': {'b': 3}}
    """
    allowance = Allowance()
    allowance.take(len(text), shown)
    return _tree(text, shown, problems, allowance)


def _tree(text: str, shown: str, problems: list[Problem] | None, allowance: Allowance) -> Node:
    """Read a text whose size has been taken off already."""
    text = text.removeprefix("\ufeff")
    at = sign_refused(text)
    if at is not None:
        line = text.count("\n", 0, at) + 1
        raise refused_at(shown, line, f"a control character (U+{ord(text[at]):04X}) was found; plain text was expected")
    _refuse_directives(text, shown)
    with collected(problems) as wrong:
        builder = TreeBuilder(shown, wrong, allowance.values)
        tree = builder.tree(text)
    allowance.values -= builder.count
    return tree


def _decoded(content: bytes, shown: str) -> str:
    """Return the text of a file that must be UTF-8."""
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        hint = "Save the file as UTF-8."
        raise refused_at(shown, line, f"byte 0x{content[error.start]:02X} is not UTF-8 text", hint) from error


def _refuse_directives(text: str, shown: str) -> None:
    """Refuse a text with many directives of YAML, which a scenario has no use for and which are slow to read."""
    starts = _DIRECTIVE.finditer(text)
    for number, start in enumerate(starts, start=1):
        if number > _MOST_DIRECTIVES:
            line = text.count("\n", 0, start.end()) + 1
            raise refused_at(shown, line, f"more than {_MOST_DIRECTIVES} lines begin with %; a scenario was expected")

"""A file as bytes, for a page that hands it out and keeps nothing."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

__all__ = ["as_bytes"]


def as_bytes(write: Callable[[Path], object], name: str) -> bytes:
    """What a function writes into a file, without the file.

    Parameters
    ----------
    write : callable
        Is given a path at which nothing lies yet, in a folder of its own.
    name : str
        Of the file, as its ending may decide how it is written.

    Returns
    -------
    bytes

    >>> as_bytes(lambda path: path.write_bytes(b"2"), "two.txt")
    b'2'
    """
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        path = Path(folder) / name
        write(path)
        return path.read_bytes()

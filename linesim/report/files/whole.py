"""A file is written beside its name and then renamed, so that it is there whole or not at all."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from pathlib import Path

from linesim.errors import StudyError

__all__ = ["write_bytes", "write_text", "write_whole"]


def write_whole(path: Path, write: Callable[[Path], None]) -> None:
    """Have a file written beside its name, and put it there once it is whole and on the disk.

    Parameters
    ----------
    path : pathlib.Path
        The file to be; what lies there is replaced at the very end.
    write : callable
        Writes all of it to the path that it is given, which has the same ending.

    Raises
    ------
    StudyError
        It cannot be written; what lay there before is as it was.
    """
    target = path.resolve()
    if target.exists() and not target.is_file():  # a device or a pipe has no name beside it
        write(target)
        return
    beside = target.with_name(f".{target.stem[:32]}-{secrets.token_hex(4)}{target.suffix}")
    try:
        write(beside)
        _settle(beside, target)
        beside.replace(target)
    except OSError as error:
        was = "what lay there before is as it was" if path.exists() else "nothing was left there"
        sentence = f"{path}: could not be written ({error.strerror or error}); {was}"
        raise StudyError(f"{sentence}. Make room or name another file, and try again") from error
    finally:
        beside.unlink(missing_ok=True)


def _settle(beside: Path, target: Path) -> None:
    """Bring a file onto the disk, with the rights that its forerunner had."""
    with beside.open("rb+") as file:
        os.fsync(file.fileno())
    if target.exists():
        beside.chmod(target.stat().st_mode & 0o777)


def write_text(path: Path, text: str) -> None:
    r"""Write a text in UTF-8 with ``\n`` at the ends of its lines; see `write_whole`."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Write bytes; see `write_whole`."""

    def write(beside: Path) -> None:
        beside.write_bytes(content)

    write_whole(path, write)

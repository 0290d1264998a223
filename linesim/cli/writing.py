"""Writing the answer of a search, or figures from records, as a scenario that extends the one that was asked about."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import typer

from linesim.report.files.overlay import check_overlay, write_overlay

__all__ = ["Overlay"]


class Overlay:
    """A scenario that is to be written, if one is wanted; checked before anything is run for it.

    Parameters
    ----------
    path : pathlib.Path or None
        Where it goes.
    base : pathlib.Path
        The scenario that it extends.
    is_forced : bool
        Whether what linesim did not write may be overwritten.
    """

    def __init__(self, path: Path | None, base: Path, is_forced: bool) -> None:
        self._path, self._is_forced = path, is_forced
        self._extends = "" if path is None else check_overlay(path, base, is_forced)

    def write(self, text: Callable[[str], str]) -> None:
        """Write it; ``text`` takes the path of the original as the overlay names it."""
        if self._path is not None:
            write_overlay(self._path, text(self._extends))
            typer.echo(f"Scenario written to {self._path}", err=True)

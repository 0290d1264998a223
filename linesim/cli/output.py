"""Where output goes: tables for people on a terminal of 100 columns, JSON, and CSV folders."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    import pandas as pd
    from rich.console import RenderableType

from linesim.errors import StudyError, without_password

__all__ = ["STDOUT", "Outlet", "announce_compiling", "check_csv", "command_line", "put_csv", "put_json", "show"]

STDOUT = Path("-")
"""Stands for standard output in place of a folder."""


def show(page: RenderableType) -> None:
    """Print a page for people; into a file or a pipe it is laid out for 100 columns."""
    from rich.console import Console  # noqa: PLC0415 - heavy, and not needed for help and JSON

    from linesim.report.theme.grid import WIDTH  # noqa: PLC0415

    width = max(WIDTH, shutil.get_terminal_size().columns) if sys.stdout.isatty() else WIDTH
    console = Console(width=width, highlight=False)
    console.print(page)


def put_json(content: Any) -> None:
    """Print one JSON document; plain ASCII, so that no terminal can spoil it."""
    typer.echo(json.dumps(content, indent=2, allow_nan=False))


def check_csv(folder: Path | None, names: tuple[str, ...], is_forced: bool, as_json: bool) -> None:
    """See to it that tables can be put where they are wanted, before anything is run for them.

    Raises
    ------
    StudyError
        They cannot.
    """
    if folder is None:
        return
    if folder == STDOUT:
        if as_json:
            raise StudyError("--json and --csv - both want the standard output; name a folder after --csv")
        return
    from linesim.report.files.sheets import check_folder  # noqa: PLC0415

    check_folder(folder, names, is_forced)


def put_csv(folder: Path, tables: Mapping[str, pd.DataFrame], provenance: Mapping[str, Any], is_forced: bool) -> None:
    """Write tables into a folder, or print the first one."""
    from linesim.report.files.sheets import write_csv  # noqa: PLC0415
    from linesim.report.theme.csv_text import as_csv  # noqa: PLC0415

    if folder == STDOUT:
        typer.echo(as_csv(next(iter(tables.values()))), nl=False)
        return
    written = write_csv(folder, tables, provenance, is_forced)
    typer.echo(f"{len(written)} files written to {folder}", err=True)


@dataclass(frozen=True)
class Outlet:
    """Where the answer of a command goes: always somewhere, and to all the places that were asked for.

    Attributes
    ----------
    as_json : bool
        One JSON document on the standard output, and nothing else there.
    csv : pathlib.Path or None
        Folder for the tables; `STDOUT` prints the first of them.
    is_forced : bool
        Whether what linesim did not write may be overwritten.
    html : pathlib.Path or None
        File for a page.
    """

    as_json: bool
    csv: Path | None
    is_forced: bool
    html: Path | None = None

    def check(self, tables: tuple[str, ...]) -> None:
        """See to it that everything can be put where it is wanted, before anything is run for it.

        Raises
        ------
        StudyError
            It cannot.
        """
        check_csv(self.csv, tables, self.is_forced, self.as_json)
        if self.html is not None:
            from linesim.report.files.page_file import check_page  # noqa: PLC0415 - help stays quick

            check_page(self.html, self.is_forced)

    def put(
        self,
        tables: Mapping[str, pd.DataFrame],
        provenance: Mapping[str, Any],
        content: Callable[[], Mapping[str, Any]],
        text: Callable[[], RenderableType],
        page: Callable[[], str] | None = None,
    ) -> None:
        """Put the answer where it is wanted.

        Parameters
        ----------
        tables : mapping
            Its tables by name.
        provenance : mapping
            What is needed to make them again, beside the command.
        content, text, page : callable
            Make the values for JSON, the page for the terminal, and the HTML, where they are wanted.
        """
        head = {"command": command_line()}
        try:
            if self.html is not None and page is not None:
                from linesim.report.files.page_file import write_page  # noqa: PLC0415 - help stays quick

                write_page(self.html, page(), self.is_forced)
                typer.echo(f"Report written to {self.html}", err=True)
            if self.csv is not None:
                put_csv(self.csv, tables, head | dict(provenance), self.is_forced)
        finally:  # the answer is told even where a file could not be written, so that no study was run in vain
            if self.as_json:
                put_json(head | dict(content()))
            elif self.csv != STDOUT:
                show(text())


def announce_compiling(engine: str = "simpy") -> None:
    """Say so on stderr when laws or the fast engine have yet to be compiled, which takes a while, once."""
    from linesim import law  # noqa: PLC0415

    if engine == "fast":
        from linesim.fast.choice import prepare  # noqa: PLC0415

        prepare()
        return
    folder = law.kernel_folder() if law.IS_COMPILED else None
    if folder is not None and not any(folder.rglob("*.nbi")):
        typer.echo("Compiling the physics, once for this installation; it takes under a minute ...", err=True)


def command_line() -> str:
    """The command as it was given, for the record, without the password of a database."""
    import shlex  # noqa: PLC0415

    return shlex.join(["linesim", *map(without_password, sys.argv[1:])])

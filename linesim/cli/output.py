"""Where output goes: tables for people on a terminal of 100 columns, JSON, and folders of CSV or Parquet."""

from __future__ import annotations

import json
import shlex
import shutil
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import pandas as pd
import typer
from rich.console import Console, RenderableType

from linesim import law
from linesim.cli.asked import asked_again
from linesim.cli.options import AsJson, Book, Csv, Force, Page, Parquet
from linesim.errors import StudyError, without_password
from linesim.report.files.page_file import check_page, with_report, write_page
from linesim.report.files.sheets import check_folder, write_csv, write_parquet
from linesim.report.theme.csv_text import as_csv
from linesim.report.theme.grid import WIDTH
from linesim.study.answer import Answer
from linesim.works import Works

__all__ = [
    "STDOUT",
    "Outlet",
    "PageOutlet",
    "announce_compiling",
    "check_csv",
    "command_line",
    "put_csv",
    "put_json",
    "show",
]

Shown = TypeVar("Shown", bound=Answer)

STDOUT = Path("-")
"""Stands for standard output in place of a folder."""


def show(page: RenderableType) -> None:
    """Print a page for people; into a file or a pipe it is laid out for 100 columns."""
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
    check_folder(folder, names, is_forced)


def put_csv(folder: Path, tables: Mapping[str, pd.DataFrame], provenance: Mapping[str, Any], is_forced: bool) -> None:
    """Write tables into a folder, or print the first one."""
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
    parquet : pathlib.Path or None
        Folder for the tables as Parquet.
    force : bool
        Whether what linesim did not write may be overwritten.
    """

    as_json: AsJson = False
    csv: Csv = None
    parquet: Parquet = None
    force: Force = False

    @property
    def page(self) -> Path | None:
        """File for a page, if this command has one."""
        return None

    @property
    def book(self) -> Path | None:
        """File for a workbook of all tables, if this command has one."""
        return None

    def check(self, *tables: str) -> None:
        """See to it that everything can be put where it is wanted, before anything is run for it.

        Parameters
        ----------
        *tables : str
            Names of the tables that there will be.

        Raises
        ------
        StudyError
            It cannot.
        """
        check_csv(self.csv, tables, self.force, self.as_json)
        if self.parquet is not None:
            check_folder(self.parquet, tables, self.force, "parquet")
        if self.page is not None:
            check_page(self.page, self.force)
        if self.book is not None:
            from linesim.report.files.book_file import check_workbook  # noqa: PLC0415 - slow to load, and seldom asked for

            check_workbook(self.book, self.force)

    def put_answer(
        self,
        answer: Shown,
        works: Works | None,
        text: Callable[[Shown], RenderableType],
        page: Callable[[Shown, str], str] | None = None,
    ) -> None:
        """Put the answer of a study where it is wanted; see `put`."""
        self.put(
            answer.tables,
            answer.provenance,
            answer.as_dict,
            lambda: text(answer),
            None if page is None else lambda: page(answer, command_line()),
            works=works,
            summed=answer.summed,
        )

    def put(
        self,
        tables: Mapping[str, pd.DataFrame],
        provenance: Mapping[str, Any],
        content: Callable[[], Mapping[str, Any]],
        text: Callable[[], RenderableType],
        page: Callable[[], str] | None = None,
        *,
        works: Works | None,
        summed: Mapping[str, Sequence[str]] | None = None,
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
        works : Works or None
            What was asked about, so that ``linesim rerun`` can ask it again; None if it is not one scenario.
        summed : mapping, optional
            Columns of tables whose sum a workbook shows.
        """

        @cache
        def head() -> dict[str, Any]:
            return {"command": command_line()} | ({} if works is None else asked_again(works))

        try:
            if self.page is not None and page is not None:
                carried = None if works is None else head() | dict(content())
                write_page(self.page, with_report(self.page_html(page), carried), self.force)
                typer.echo(f"Report written to {self.page}", err=True)
            if self.book is not None:
                from linesim.report.files.book_file import write_tables  # noqa: PLC0415

                write_tables(self.book, tables, head() | dict(provenance), summed or {}, self.force)
                typer.echo(f"Tables written to {self.book}", err=True)
            if self.csv is not None:
                put_csv(self.csv, tables, head() | dict(provenance), self.force)
            if self.parquet is not None:
                written = write_parquet(self.parquet, tables, head() | dict(provenance), self.force)
                typer.echo(f"{len(written)} files written to {self.parquet}", err=True)
        finally:  # the answer is told even where a file could not be written, so that no study was run in vain
            if self.as_json:
                put_json(head() | dict(content()))
            elif self.csv != STDOUT:
                show(text())

    def page_html(self, page: Callable[[], str]) -> str:
        """The page as it is written; in other words where an outlet has some."""
        return page()


@dataclass(frozen=True)
class PageOutlet(Outlet):
    """An outlet of a command that can write a page.

    Attributes
    ----------
    html : pathlib.Path or None
        File for the page.
    excel : pathlib.Path or None
        File for a workbook of all tables.
    """

    html: Page = None
    excel: Book = None

    @property
    def page(self) -> Path | None:
        """File for the page."""
        return self.html

    @property
    def book(self) -> Path | None:
        """File for the workbook."""
        return self.excel


def announce_compiling(engine: str = "simpy") -> None:
    """Say so on stderr when laws or the fast engine have yet to be compiled, which takes a while, once."""
    if engine == "fast":
        return  # only what a plan takes is compiled, which is told as it is done
    folder = law.kernel_folder() if law.IS_COMPILED else None
    if folder is not None and not any(folder.rglob("*.nbi")):
        typer.echo("Compiling the physics, once for this installation; it takes under a minute ...", err=True)


def command_line() -> str:
    """The command as it was given, for the record, without the password of a database."""
    return shlex.join(["linesim", *map(without_password, sys.argv[1:])])

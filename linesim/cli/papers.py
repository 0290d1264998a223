"""A sheet for paper: where its PDF goes, and on which paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from linesim.errors import StudyError
from linesim.report.files.pdf_file import check_pdf, write_pdf
from linesim.report.files.words_file import missing_words, words_from_file
from linesim.report.theme.paper import PAPERS_MM
from linesim.report.theme.shown import SYSTEMS, System
from linesim.words import ENGLISH, Words, reading

__all__ = [
    "Paper",
    "PaperName",
    "Pdf",
    "Units",
    "WordsFile",
    "day_from",
    "in_words",
    "spoken_words",
    "system_of",
    "tell_missing",
]

Spoken = TypeVar("Spoken")
Pdf = Annotated[Path | None, typer.Option("--pdf", metavar="FILE", help="Write it as a PDF.")]
PaperName = Annotated[str, typer.Option("--paper", metavar="NAME", help="A4 or Letter.")]
WordsFile = Annotated[
    Path | None,
    typer.Option(
        "--words", metavar="FILE", help="Words in another language (linesim schema --words begins a file of them).",
        show_default=False,
    ),
]  # fmt: skip
Units = Annotated[str, typer.Option("--units", metavar="NAME", help="metric or inch, on the sheet.")]


def day_from(option: str, text: str) -> date | None:
    """A day as it is typed after an option; None for nothing.

    Raises
    ------
    StudyError
        It is no date.
    """
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as error:
        raise StudyError(f'{option} "{text}" is not a date; one such as 2031-04-01 was expected') from error


def system_of(units: str) -> System:
    """Units as they are named after an option.

    Raises
    ------
    StudyError
        They are not known.
    """
    if units not in SYSTEMS:
        raise StudyError(f'"{units}" units are not known here; metric or inch was expected')
    return "inch" if units == "inch" else "metric"


@cache
def spoken_words(path: Path | None) -> Words:
    """The words of a reader; English unless he has a file of his own."""
    return ENGLISH if path is None else words_from_file(path)


def tell_missing(path: Path | None) -> None:
    """Say in one line on stderr how much of a file of words is missing; nothing if all is there."""
    if path is not None and (text := missing_words(spoken_words(path), path.name)):
        typer.echo(text, err=True)


def in_words(path: Path | None, page: Callable[..., Spoken]) -> Callable[..., Spoken]:
    """What makes a page or a text, so that it speaks the words of a reader's file."""

    def spoken(*given: object) -> Spoken:
        with reading(spoken_words(path)):
            return page(*given)

    return spoken


@dataclass(frozen=True)
class Paper:
    """Where a sheet goes.

    Attributes
    ----------
    pdf : pathlib.Path or None
        File for it.
    paper : str
        Name of the paper.
    words : pathlib.Path or None
        A translation of what stands on it.
    """

    pdf: Pdf = None
    paper: PaperName = "A4"
    words: WordsFile = None

    def check(self, is_forced: bool) -> None:
        """See to it that the PDF can be written.

        Raises
        ------
        StudyError
            It cannot, the paper is not known, or the words cannot be taken.
        """
        if self.paper not in PAPERS_MM:
            raise StudyError(f'"{self.paper}" is not a paper that is known here; A4 or Letter was expected')
        if self.pdf is not None:
            check_pdf(self.pdf, is_forced)
        tell_missing(self.words)

    def in_words(self, page: Callable[..., Spoken]) -> Callable[..., Spoken]:
        """The same page in the words of its reader."""
        return in_words(self.words, page)

    def put(self, page: Callable[[], str], is_forced: bool) -> None:
        """Write the PDF, if one is wanted."""
        if self.pdf is not None:
            write_pdf(self.pdf, page(), is_forced)
            typer.echo(f"Sheet written to {self.pdf}", err=True)

"""Where a study's answer goes whose full report can be read in another language."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.output import PageOutlet
from linesim.cli.papers import in_words, tell_missing

__all__ = ["ReportOutlet"]

ReportWords = Annotated[
    Path | None,
    typer.Option(
        "--words", metavar="FILE", help="Words of the report in another language (linesim schema --words begins one).",
        show_default=False,
    ),
]  # fmt: skip


@dataclass(frozen=True)
class ReportOutlet(PageOutlet):
    """An outlet of a command whose page speaks its reader's language; data, JSON and the terminal stay English.

    Attributes
    ----------
    words : pathlib.Path or None
        A translation of the words of the page.
    """

    words: ReportWords = None

    def check(self, *tables: str) -> None:
        """See to it that everything can be put where it is wanted, and that the words can be taken."""
        super().check(*tables)
        tell_missing(self.words)

    def page_html(self, page: Callable[[], str]) -> str:
        """The page in the words of its reader."""
        return in_words(self.words, page)()

"""Where a study's answer goes whose full report can be read in another language."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import pandas as pd
import typer
from rich.console import RenderableType

from linesim.cli.output import PageOutlet
from linesim.cli.papers import spoken_words, tell_missing
from linesim.words import reading
from linesim.works import Works

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
        """Put the answer where it is wanted; see `Outlet.put`."""

        def spoken() -> str:
            assert page is not None
            with reading(spoken_words(self.words)):
                return page()

        own = None if page is None else spoken
        super().put(tables, provenance, content, text, own, works=works, summed=summed)

"""Writing the justification sheet, as a page and as a workbook."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from linesim.errors import StudyError
from linesim.report.files.book_file import check_workbook
from linesim.report.files.page_file import check_page, write_page
from linesim.report.page.justification_content import justification
from linesim.report.page.justification_excel import PAPERS, write_workbook
from linesim.report.page.justification_html import justification_page
from linesim.report.page.sheet_records import Reader, SheetContent
from linesim.routing.answer import RoutingAnswer
from linesim.routing.history import History

__all__ = ["Sheets"]


class Sheets:
    """Where a sheet is to go, and in whose units; made before anything is run for it.

    Parameters
    ----------
    html, excel : pathlib.Path or None
        Files to write.
    paper : {"A4", "Letter"}
        For the workbook; a page leaves the paper to the printer.
    units : {"metric", "inch"}
        Of spreads, roughness and limits.
    currency : str or None
        Of the sheet; the scenario's unless given.
    rate : float
        How much of that currency one of the scenario's is, above 0.
    is_forced : bool
        Whether files that linesim did not write may be overwritten.

    Raises
    ------
    StudyError
        One of them cannot be.
    """

    def __init__(
        self,
        html: Path | None,
        excel: Path | None,
        paper: str = "A4",
        units: str = "metric",
        currency: str | None = None,
        rate: float = 1.0,
        is_forced: bool = False,
    ) -> None:
        if units not in ("metric", "inch"):
            raise StudyError(f'"{units}" units are not known here; metric or inch was expected')
        if paper not in PAPERS:
            raise StudyError(f'"{paper}" is not a paper that is known here; A4 or Letter was expected')
        if not (math.isfinite(rate) and rate > 0.0):
            raise StudyError(
                f"a rate of {rate:g} cannot be; how much of the currency one of the scenario's is, above 0"
            )
        if currency is None and rate != 1.0:
            raise StudyError("a rate was given without a currency; say which one with --currency")
        if html is not None:
            check_page(html, is_forced)
        if excel is not None:
            check_workbook(excel, is_forced)
        self.html = html
        self.excel = excel
        self.paper = paper
        self.is_forced = is_forced
        self.reader = Reader(units == "inch", currency, rate)

    @property
    def is_wanted(self) -> bool:
        """Whether there is anything to write."""
        return self.html is not None or self.excel is not None

    def content(
        self,
        answer: RoutingAnswer,
        accounts: Mapping[str, History],
        warnings: Mapping[str, Sequence[str]],
        command: str = "",
    ) -> SheetContent:
        """What stands on the sheet.

        Parameters
        ----------
        answer : RoutingAnswer
            The study.
        accounts : mapping of str to History
            By variant, where its error comes from; see `linesim.routing.why.accounts_of`.
        warnings : mapping of str to sequence of str
            By variant, where it breaks the rule of the least stock; see `linesim.routing.why.warnings_of`.
        command : str
            The command that made it.
        """
        return justification(answer, accounts, self.reader, warnings, command)

    def write(self, content: SheetContent) -> list[Path]:
        """Write what is wanted of it, in the words of whoever reads; the files written."""
        if self.html is not None:
            write_page(self.html, justification_page(content), self.is_forced)
        if self.excel is not None:
            write_workbook(self.excel, content, self.paper, self.is_forced)
        return [path for path in (self.html, self.excel) if path is not None]

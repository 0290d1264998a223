"""The justification sheet as a page asks for it: the accounts variant by variant, then the page and the workbook."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from linesim.report.files.in_memory import as_bytes
from linesim.report.page.justification_content import justification
from linesim.report.page.justification_excel import PAPERS, write_workbook
from linesim.report.page.justification_html import justification_page
from linesim.report.page.sheet_records import Reader, SheetContent
from linesim.report.theme.render import call
from linesim.routing.answer import RoutingAnswer
from linesim.routing.why import accounts_in_turn, warnings_of
from linesim.study import Interim
from linesim.works import Works

__all__ = ["JustificationFiles", "sandboxed", "sheet_steps"]

_WORDS = "following the parts of each variant"


@dataclass(frozen=True)
class JustificationFiles:
    """A justification sheet, ready to be shown and carried away in the words of whoever reads.

    Attributes
    ----------
    content : SheetContent
        What stands on it.
    """

    content: SheetContent

    def html(self, paper: str = "") -> str:
        """A page by itself, without scripts; for a paper, or for either."""
        return justification_page(self.content, paper)

    def workbook(self, paper: str = next(iter(PAPERS))) -> bytes:
        """The same as an Excel workbook."""
        return as_bytes(partial(write_workbook, content=self.content, paper=paper), "sheet.xlsx")


def sheet_steps(works: Works, answer: RoutingAnswer, is_inch: bool = False) -> Iterator[Interim[JustificationFiles]]:
    """Make the justification sheet of a routing study.

    Parameters
    ----------
    works : Works
        The scenario; the study has it as well.
    answer : RoutingAnswer
        The study.
    is_inch : bool
        Units of the sheet.

    Yields
    ------
    Interim of JustificationFiles
        After the account of each variant; the last one has the sheet.
    """
    del works
    began_s = time.monotonic()
    total = len(answer.tried) + 1
    accounts = {}
    yield Interim(0, total, 0.0, None, _WORDS)
    for name, account in accounts_in_turn(answer):
        accounts[name] = account
        yield Interim(len(accounts), total, time.monotonic() - began_s, None, _WORDS)
    content = justification(answer, accounts, Reader(is_inch), warnings_of(answer))
    yield Interim(total, total, time.monotonic() - began_s, JustificationFiles(content), "done", True)


def sandboxed(title: str, page: str, height_px: int = 900) -> str:
    """The sheet in a frame of its own that runs nothing and reaches nothing around it.

    Parameters
    ----------
    title, page : str
        Of the sheet; its HTML.
    height_px : int
        Of the frame; the sheet scrolls within.

    Returns
    -------
    str
        HTML of a frame with an empty ``sandbox`` (WHATWG HTML, section 4.8.5), in which the sheet stands escaped.
    """
    style = f"width:100%;height:{height_px}px;border:0;background:#fff"
    return call("frame", f"Justification sheet: {title}", style, page)

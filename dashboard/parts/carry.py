"""Sheets to be carried away: HTML to print, PDF, workbook; made when they are asked for, and kept nowhere."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, TypeVar

import pandas as pd
import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.said import label
from dashboard.parts.sheet_words import choose_words
from linesim.report.files.book_file import write_tables
from linesim.report.files.in_memory import as_bytes
from linesim.report.files.page_file import with_report
from linesim.report.files.pdf_file import can_print, write_pdf
from linesim.report.theme.paper import PAPERS_MM
from linesim.study.answer import Answer
from linesim.words import ENGLISH, Words, reading
from linesim.works import Works, to_yaml

__all__ = ["Carried", "carried", "offer", "offer_files"]

_EXCEL = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_Made = TypeVar("_Made", str, bytes)
_FORMS = {"HTML, to print": "frame.html", "PDF": "frame.pdf", "Excel": "frame.excel"}
_one_at_a_time = threading.Lock()
"""A PDF takes a browser of its own for a second or two; two at once would only take longer."""


@dataclass(frozen=True)
class Carried:
    """What can be carried away.

    Attributes
    ----------
    name : str
        Of the files, without an ending.
    tables : mapping of str to DataFrame
        For the workbook.
    provenance : mapping
        Where they come from.
    page : callable or None
        Makes the sheet for a paper of this name; None if there is none.
    report : mapping or None
        What the HTML carries as data; None for nothing.
    summed : mapping
        By table, columns whose sum the workbook shows.
    """

    name: str
    tables: Mapping[str, pd.DataFrame]
    provenance: Mapping[str, Any]
    page: Callable[[str], str] | None = None
    report: Mapping[str, Any] | None = None
    summed: Mapping[str, Sequence[str]] = field(default_factory=dict)


def carried(
    answer: Answer, works: Works, page: Callable[[str], str] | None, command: str, options: Mapping[str, Any]
) -> Carried:
    """An answer with the question that ``linesim rerun`` asks again.

    Parameters
    ----------
    answer : Answer
        Of a study.
    works : Works
        What was asked about.
    page : callable or None
        Makes its sheet for a paper of this name.
    command : str
        That asks the same on the command line.
    options : mapping
        Its options, by name.
    """
    head = {
        "command": f"linesim {command}, asked in the browser", "scenario": to_yaml(works),
        "asked": {"command": command, "options": dict(options)},
    }  # fmt: skip
    report = head | answer.as_dict()
    return Carried(command, answer.tables, head | answer.provenance, page, report, answer.summed)


def offer(desk: Desk, key: str, make: Callable[[], Carried], has_page: bool = True, has_words: bool = False) -> None:
    """Buttons for a sheet in all its forms.

    Parameters
    ----------
    desk : Desk
        Keeps which paper is in the printer.
    key : str
        For the buttons.
    make : callable
        Makes what is carried away, once it is asked for.
    has_page : bool
        Whether there is a sheet for paper beside the tables.
    has_words : bool
        Whether it can be printed in other words than English.
    """
    with st.container(horizontal=True, vertical_alignment="bottom"):
        if has_page:
            paper, words = _for_paper(desk, key, has_words=has_words)
            _button(key, "HTML, to print", partial(_html, make, paper, words), f"{key}.html", "text/html")
            if can_print():
                _button(key, "PDF", partial(_pdf, make, paper, words), f"{key}.pdf", "application/pdf")
        _button(key, "Excel", partial(_excel, make), f"{key}.xlsx", _EXCEL)
    if has_page:
        _say_how_to_print()


def offer_files(desk: Desk, key: str, page: Callable[[str], str], book: Callable[[str], bytes]) -> Words:
    """Buttons for a sheet that makes its page and its workbook by itself; the words that were chosen.

    Parameters
    ----------
    desk, key
        As for `offer`.
    page, book : callable
        Make them for a paper of a name, in the words of whoever reads.
    """
    with st.container(horizontal=True, vertical_alignment="bottom"):
        paper, words = _for_paper(desk, key, has_words=True)
        printed = partial(_in_words, words, page, paper)
        _button(key, "HTML, to print", lambda: printed().encode(), f"{key}.html", "text/html")
        if can_print():
            _button(key, "PDF", lambda: _printed(printed()), f"{key}.pdf", "application/pdf")
        _button(key, "Excel", partial(_in_words, words, book, paper), f"{key}.xlsx", _EXCEL)
    _say_how_to_print()
    return words


def _for_paper(desk: Desk, key: str, *, has_words: bool) -> tuple[str, Words]:
    """Which paper is in the printer, and in which words the sheet is printed."""
    kept = desk.chosen("paper", tuple(PAPERS_MM))
    chosen = st.segmented_control(
        label("frame.paper"), list(PAPERS_MM), default=kept, required=True, key=f"{key} paper"
    )
    paper = desk.choices["paper"] = str(chosen or kept)
    return paper, choose_words(desk, key) if has_words else ENGLISH


def _say_how_to_print() -> None:
    if not can_print():
        st.caption(label("frame.no_pdf"))


def _button(key: str, words: str, data: Callable[[], bytes], file: str, kind: str) -> None:
    st.download_button(label(_FORMS[words]), data, file, kind, key=f"take {key} {words}", on_click="ignore")


def _html(make: Callable[[], Carried], paper: str, words: Words = ENGLISH) -> bytes:
    of = make()
    return with_report(_page(of, paper, words), of.report).encode()


def _pdf(make: Callable[[], Carried], paper: str, words: Words = ENGLISH) -> bytes:
    return _printed(_page(make(), paper, words))


def _printed(page: str) -> bytes:
    with _one_at_a_time:
        return as_bytes(partial(write_pdf, page=page), "sheet.pdf")


def _in_words(words: Words, make: Callable[[str], _Made], paper: str) -> _Made:
    with reading(words):
        return make(paper)


def _page(of: Carried, paper: str, words: Words) -> str:
    """The sheet in the words of whoever reads it."""
    assert of.page is not None
    return _in_words(words, of.page, paper)


def _excel(make: Callable[[], Carried]) -> bytes:
    of = make()
    write = partial(write_tables, tables=of.tables, provenance=of.provenance, summed=of.summed)
    return as_bytes(write, "tables.xlsx")

"""The shell: one page on the sheet, guarded, on the desk of the user who looks."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts import sheet, who
from dashboard.parts.arriving import Elsewhere, arrive
from dashboard.parts.elsewhere import show_elsewhere
from dashboard.parts.guard import guarded
from dashboard.parts.share import news, share
from dashboard.parts.sheet_words import words_of
from dashboard.parts.ways import offer_way_back, signposted
from dashboard.questions import (
    advice,
    carry,
    cuts,
    cutters,
    desks,
    drawing,
    lesson,
    line,
    manual,
    money,
    own,
    past,
    records,
    shift,
)
from linesim.words import reading, say

__all__ = ["NO_CARDS", "PAGES", "pages", "show"]

PAGES: tuple[ModuleType, ...] = (
    advice, line, cutters, cuts, money, shift, drawing, lesson, past, manual, own, desks, records, carry,
)  # fmt: skip
"""The pages in the order of their cards; each has TITLE, URL and page(desk)."""

NO_CARDS = (manual, own, desks, records, carry)
"""The manual and one's desks are reached from the head of every page, the others from the pages that they belong to."""

_LINKS: dict[ModuleType, tuple[ModuleType, ...]] = {
    line: (own,),
    own: (records,),
    advice: (records, carry),
    cutters: (carry,),
    shift: (carry,),
}
"""Which pages without a card a page leads to."""


def pages() -> list[st.Page]:
    """The pages for Streamlit's navigation, in the order of their cards; the first opens where none is named.

    That one has no address by its name, so that it stands at the end once more, for those who type it.
    """
    cards: list[st.Page] = []
    for number, module in enumerate(PAGES):
        draw = _drawn(module, cards)
        address = module.URL if number else "start"  # reserved for the first page, which stands at the root
        cards.append(st.Page(draw, title=module.TITLE, url_path=address, default=number == 0))
    by_name = st.Page(_drawn(PAGES[0], cards), title=PAGES[0].TITLE, url_path=PAGES[0].URL)
    return [*cards, by_name]


def show(url: str) -> None:
    """One page by its address, whatever page the browser asks for; for tests.

    Parameters
    ----------
    url : str
        As in the page's address.
    """
    result = pages()
    st.navigation(result, position="hidden")
    module = next(module for module in PAGES if url == module.URL)
    _drawn(module, result[: len(PAGES)])()


def _drawn(module: ModuleType, all_pages: list[st.Page]) -> Callable[[], None]:
    """A page within the sheet."""

    @guarded
    def draw() -> None:
        sheet.style()
        if not who.sign_in_first():
            return
        desk = arrive(who.person())
        if isinstance(desk, Elsewhere):
            show_elsewhere(desk, who.person())
            return
        with reading(words_of(desk)):
            _laid_out(desk, module, all_pages)

    draw.__name__ = module.URL
    return draw


def _laid_out(desk: Desk, module: ModuleType, all_pages: list[st.Page]) -> None:
    """A page with its frame, in the words of the desk."""
    heading = getattr(module, "heading", None)
    words = heading() if heading is not None else None
    manual_page, my_desks = (all_pages[PAGES.index(page)] for page in (manual, desks))
    sheet.head(desk, words, manual_page, lambda: share(desk, my_desks))
    cards = [(_title(each), of) for each, of in zip(PAGES, all_pages, strict=True) if each not in NO_CARDS]
    sheet.cards(cards, _title(module))
    guarded(news)(desk)
    signposted({each.URL: of for each, of in zip(PAGES, all_pages, strict=True)}, module.URL)
    offer_way_back(desk)
    sheet.ways([(_title(other), all_pages[PAGES.index(other)]) for other in _LINKS.get(module, ())])
    guarded(module.page)(desk)
    sheet.foot(desk, who.shown_name())
    who.signed_in()


def _title(module: ModuleType) -> str:
    """What a page is called, in the words of the desk."""
    return say(f"pages.{module.URL}")

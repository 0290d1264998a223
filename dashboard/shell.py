"""The shell: one page on the sheet, guarded, on the desk of the user who looks."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType

import streamlit as st

from dashboard.parts import room, sheet, who
from dashboard.parts.guard import guarded
from dashboard.questions import cuts, cutters, drawing, lesson, line, manual, money, past, shift

__all__ = ["PAGES", "pages", "show"]

PAGES: tuple[ModuleType, ...] = (line, cutters, cuts, money, shift, drawing, lesson, past, manual)
"""The pages in the order of their cards; each has TITLE, URL and page(desk)."""


def pages() -> list[st.Page]:
    """The pages for Streamlit's navigation; the first is opened."""
    result: list[st.Page] = []
    for number, module in enumerate(PAGES):
        draw = _drawn(module, result)
        result.append(st.Page(draw, title=module.TITLE, url_path=module.URL, default=number == 0))
    return result


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
    _drawn(module, result)()


def _drawn(module: ModuleType, all_pages: list[st.Page]) -> Callable[[], None]:
    """A page within the sheet."""

    @guarded
    def draw() -> None:
        sheet.style()
        if not who.sign_in_first():
            return
        desk = room.desk(who.person())
        sheet.head(desk)
        titles = [each.TITLE for each in PAGES]
        sheet.cards(list(zip(titles, all_pages, strict=True)), module.TITLE)
        guarded(module.page)(desk)
        who.signed_in()

    draw.__name__ = module.URL
    return draw

"""How many cuts: variants of the routing side by side, the sheet that justifies one, and where an error comes from."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts import making
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.guard import guarded
from dashboard.parts.once import once
from dashboard.parts.practice import practice
from dashboard.parts.room import light
from dashboard.parts.show import answer, listed, note, picture, rests_on, table
from dashboard.parts.typed_variants import type_variants
from dashboard.parts.variants import Asked, choose_variants
from linesim.report.views import cuts as cuts_view
from linesim.routing.asked import SideBySide

__all__ = ["TITLE", "URL", "page"]

TITLE = "How many cuts"
URL = "cuts"

_REPLICATIONS = 8
_MOST_VARIANT_RUNS = 90
_MOST_VARIANTS = 8

_FURTHER = {
    "How much stock to leave": making.stock,
    "Where an error comes from": making.life,
    "Speed and feed of a cut": making.speed,
    "What practitioners know": practice,
}


def page(desk: Desk) -> None:
    """Draw the page."""
    asked = choose_variants(desk)
    with st.expander("Type in variants of your own", key="typed variants open", expanded=asked is None):
        guarded(type_variants)(desk)
    if asked is None:
        answer("No variants of the program fit this scenario.")
        note(
            "Type some in above, such as a cut left out or another depth; or send a file of your own with two or more "
            "variants. The files in scenarios/variants show how one is written."
        )
    else:
        _side_by_side(desk, asked)
    rests_on(desk, "cuts")
    st.header("Ask further", anchor=False)
    usual = desk.chosen("further of cuts", tuple(_FURTHER))
    chosen = st.segmented_control(
        "Ask further", list(_FURTHER), default=usual, required=True, key="further of cuts", label_visibility="collapsed"
    )
    desk.choices["further of cuts"] = chosen or usual
    _FURTHER[str(desk.choices["further of cuts"])](desk, _REPLICATIONS)


def _side_by_side(desk: Desk, asked: Asked) -> None:
    """Variants, each with its own best intervals."""
    note(asked.question)
    job = ask(desk, "variants", "linesim.routing.asked:VariantGlance", _MOST_VARIANT_RUNS * _MOST_VARIANTS,
              text=asked.text, name=asked.file, replications=_REPLICATIONS)  # fmt: skip

    def draw(result: SideBySide) -> None:
        first, *others = once(cuts_view.variants_sentences, result)
        answer(first, is_open=not cuts_view.is_clear(result))
        picture(once(cuts_view.variants_picture, result, light()), "variants")
        note(once(cuts_view.variants_note, result))
        if result.full is None:
            return
        with st.expander("Quality, minutes and what would change the answer"):
            listed(others)
        table(once(cuts_view.content_sheet, result.full), "content")
        table(once(cuts_view.capability_sheet, result.full, desk.system), "capability")
        making.sheet(desk, result.full)

    show_answer(job, draw, "variants")

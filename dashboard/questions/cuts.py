"""How many cuts: variants of the routing side by side, the sheet that justifies one, and where an error comes from."""

from __future__ import annotations

from functools import partial

from dashboard.desk import Desk
from dashboard.parts import making
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.folded import folded
from dashboard.parts.once import once
from dashboard.parts.practice import practice
from dashboard.parts.questions import ask_further
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
    if asked is None:
        answer("No variants of the program fit this scenario.")
        note(
            "Type some in below, such as a cut left out or another depth; or send a file of your own with two or more "
            "variants. The files in scenarios/variants show how one is written."
        )
    else:
        _side_by_side(desk, asked)
    folded("Type in variants of your own", "typed variants", partial(type_variants, desk), is_open=asked is None)
    rests_on(desk, "cuts")
    ask_further(desk, "further of cuts", _FURTHER, _REPLICATIONS)


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
        full = result.full
        folded("Quality, minutes and what would change the answer", "in words", partial(listed, others))
        folded("Minutes, machines and power of each variant", "content",
               lambda: table(once(cuts_view.content_sheet, full), "content"))  # fmt: skip
        folded("What each variant does to the drawing", "capability",
               lambda: table(once(cuts_view.capability_sheet, full, desk.system), "capability"))  # fmt: skip
        making.sheet(desk, full)

    show_answer(job, draw, "variants")

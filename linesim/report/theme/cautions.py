"""What must be said wherever cutters, machines and figures for planning come together."""

from __future__ import annotations

from collections.abc import Iterable

from linesim.words import ENGLISH, keep, reading, say

__all__ = ["CAUTIONS", "CAUTION_OF", "FIRST_OF_ALL", "caution_words", "lesson_cautions", "lesson_cautions_of"]

_PARTS = {
    "changing": ("changing",), "gloves": ("gloves", "edges"), "chips": ("chips",), "lives": ("lives",),
    "wheels": ("ring", "wheels"), "guards": ("guards",), "lifting": ("lifting",), "dressing": ("dressing",),
}  # fmt: skip
"""What is said in each caution, by the key under which lessons and cards name it."""


def caution_words(key: str) -> str:
    """A caution in the words of whoever reads.

    Parameters
    ----------
    key : str
        As in `CAUTION_OF`, or "first_of_all".
    """
    return " ".join(say(f"cautions.{part}") for part in _PARTS.get(key, (key,)))


FIRST_OF_ALL: str = keep("cautions.first_of_all")
"""What goes before every caution."""

CAUTIONS: tuple[str, ...] = (
    keep("cautions.changing"), keep("cautions.gloves"), keep("cautions.lives"), keep("cautions.wheels"), FIRST_OF_ALL,
)  # fmt: skip
"""Sentences for a report. The citation of 29 CFR 1910.147 is from memory; the rest is common practice."""

_GAME = (
    "A shift here is a game about money and quality, never about haste: every change is made on a locked-out spindle, "
    "every edge is looked at and every face is brushed at rest, and no minutes can be saved on that."
)

with reading(ENGLISH):
    CAUTION_OF: dict[str, str] = {key: caution_words(key) for key in _PARTS}
"""Cautions by the key under which a lesson names them. The citations of 29 CFR are from memory; the rest is common
practice, no source."""


_OF_ORDER: dict[str, tuple[str, ...]] = {
    "change": ("changing", "gloves", "lifting", "wheels"),
    "first": ("changing", "guards"),
    "look": ("changing", "gloves", "guards"),
    "gauge": ("guards",),
    "chips": ("chips", "guards"),
}
"""Cautions by what is done with hands at a machine; other orders are given at the desk or to the machine's control."""


def lesson_cautions_of(keys: Iterable[str], doing: str) -> list[str]:
    """Cautions of a lesson that bear on one kind of order, as a trainee gives it.

    >>> [text.split(",")[0] for text in lesson_cautions_of(["chips"], "gauge")]
    ['Guards and interlocks stay in place and in order; nothing is looked at']
    >>> lesson_cautions_of(["chips"], "offset")
    []
    """
    own = {*keys, "changing", "guards", "lives"}
    return [CAUTION_OF[key] for key in _OF_ORDER.get(doing, ()) if key in own]


def lesson_cautions(keys: Iterable[str]) -> list[str]:
    """Cautions of a lesson: those that it names, and those of every lesson; the local codes last, as they go first.

    >>> lesson_cautions(["chips"])[0].startswith("Chips are taken off with a brush")
    True
    """
    chosen = [*keys, "changing", "guards", "lives"]
    return [*(CAUTION_OF[key] for key in dict.fromkeys(chosen)), _GAME, FIRST_OF_ALL]

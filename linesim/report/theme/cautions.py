"""What must be said wherever cutters, machines and figures for planning come together."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["CAUTIONS", "CAUTION_OF", "FIRST_OF_ALL", "lesson_cautions", "lesson_cautions_of"]

_CHANGING = (
    "Changing cutters: stop the spindle and wait until it stands before a hand goes near it. Lock the "
    "machine out as your local code requires; in the United States that is 29 CFR 1910.147, with its "
    "exception for minor servicing where other means protect as well."
)
_GLOVES = (
    "Gloves, loose sleeves, rings and cloths stay away from a turning spindle. Handle blades and edges "
    "with gloves only while everything stands still."
)
_LIVES = (
    "Tool lives here are estimates, made to compare policies. They are never a reason to run a cutter "
    "longer, faster or duller than its maker, the maker of the machine or your appointed people allow."
)
_WHEELS = (
    "Grinding wheels and honing stones: keep to the speed marked on them, and change and dress them as "
    "their maker and your local code say."
)
FIRST_OF_ALL = (
    "The machine maker's instructions, your local codes and the people appointed for safety go before "
    "anything on this page."
)
"""What goes before every caution."""

CAUTIONS: tuple[str, ...] = (_CHANGING, _GLOVES, _LIVES, _WHEELS, FIRST_OF_ALL)
"""Sentences for a report. The citation of 29 CFR 1910.147 is from memory; the rest is common practice."""

_EDGES = (
    "Edges cut when nothing turns, too: blades and inserts are carried in their boxes and held by the body, and a dull "
    "edge cuts a hand as well as a sharp one."
)
_CHIPS = (
    "Chips are taken off with a brush or a rake, with the spindle at rest and locked out, eyes covered; never by hand, "
    "and never blown off with compressed air, which drives them into eyes and skin and under the slides. In the United "
    "States 29 CFR 1910.242(b) limits air for cleaning to 30 psi with guards and protective gear."
)
_RING = (
    "A vitrified wheel is looked over and ring tested before it is mounted, is never run above the speed marked on it, "
    "and runs up behind its guard with nobody in line with it. Wheels are mounted by trained and appointed people."
)
_GUARDS = "Guards and interlocks stay in place and in order; nothing is looked at, brushed or gauged while it turns."
_LIFTING = "Blocks and heads are lifted with a hoist and proven slings by people instructed in it; nobody stands below."
_GAME = (
    "A shift here is a game about money and quality, never about haste: every change is made on a locked-out spindle, "
    "every edge is looked at and every face is brushed at rest, and no minutes can be saved on that."
)

CAUTION_OF: dict[str, str] = {
    "changing": _CHANGING,
    "gloves": f"{_GLOVES} {_EDGES}",
    "chips": _CHIPS,
    "lives": _LIVES,
    "wheels": f"{_RING} {_WHEELS}",
    "guards": _GUARDS,
    "lifting": _LIFTING,
}
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

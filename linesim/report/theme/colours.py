"""Colours of pictures and pages: one palette told apart by every kind of sight, by day and by night."""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.tally import State

__all__ = ["DAY", "ITEM_COLOURS", "NIGHT", "PALETTE", "STATE_COLOURS", "Light", "policy_colours"]

PALETTE = {
    "black": "#000000",
    "orange": "#E69F00",
    "sky blue": "#56B4E9",
    "bluish green": "#009E73",
    "yellow": "#F0E442",
    "blue": "#0072B2",
    "vermilion": "#D55E00",
    "reddish purple": "#CC79A7",
}
"""M. Okabe and K. Ito, "Color Universal Design", 2002: eight colours told apart with every kind of sight."""

_GREY = "#8A9099"
_PALE = "#C9CED6"

STATE_COLOURS: dict[str, str] = {
    State.CUTTING.words: PALETTE["blue"],
    State.LOADING.words: PALETTE["sky blue"],
    State.GAUGING.words: PALETTE["bluish green"],
    State.CHECKING.words: "#7FCDB4",
    State.CHANGING.words: PALETTE["orange"],
    State.WAITING_FOR_SETTER.words: "#F3CD7A",
    State.WAITING_FOR_SET.words: PALETTE["yellow"],
    State.UNDER_REPAIR.words: PALETTE["vermilion"],
    State.WAITING_FOR_FITTER.words: "#EBA878",
    State.HELD_UP.words: _GREY,
    State.WAITING_FOR_PART.words: _PALE,
}
"""Work is blue and green, cutters yellow, breakdowns red, what others cause grey; in this order."""

ITEM_COLOURS: dict[str, str] = {
    "castings": _PALE,
    "machine hours": PALETTE["blue"],
    "labour": PALETTE["sky blue"],
    "setters": PALETTE["orange"],
    "fitters": "#EBA878",
    "new cutters": PALETTE["yellow"],
    "regrinds": "#B8AE2A",
    "dressings and indexing": "#F7F1A8",
    "scrap": PALETTE["vermilion"],
    "recuts": "#8C3D00",
    "salvage": "#E9A98A",
    "gauging": PALETTE["bluish green"],
    "stock in process": _GREY,
    "quality loss": PALETTE["reddish purple"],
}
"""Items of the ledger, in reading order."""


class Light(NamedTuple):
    """Colours of a page under one light."""

    paper: str
    sheet: str
    ink: str
    faint: str
    rule: str
    accent: str
    good: str
    caution: str


DAY = Light(
    paper="#EEF0EC", sheet="#FCFCF9", ink="#1C2733", faint="#56636F", rule="#C4CCD2",
    accent="#005A8E", good="#00694D", caution="#A84300",
)  # fmt: skip
NIGHT = Light(
    paper="#0E141A", sheet="#161E26", ink="#E4E9ED", faint="#9FADB8", rule="#34414D",
    accent="#6FC0EE", good="#4CC7A1", caution="#F0985A",
)  # fmt: skip


def policy_colours(names: tuple[str, ...]) -> dict[str, str]:
    """A colour for each policy; the same one again after seven.

    >>> policy_colours(("a", "b"))["a"]
    '#0072B2'
    """
    order = ("blue", "vermilion", "bluish green", "reddish purple", "orange", "sky blue", "yellow")
    return {name: PALETTE[order[at % len(order)]] for at, name in enumerate(names)}

"""Colours and marks of pictures and pages: one palette for every kind of sight, by day and by night."""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.tally import State
from linesim.routing.sources import Source

__all__ = [
    "DAY", "GREY", "HATCH_INK", "ITEM_COLOURS", "ITEM_HATCH", "NIGHT", "PALETTE", "SOURCE_COLOURS", "SOURCE_HATCH",
    "STATE_COLOURS", "STATE_HATCH", "Hatch", "Light", "policy_colours",
]  # fmt: skip

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

GREY = "#8A9099"
"""Lines that only lead the eye, by day and by night."""
HATCH_INK = "#1C2733"
"""Lines of a hatching, on every colour."""
_PALE = "#C9CED6"


class Hatch(NamedTuple):
    """Lines over a bar: their shape as Plotly has it, and the share of the bar that they cover."""

    shape: str
    solidity: float = 0.2


STATE_COLOURS: dict[str, str] = {
    State.CUTTING.words: PALETTE["blue"],
    State.LOADING.words: PALETTE["sky blue"],
    State.GAUGING.words: PALETTE["bluish green"],
    State.CHECKING.words: "#7FCDB4",
    State.CHANGING.words: PALETTE["orange"],
    State.WAITING_FOR_SETTER.words: "#F3CD7A",
    State.WAITING_FOR_SET.words: PALETTE["yellow"],
    State.CHANGING_OVER.words: "#D98880",
    State.WAITING_FOR_OPERATOR.words: "#9AD0F5",
    State.SETTING_RIGHT.words: "#B5651D",
    State.FIRST_PIECE.words: "#C9A227",
    State.FILLING.words: "#A9B8C6",
    State.WAITING_FOR_RESULT.words: "#4E9A8B",
    State.WAITING_FOR_FELLOW.words: "#C6B7D9",
    State.UNDER_REPAIR.words: PALETTE["vermilion"],
    State.OVERHAUL.words: "#A83C00",
    State.WAITING_FOR_FITTER.words: "#EBA878",
    State.HELD_UP.words: GREY,
    State.WAITING_FOR_PART.words: _PALE,
}
"""Work is blue and green, cutters yellow, breakdowns red, what others cause grey; in this order."""

STATE_HATCH: dict[str, Hatch] = {
    State.CUTTING.words: Hatch(""),
    State.LOADING.words: Hatch(""),
    State.GAUGING.words: Hatch("x"),
    State.CHECKING.words: Hatch("+"),
    State.CHANGING.words: Hatch("/"),
    State.WAITING_FOR_SETTER.words: Hatch("\\"),
    State.WAITING_FOR_SET.words: Hatch("-"),
    State.CHANGING_OVER.words: Hatch("\\", 0.55),
    State.WAITING_FOR_OPERATOR.words: Hatch("\\"),
    State.SETTING_RIGHT.words: Hatch("x"),
    State.FIRST_PIECE.words: Hatch("+", 0.55),
    State.FILLING.words: Hatch("."),
    State.WAITING_FOR_RESULT.words: Hatch("/", 0.55),
    State.WAITING_FOR_FELLOW.words: Hatch("|", 0.55),
    State.UNDER_REPAIR.words: Hatch("."),
    State.OVERHAUL.words: Hatch(".", 0.45),
    State.WAITING_FOR_FITTER.words: Hatch("|"),
    State.HELD_UP.words: Hatch(""),
    State.WAITING_FOR_PART.words: Hatch(""),
}
"""A hatching for each state beside its colour."""

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
    "maintenance": "#A83C00",
    "transport and pallets": "#4F7F8A",
    "gauging": PALETTE["bluish green"],
    "stock in process": GREY,
    "quality loss": PALETTE["reddish purple"],
    "repairs of parts": "#6B5B95",
    "field failures": "#5E2750",
    "out of drawing": "#B03A5B",
}
"""Items of the ledger, in reading order."""

_SHAPES = ("/", "x", "\\", ".", "-", "|", "+")
_HATCHES = (Hatch(""), *(Hatch(shape, dense) for dense in (0.2, 0.55, 0.85, 0.38) for shape in _SHAPES))
"""Twenty-nine that can be known from each other."""

ITEM_HATCH: dict[str, Hatch] = dict(zip(ITEM_COLOURS, _HATCHES, strict=False))
"""A hatching for each item beside its colour, the same on every picture."""

SOURCE_COLOURS: dict[str, str] = {
    Source.CASTING.words: "#8C3D00",
    Source.DEFLECTION.words: PALETTE["blue"],
    Source.WEAR.words: PALETTE["orange"],
    Source.STRESS.words: PALETTE["bluish green"],
    Source.DISTURBANCE.words: PALETTE["vermilion"],
    Source.CHIPS.words: PALETTE["reddish purple"],
    Source.CHANCE.words: "#B9C0C8",
    Source.GAUGING.words: PALETTE["sky blue"],
    Source.RECUT.words: "#6B5B95",
    Source.NOT_CLEANED_UP.words: PALETTE["black"],
    Source.SALVAGE.words: PALETTE["yellow"],
    Source.HEATS.words: "#7FA9B5",
    Source.LEADER.words: "#003F6B",
    Source.WHEEL.words: "#7A5C00",
    Source.OWN_SIZE.words: "#7FCDB4",
    Source.FIXTURE.words: "#4E7D5B",
    Source.DATUM.words: "#A65E8C",
    Source.WARMTH.words: "#C7503A",
    Source.AIM.words: "#3F7F3F",
    Source.SETTING.words: "#7A2E4D",
    Source.FAULTS.words: "#5A5A5A",
    Source.CUT_HEAT.words: "#E0A070",
    Source.CLAMPING.words: "#5B7FC7",
    Source.SPINDLE.words: "#A3B86C",
    Source.OWN_FORM.words: "#E3C9A8",
}
"""Sources of an error, from the palette of Okabe and Ito and shades of it."""

SOURCE_HATCH: dict[str, Hatch] = dict(zip(SOURCE_COLOURS, _HATCHES, strict=False))
"""A hatching for each source beside its colour."""


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

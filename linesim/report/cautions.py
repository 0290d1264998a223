"""What must be said wherever cutters, machines and figures for planning come together."""

from __future__ import annotations

__all__ = ["CAUTIONS"]

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
_FIRST = (
    "The machine maker's instructions, your local codes and the people appointed for safety go before "
    "anything on this page."
)

CAUTIONS: tuple[str, ...] = (_CHANGING, _GLOVES, _LIVES, _WHEELS, _FIRST)
"""Sentences for a report. The citation of 29 CFR 1910.147 is from memory; the rest is common practice."""

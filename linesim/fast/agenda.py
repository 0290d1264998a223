"""The agenda: who acts when.

A binary heap of moments; equal moments may come out in any order, as they all happen before anything is given out.

Who is taken out mostly enters again at once. So the first place is only left open, and filled with what is entered
next; if nothing is, `close_agenda` fills it with the last entry.
"""

from __future__ import annotations

from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import real_at, whole_at
from linesim.fast.state import World


@inlined
def enter_in_agenda(w: World, minute: float, who: int) -> None:
    """Note that somebody acts at a moment."""
    if w.is_open:
        w.is_open = 0
        _sink(w, minute, who)
    else:
        w.n_agenda += 1
        _rise(w, minute, who)


@compiled
def _rise(w: World, minute: float, who: int) -> None:
    """Put an entry at the end, and before all that come later."""
    at = w.n_agenda - 1
    while at > 0:
        above = (at - 1) >> 1
        minute_above = real_at(w.agenda_min, above).value
        if minute_above <= minute:
            break
        real_at(w.agenda_min, at).value = minute_above
        whole_at(w.agenda_who, at).value = whole_at(w.agenda_who, above).value
        at = above
    real_at(w.agenda_min, at).value = minute
    whole_at(w.agenda_who, at).value = who


@compiled
def _sink(w: World, minute: float, who: int) -> None:
    """Put an entry in the first place, and behind all that come sooner."""
    size = w.n_agenda
    at, below = 0, 1
    while below < size:
        minute_below = real_at(w.agenda_min, below).value
        if below + 1 < size:
            other = real_at(w.agenda_min, below + 1).value
            is_sooner = 1 if other < minute_below else 0
            below += is_sooner
            minute_below = min(other, minute_below)
        if minute <= minute_below:
            break
        real_at(w.agenda_min, at).value = minute_below
        whole_at(w.agenda_who, at).value = whole_at(w.agenda_who, below).value
        at, below = below, 2 * below + 1
    real_at(w.agenda_min, at).value = minute
    whole_at(w.agenda_who, at).value = who


@inlined
def next_minute(w: World) -> float:
    """The first moment in the agenda; there must be one, and the first place must not be open."""
    return real_at(w.agenda_min, 0).value


@inlined
def take_from_agenda(w: World) -> int:
    """Who acts first; the first place is left open."""
    w.is_open = 1
    return whole_at(w.agenda_who, 0).value


@inlined
def close_agenda(w: World) -> None:
    """Fill the first place if it is still open."""
    if w.is_open:
        w.is_open = 0
        w.n_agenda -= 1
        if w.n_agenda > 0:
            _sink(w, real_at(w.agenda_min, w.n_agenda).value, whole_at(w.agenda_who, w.n_agenda).value)

"""The state of a compiled run on what is shared, cutter sets and what is due; `linesim.fast.state` hands these on.

Minutes count from the start of the run. Links and indices are ``NONE`` (-1) where there is no such thing.
"""

from __future__ import annotations

from linesim.fast.short import Few, Flag, Short

__all__ = ["Claim", "CutterSet", "Due", "Pool", "Sister"]


class Due:
    """A slot of the agenda: what is due, and when."""

    minute: float
    ticket: int
    """Who acts, below 2**32, and above that the slot in the first round; of a slot that was wiped out, the one that
    was wiped out before it."""


class Claim:
    """One claim that waits in a pool; each machine, mount and set has one."""

    since_min: float
    rank: int
    next: Short
    prev: Short


class Pool:
    """Anything shared: the crib's counter, people, a shelf, a yard, the dispatch, a buffer.

    What a part that goes through a buffer meets stands first, in one line of memory.
    """

    since_min: float
    level_min: float
    waited_min: float
    served: Short
    had_to_wait: Short
    first_claim: Short
    first_giver: Short
    first: Short
    last: Short
    """Parts or sharp sets that stand in it, the oldest first."""
    stock: Short
    capacity: Short
    extreme: Short
    way: Few
    is_direct: Flag
    """Whether parts go through it without the foreman, as nobody else could be served first: one at most wants to take
    from it and one to give, so that neither is counted, nor noted as the last."""
    last_claim: Short
    last_giver: Short
    n_claims: Short
    turn: Short
    """In which order things are given out at one instant, as `linesim.floor.foreman.Turn`."""
    of: Short
    """Number of the line, operation, kind or group of people."""
    is_called: Short
    free: Short
    queue_min: float
    fills: Short
    """Whether those that take from it take several parts at once."""
    sequence: Short
    """Which of its parts is taken, a member of `linesim.plan.type_tables.Sequence`."""
    roster: Short
    """Of people who do not always attend alike or attend machines; else ``NONE``."""


class Sister:
    """A cutter of the magazine that is not at work."""

    cutter_set: int
    sharp_set: int
    mount: int
    is_in_place: int
    was_broken: int


class CutterSet:
    """One set in circulation."""

    kind: int
    number: int
    stock_mm: float
    uses_left: int
    is_reground: int
    step: int
    sharp_since: float
    next: int
    prev: int
    wear_land_mm: float
    is_broken: int
    rank: int

"""Words for runs that would never end, the same from both engines."""

from __future__ import annotations

from linesim.errors import RunError

__all__ = [
    "MOST_ARRIVALS", "MOST_BREAKDOWNS", "MOST_INSIDE", "endless_arrivals", "endless_breakdowns", "endless_moves",
    "endless_queue",
]  # fmt: skip

MOST_ARRIVALS = 100_000
"""Castings arriving at one instant past which they are taken to arrive for ever without time passing."""

MOST_BREAKDOWNS = 100_000
"""Breakdowns in one cut past which the machine is taken to break down for ever."""

MOST_INSIDE = 100_000
"""Parts in one line, those waiting before it included, past which its queue is taken to grow for ever."""


def endless_moves(now_min: float) -> RunError:
    """Parts go round at one instant."""
    return RunError(
        f"at minute {now_min:g} parts go round without any time passing; "
        "give the operations of every line a time above 0, or limit the castings"
    )


def endless_arrivals(now_min: float, line: str) -> RunError:
    """Castings go on arriving at one instant."""
    return RunError(
        f'at minute {now_min:g} more than {MOST_ARRIVALS} castings of line "{line}" arrive without any time passing; '
        "give the time between castings a value above 0, or limit the castings"
    )


def endless_breakdowns(now_min: float, machine: str) -> RunError:
    """A machine breaks down again and again in one cut."""
    return RunError(
        f'at minute {now_min:g} machine "{machine}" has broken down more than {MOST_BREAKDOWNS} times in one cut; '
        "give the cutting time to its failures a value above 0"
    )


def endless_queue(now_min: float, line: str) -> RunError:
    """More castings come into a line than its operations can ever do."""
    return RunError(
        f'at minute {now_min:g} more than {MOST_INSIDE} parts are in line "{line}" or wait before it, and more come in '
        "than go out; let fewer castings come, or give its buffers an end"
    )

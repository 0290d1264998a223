"""The steps of a seat, back and forth, out of the versions of its desk: so that a restart loses none of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise

from dashboard.kept import LONGEST_WORDS, works_of_version
from dashboard.step import Step
from linesim.report.theme.safe import short
from linesim.store import Store
from linesim.store.desks import DeskVersion
from linesim.works import Works

__all__ = ["AGAIN", "BACK", "steps_of"]

BACK, AGAIN = "taking back: ", "doing again: "
"""How the words of a version begin that takes a step back, or again."""

Steps = tuple[list[Step], list[Step]]


def steps_of(store: Callable[[], Store], versions: Sequence[DeskVersion], seat: str, most: int) -> Steps:
    """What can be taken back at a seat, and what can be done again; the last one at the end of either.

    Parameters
    ----------
    store : callable
        Gives the store; scenarios are fetched from it when they are wanted.
    versions : sequence of DeskVersion
        Of the desk, the newest first.
    seat : str
        Digest of the seat.
    most : int
        So many steps at the most.
    """
    past: list[Step] = []
    future: list[Step] = []
    ordered = list(reversed(versions))
    for before, now in pairwise(ordered):
        if now.seat != seat or now.version != before.version + 1:
            continue
        if past and now.words == short(f"{BACK}{past[-1].words}", LONGEST_WORDS):
            future.append(past.pop())
        elif future and now.words == short(f"{AGAIN}{future[-1].words}", LONGEST_WORDS):
            past.append(future.pop())
        else:
            fetched = (partial(_fetched, store, each) for each in (before, now))
            past.append(Step(next(fetched), before.origin, next(fetched), now.origin, now.words))
            future = []
    return past[-most:], future[-most:]


def _fetched(store: Callable[[], Store], version: DeskVersion) -> Works:
    return works_of_version(store(), version)

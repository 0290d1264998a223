"""A user's desk: the scenario in hand, the steps back and forth, and what was chosen; kept on the server."""

from __future__ import annotations

import secrets
import threading
import time
from collections import OrderedDict
from dataclasses import dataclass, field
from typing import Any

from linesim.report.theme.shown import System
from linesim.works import Works, digest

__all__ = ["Desk", "Desks"]

_MOST_STEPS = 40
_MOST_OPERATIONS = 4_000
"""Of all the scenarios that one desk has in memory, so that huge ones can be taken back fewer times."""
_MOST_DESKS = 400


@dataclass(eq=False)
class Desk:
    """What one user works on; known by an id that nobody can guess.

    Attributes
    ----------
    works : Works
        The scenario in hand.
    origin : str
        Where it came from, for people.
    system : {"metric", "inch"}
        In what figures are shown.
    choices : dict
        What was chosen on pages, by name; it stays when the page is left.
    owner : str
        Who has signed in; empty where nobody is asked.
    """

    works: Works
    origin: str
    id: str = field(default_factory=lambda: secrets.token_urlsafe(16))
    system: System = "metric"
    choices: dict[str, Any] = field(default_factory=dict)
    owner: str = ""
    used_s: float = field(default_factory=time.monotonic)
    past: list[tuple[Works, str, str]] = field(default_factory=list)
    future: list[tuple[Works, str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.digest = digest(self.works)
        self._opened = {self.origin: self.digest}

    @property
    def last_step(self) -> str:
        """What undoing would take back, in words; empty if there is nothing."""
        return self.past[-1][2] if self.past else ""

    @property
    def is_changed(self) -> bool:
        """Whether the scenario in hand is another than the one that was opened."""
        return self._opened.get(self.origin) != self.digest

    @property
    def before(self) -> Works | None:
        """The scenario before the last change; None if there was none, or if another one was opened by it."""
        if not self.past or self.past[-1][1] != self.origin:
            return None
        return self.past[-1][0]

    @property
    def digest_before(self) -> str:
        """Of the scenario before the last change; empty if there is none."""
        return "" if self.before is None else digest(self.before)

    @property
    def next_step(self) -> str:
        """What redoing would bring back, in words; empty if there is nothing."""
        return self.future[-1][2] if self.future else ""

    def put(self, works: Works, words: str, origin: str | None = None) -> None:
        """Take another scenario in hand, or a changed one; the one before can be had back."""
        steps = min(_MOST_STEPS, max(2, _MOST_OPERATIONS // _operations(works)))
        self.past = [*self.past, (self.works, self.origin, words)][-steps:]
        self.future = []
        self._take(works, self.origin if origin is None else origin)
        if origin is not None:
            self._opened[origin] = self.digest

    def undo(self) -> None:
        """Take the last step back."""
        if self.past:
            works, origin, words = self.past.pop()
            self.future.append((self.works, self.origin, words))
            self._take(works, origin)

    def redo(self) -> None:
        """Take again what was taken back."""
        if self.future:
            works, origin, words = self.future.pop()
            self.past.append((self.works, self.origin, words))
            self._take(works, origin)

    def _take(self, works: Works, origin: str) -> None:
        self.works, self.origin, self.digest = works, origin, digest(works)

    def chosen(self, name: str, among: list[str] | tuple[str, ...], usual: str | None = None) -> str:
        """A choice made before, as long as it can still be made; else the usual one."""
        value = self.choices.get(name)
        if value in among:
            return str(value)
        return usual if usual in among and usual is not None else among[0]


def _operations(works: Works) -> int:
    """Of all lines; a measure of how much memory a scenario takes."""
    return max(1, sum(len(line.operations) for line in works.lines.values()))


class Desks:
    """All desks of a server; the longest unused are cleared first."""

    def __init__(self) -> None:
        self._desks: OrderedDict[str, Desk] = OrderedDict()
        self._lock = threading.Lock()

    def find(self, desk_id: str) -> Desk | None:
        """A desk by its id."""
        with self._lock:
            desk = self._desks.get(desk_id)
            if desk is not None:
                self._desks.move_to_end(desk_id)
                desk.used_s = time.monotonic()
            return desk

    def add(self, desk: Desk) -> Desk:
        """A new desk; the longest unused one goes when there are too many."""
        with self._lock:
            self._desks[desk.id] = desk
            while len(self._desks) > _MOST_DESKS:
                self._desks.popitem(last=False)
            return desk

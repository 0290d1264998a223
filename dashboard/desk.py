"""A user's desk: the scenario in hand, the steps back and forth, and what was chosen; kept on the server."""

from __future__ import annotations

import logging
import secrets
import threading
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from dashboard.kept import Kept, seat_digest
from dashboard.remembered import AGAIN, BACK, steps_of
from dashboard.step import Step
from linesim.errors import LinesimError, ScenarioError
from linesim.report.theme.shown import System
from linesim.store.desks import DeskVersion, MovedOnError
from linesim.works import Works, digest
from linesim.works.reconciling import reconciled

__all__ = ["Desk"]

LOG = logging.getLogger("linesim.dashboard")

_MOST_STEPS = 40
_MOST_OPERATIONS = 4_000
"""Of all the scenarios that one desk has in memory, so that huge ones can be taken back fewer times."""
_TRIES = 8
"""How often a change is put on what others have just done before it is given up."""
_ONLY_LOOKS = (
    "This desk is shown to you to look at, so that nothing on it can be changed from here. Ask for a link to copy it, "
    "or to work together."
)


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
    whose : str
        To whose desks it belongs where nobody signs in; empty for one that began by itself.
    kept : Kept or None
        Its way to the store; None where nothing is kept.
    word : str
        What is to be said of the last change: what others did meanwhile, or that it could not be kept.
    """

    works: Works
    origin: str
    id: str = field(default_factory=lambda: secrets.token_urlsafe(16))
    system: System = "metric"
    choices: dict[str, Any] = field(default_factory=dict)
    owner: str = ""
    whose: str = ""
    kept: Kept | None = None
    word: str = ""
    used_s: float = field(default_factory=time.monotonic)
    past: list[Step] = field(default_factory=list)
    future: list[Step] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.digest = digest(self.works)
        self._opened = {self.origin: self.digest}
        self._stored = self.works
        self._lock = threading.RLock()

    @property
    def address(self) -> str:
        """What stands in the address of its pages."""
        return self.id if self.kept is None else self.kept.address

    @property
    def may_change(self) -> bool:
        """Whether its user may change it."""
        return self.kept is None or self.kept.may_change

    @property
    def last_step(self) -> str:
        """What undoing would take back, in words; empty if there is nothing."""
        return self.past[-1].words if self.past else ""

    @property
    def is_changed(self) -> bool:
        """Whether the scenario in hand is another than the one that was opened."""
        return self._opened.get(self.origin) != self.digest

    @property
    def before(self) -> Works | None:
        """The scenario before the last change; None if there was none, or if another one was opened by it."""
        if not self.past or self.past[-1].origin_before != self.origin:
            return None
        try:
            return self.past[-1].before
        except LinesimError as error:
            LOG.warning("the scenario before the last change cannot be read: %s", error)
            return None

    @property
    def digest_before(self) -> str:
        """Of the scenario before the last change; empty if there is none."""
        return "" if self.before is None else digest(self.before)

    @property
    def next_step(self) -> str:
        """What redoing would bring back, in words; empty if there is nothing."""
        return self.future[-1].words if self.future else ""

    def put(self, works: Works, words: str, origin: str | None = None, since: Works | None = None) -> None:
        """Take another scenario in hand, or a changed one; the one before can be had back.

        Parameters
        ----------
        works : Works
            The scenario after the change.
        words : str
            What was done.
        origin : str, optional
            Where it comes from, if it is another scenario and no change of the one in hand.
        since : Works, optional
            What the change was made from; the scenario in hand unless given. What others have changed since stays.

        Raises
        ------
        LinesimError
            The desk may only be looked at.
        """
        with self._changing():
            seen = self.works if since is None else since
            whence = self.origin if origin is None else origin
            before = self._change(seen, works, words, whence, is_whole=origin is not None)
            self.past = [*self.past, Step(*before, self.works, self.origin, words)][-self._most_steps() :]
            self.future = []
            if origin is not None:
                self._opened[origin] = self.digest

    def remember(self, versions: Sequence[DeskVersion]) -> None:
        """Have at hand again what can be taken back at this seat, after all that was in memory has gone.

        Parameters
        ----------
        versions : sequence of DeskVersion
            Of the desk, the newest first.
        """
        assert self.kept is not None
        self.past, self.future = steps_of(self.kept.store, versions, seat_digest(self.kept.seat), self._most_steps())
        for version in versions:  # the oldest that came from somewhere is what was opened
            self._opened[version.origin] = version.works

    def undo(self) -> None:
        """Take the last step of this desk's user back; what others have done since stays."""
        with self._changing():
            if self.past and self._return(self.past[-1], is_back=True):
                self.future.append(self.past.pop())

    def redo(self) -> None:
        """Take again what was taken back."""
        with self._changing():
            if self.future and self._return(self.future[-1], is_back=False):
                self.past.append(self.future.pop())

    def catch_up(self) -> None:
        """Show the desk as others have made it since."""
        with self._lock:
            self.word = ""
            self._take_in()

    def _changing(self) -> threading.RLock:
        """Held by one window at a time, where the desk may be changed at all."""
        if not self.may_change:
            raise LinesimError(_ONLY_LOOKS)
        self.word = ""
        return self._lock

    def _change(self, seen: Works, mine: Works, words: str, origin: str, *, is_whole: bool) -> tuple[Works, str]:
        """Put a change on the desk as it stands now; the scenario before it, and where that came from."""
        for _ in range(_TRIES):
            self._take_in()
            before, result = (self.works, self.origin), mine
            if not is_whole and not _is_same(seen, self.works):
                result = self._beside_theirs(seen, mine)
            if self._write(result, words, origin):
                break
        self._take(result, origin)
        return before

    def _beside_theirs(self, seen: Works, mine: Works) -> Works:
        """A change and what others have done since in one scenario; if they do not go together, the change alone."""
        theirs = "" if self.kept is None else f"version {self.kept.seen}"
        try:
            both = reconciled(seen, mine, self.works)
        except ScenarioError as error:
            self.word = (
                f"What a colleague has changed and what you have changed do not go together ({error.problems[0]}). "
                f"Yours stands now; theirs is {theirs} among the versions of this desk, and nothing of it is lost."
            )
            return mine
        self.word = "A colleague has changed this desk in the meantime; both changes stand."
        if both.clashes:
            named = "; ".join(both.clashes[:5])
            self.word = f"A colleague has changed the same as you: {named}. Yours stands now; theirs is {theirs}."
        return both.works

    def _return(self, step: Step, *, is_back: bool) -> bool:
        """Take a step back or again; whether it is settled, also if others have left nothing of it to take back."""
        seen, mine = (step.after, step.before) if is_back else (step.before, step.after)
        origin = step.origin_before if is_back else step.origin_after
        words = f"{BACK if is_back else AGAIN}{step.words}"
        for _ in range(_TRIES):
            self._take_in()
            result = mine
            if not _is_same(seen, self.works):
                if step.is_other:
                    self.word = (
                        "A colleague has changed the scenario since; it is not taken off the desk. Go back to a version"
                        " of it under My desks."
                    )
                    return False
                try:
                    both = reconciled(seen, self.works, mine)
                except ScenarioError as error:
                    self.word = f"A colleague has built on it since, and so it stays ({error.problems[0]})."
                    return False
                if both.clashes:
                    self.word = f"A colleague has changed this since, and so it stays: {'; '.join(both.clashes[:5])}."
                if _is_same(both.works, self.works):
                    return True
                result = both.works
            if self._write(result, words, origin):
                break
        self._take(result, origin)
        return True

    def _take_in(self) -> None:
        """Take over what was done at other seats."""
        if self.kept is None:
            return
        try:
            newer = self.kept.newer()
        except LinesimError as error:
            LOG.warning("what others have done cannot be read: %s", error)
            return
        if newer is None:
            return
        works, origin = newer.works, newer.origin
        if not _is_same(self._stored, self.works):  # a change that could not be kept is not dropped
            with suppress(ScenarioError):
                works, origin = reconciled(self._stored, self.works, newer.works).works, self.origin
        self.kept.seen, self._stored = newer.version, newer.works
        self._take(works, origin)

    def _write(self, works: Works, words: str, origin: str) -> bool:
        """Write a version; False if another seat was sooner. What cannot be kept stands on the desk all the same."""
        if self.kept is None:
            return True
        try:
            self.kept.begin(self.works, self.origin)
            self.kept.write(works, origin, words)
            self._stored = works
        except MovedOnError:
            return False
        except LinesimError as error:
            LOG.warning("a desk is not kept: %s", error)
            self.word = f"This change stands here, but it could not be kept: {error}"
        return True

    def _take(self, works: Works, origin: str) -> None:
        self.works, self.origin, self.digest = works, origin, digest(works)

    def _most_steps(self) -> int:
        return min(_MOST_STEPS, max(2, _MOST_OPERATIONS // _operations(self.works)))

    def chosen(self, name: str, among: list[str] | tuple[str, ...], usual: str | None = None) -> str:
        """A choice made before, as long as it can still be made; else the usual one."""
        value = self.choices.get(name)
        if value in among:
            return str(value)
        return usual if usual in among and usual is not None else among[0]


def _is_same(one: Works, other: Works) -> bool:
    return one is other or digest(one) == digest(other)


def _operations(works: Works) -> int:
    """Of all lines; a measure of how much memory a scenario takes."""
    return max(1, sum(len(line.operations) for line in works.lines.values()))

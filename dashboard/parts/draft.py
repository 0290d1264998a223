"""What is being put in: the sheets of the scenario in hand with all that was typed, also what cannot be read yet."""

from __future__ import annotations

import logging
from dataclasses import dataclass

from dashboard.desk import Desk
from linesim.errors import LinesimError, ScenarioError
from linesim.store.drafts import KeptDraft
from linesim.works import Works, digest, works_from_text
from linesim.works.book.editing import Draft

__all__ = ["Typed", "start_over", "take", "typed"]

LOG = logging.getLogger("linesim.dashboard")

_KEPT = "sheets typed"
_NAME = "your line"
"""What errors call the sheets."""


@dataclass(frozen=True)
class Typed:
    """The sheets as typed.

    Parameters
    ----------
    draft : Draft
        All of them.
    digest : str
        Of the scenario on the desk that they were laid out from, or that they became.
    since : Works
        That scenario; what others change on the desk while something cannot be read yet stays beside what is typed.
    is_inch : bool
        Whether figures stand in inches.
    fault : ScenarioError or None
        Why they are not on the desk yet.
    stamp : int
        Rises with every change.
    """

    draft: Draft
    digest: str
    since: Works
    is_inch: bool
    fault: ScenarioError | None = None
    stamp: int = 0


def typed(desk: Desk) -> Typed:
    """The sheets of a desk; laid out anew where the scenario in hand has become another one."""
    now: Typed | None = desk.choices.get(_KEPT) or _left(desk)
    is_inch = desk.system == "inch"
    if now is None or (now.fault is None and (now.digest != desk.digest or now.is_inch != is_inch)):
        return start_over(desk)
    return now


def start_over(desk: Desk) -> Typed:
    """Lay the scenario on the desk out anew; what was typed and cannot be read is given up."""
    before: Typed | None = desk.choices.get(_KEPT)
    is_inch = desk.system == "inch"
    stamp = 0 if before is None else before.stamp + 1
    now = Typed(Draft.of(desk.works, is_inch), desk.digest, desk.works, is_inch, None, stamp)
    desk.choices[_KEPT] = now
    if before is not None and before.fault is not None:
        _drop(desk)
    return now


def take(desk: Desk, draft: Draft, words: str) -> Typed:
    """Keep changed sheets, and put them on the desk if they can be read.

    Parameters
    ----------
    desk : Desk
        Whose they are.
    draft : Draft
        The sheets after the change.
    words : str
        What was changed, for undoing.
    """
    before, fault = typed(desk), None
    try:
        works = draft.works(_NAME)
    except ScenarioError as error:
        fault = error
    else:
        own = digest(works)  # in which the order of operations counts, as it does not where works are compared
        if own != desk.digest:
            desk.put(works, words, since=before.since)
            if own != desk.digest:  # a colleague has changed something as well
                return start_over(desk)
    since = before.since if fault else desk.works
    now = Typed(draft, desk.digest, since, before.is_inch, fault, before.stamp + 1)
    desk.choices[_KEPT] = now
    if fault is not None:
        _keep(desk, now)
    elif before.fault is not None:
        _drop(desk)
    return now


def _left(desk: Desk) -> Typed | None:
    """Sheets that could not be read when the server ended; None if there were none."""
    if desk.kept is None:
        return None
    try:
        kept = desk.kept.typed()
        if kept is None:
            return None
        stored = desk.kept.store().works(kept.since)
        since = desk.works if stored is None else works_from_text(stored.text, "the desk as it was")
        draft = Draft.again(kept.cells, since, kept.is_inch)
    except LinesimError as error:
        LOG.warning("what was typed at a desk cannot be read again: %s", error)
        return None
    try:
        draft.works(_NAME)
    except ScenarioError as fault:
        now = desk.choices[_KEPT] = Typed(draft, desk.digest, since, kept.is_inch, fault, 1)
        return now
    _drop(desk)  # it is what is on the desk, or was
    return None


def _keep(desk: Desk, now: Typed) -> None:
    """Keep sheets that cannot be read; where that fails, a word says so and they stay in hand."""
    if desk.kept is None or not desk.may_change:
        return
    try:
        desk.kept.begin(desk.works, desk.origin)
        desk.kept.keep_typed(KeptDraft(now.draft.text, digest(now.since), now.is_inch))
    except LinesimError as error:
        LOG.warning("what was typed at a desk is not kept: %s", error)
        desk.word = f"What you typed stands here, but it could not be kept: {error}"


def _drop(desk: Desk) -> None:
    if desk.kept is not None and desk.may_change:
        try:
            desk.kept.drop_typed()
        except LinesimError as error:
            LOG.warning("what was typed at a desk is kept longer than it is needed: %s", error)

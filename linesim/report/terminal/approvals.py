"""What was proposed and approved, for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.shown import UNKNOWN, day_words
from linesim.store.approvals import Approval, in_force
from linesim.words import keep, retell, say

__all__ = ["approval_state", "approvals_text", "revision_words"]

_HEADS = ("number", "revision", "policy", "proposed_by", "approved_by", "from", "review")


def approvals_text(known: Sequence[Approval], day: date, location: str) -> Group:
    """All proposals, works by works, with the one that holds marked.

    Parameters
    ----------
    known : sequence of Approval
        Of a store.
    day : datetime.date
        On which it is asked.
    location : str
        Of the store.

    Returns
    -------
    rich.console.Group
    """
    if not known:
        return Group(Text(say("approval.nothing_in", location=plain(location))))
    number, revision, policy, proposed, approved, start, review = (say(f"approval.head_{name}") for name in _HEADS)
    columns = [Column(number), Column(revision), Column(policy, True, 18), Column(proposed, True, 16)]
    columns += [Column(approved, True, 16), Column(start), Column(review), Column("", True, 9)]
    parts: list[RenderableType] = []
    for name in dict.fromkeys(each.works_name for each in known):
        holds = in_force(known, name, day)
        rows = [_row(each, holds, day) for each in known if each.works_name == name]
        parts.append(grid(name, columns, rows))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def approval_state(each: Approval, holds: Approval | None, day: date) -> str:
    """How a proposal stands on a day, in a word or two.

    Parameters
    ----------
    each : Approval
        The proposal.
    holds : Approval or None
        What holds for its works on that day.
    day : datetime.date
        When it is asked.
    """
    if each.revision is None:
        return keep("approval.state_proposed")
    if holds is not None and each.number == holds.number:
        return keep("approval.state_holds")
    is_to_come = each.valid_from is not None and each.valid_from > day
    return keep("approval.state_to_come" if is_to_come else "approval.state_replaced")


def revision_words(done: Approval) -> str:
    """From when an approved proposal holds, and what it takes the place of."""
    assert done.valid_from is not None
    given = {"revision": done.revision, "day": day_words(done.valid_from)}
    if done.replaces is None:
        return say("approval.now_holds", **given)
    return say("approval.now_instead", replaced=done.replaces, **given)


def _row(each: Approval, holds: Approval | None, day: date) -> list[str]:
    days = [UNKNOWN if value is None else day_words(value) for value in (each.valid_from, each.review)]
    revision = UNKNOWN if each.revision is None else str(each.revision)
    state = retell(approval_state(each, holds, day))
    return [str(each.number), revision, each.policy, each.proposed_by, each.approved_by or UNKNOWN, *days, state]

"""What was proposed and approved, for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.shown import UNKNOWN
from linesim.store.approvals import Approval, in_force

__all__ = ["approval_state", "approvals_text"]


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
        return Group(Text(f"Nothing has been proposed in {plain(location)}: linesim approvals propose FILE --by NAME"))
    columns = [Column("number"), Column("revision"), Column("policy", True, 18), Column("proposed by", True, 16)]
    columns += [Column("approved by", True, 16), Column("from"), Column("review"), Column("", True, 9)]
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
        return "proposed"
    if holds is not None and each.number == holds.number:
        return "holds"
    return "to come" if each.valid_from is not None and each.valid_from > day else "replaced"


def _row(each: Approval, holds: Approval | None, day: date) -> list[str]:
    days = [UNKNOWN if value is None else str(value) for value in (each.valid_from, each.review)]
    revision = UNKNOWN if each.revision is None else str(each.revision)
    state = approval_state(each, holds, day)
    return [str(each.number), revision, each.policy, each.proposed_by, each.approved_by or UNKNOWN, *days, state]

"""Desks that are kept, on the desk: a list, versions with what changed in words, and what a link leads to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime

import pandas as pd

from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.safe import short
from linesim.report.theme.shown import number
from linesim.report.views.differences import scenario_changes
from linesim.store import Store
from linesim.store.desks import DeskVersion, KeptDesk

__all__ = [
    "change_lines", "desk_label", "desks_sheet", "here_words", "offered_words", "version_label", "versions_sheet",
]  # fmt: skip

_MOST_SHOWN = 30


def here_words(name: str, version: int, others: int) -> str:
    """Which desk is in hand, and how many others there are.

    Parameters
    ----------
    name : str
        What the desk is called; empty for one that is not kept yet.
    version : int
        The newest one.
    others : int
        Desks kept beside it.

    Returns
    -------
    str
    """
    more = "no other desk is kept" if not others else f"{others} other desk{'s are' if others > 1 else ' is'} kept"
    if not version:
        return f"Nothing has been changed on this desk yet: it is kept from its first change on; {more}."
    return f"You are at the desk {short(name, 80)}, version {version}; {more}."


def desk_label(desk: KeptDesk, among: Sequence[KeptDesk]) -> str:
    """A desk as it stands in a list to choose from, unlike all others of the list."""
    like = [other.key for other in among if other.name == desk.name]
    count = f" ({like.index(desk.key) + 1})" if len(like) > 1 else ""
    return f"{desk.name}{count}, version {desk.version}, {_moment(desk.changed_at)}"


def desks_sheet(desks: Sequence[KeptDesk], here: str) -> Sheet:
    """Desks that are kept, the one that was changed last first.

    Parameters
    ----------
    desks : sequence of KeptDesk
        Which.
    here : str
        Key of the one in hand.

    Returns
    -------
    Sheet
        No key stands in it.
    """
    rows: list[list[Cell]] = [
        [
            f"{desk.name} (in hand)" if desk.key == here else desk.name, desk.works_name,
            *numbers(number(desk.version, 0)), _moment(desk.begun_at), _moment(desk.changed_at),
        ]
        for desk in desks
    ]  # fmt: skip
    heads = ["desk", "scenario", *numbers("versions"), "begun", "last changed"]
    plain = [{name: value for name, value in asdict(desk).items() if name not in ("key", "owner")} for desk in desks]
    return Sheet(f"My desks: {len(desks)}", heads, rows, pd.DataFrame(plain))


def version_label(version: DeskVersion) -> str:
    """A version as it stands in a list to choose from."""
    return f"{version.version}: {short(version.words, 60)}, {_moment(version.made_at)}"


def versions_sheet(versions: Sequence[DeskVersion], own_seat: str) -> Sheet:
    """Versions of a desk, the newest first.

    Parameters
    ----------
    versions : sequence of DeskVersion
        All of them; the newest thirty are shown, and the file has all.
    own_seat : str
        Digest of the seat of who looks.

    Returns
    -------
    Sheet
    """
    rows: list[list[Cell]] = []
    for each in versions[:_MOST_SHOWN]:
        by = "you" if each.seat == own_seat else "a colleague"
        rows.append([*numbers(str(each.version)), each.words, by, _moment(each.made_at)])
    plain = [{"version": each.version, "words": each.words, "made_at": each.made_at} for each in versions]
    more = f"; the newest {_MOST_SHOWN} are shown" if len(versions) > _MOST_SHOWN else ""
    heads = [*numbers("version"), "what was done", "by", "when"]
    count = "1 version" if len(versions) == 1 else f"{len(versions)} versions"
    return Sheet(f"{count} of this desk{more}", heads, rows, pd.DataFrame(plain))


def change_lines(store: Store, before: DeskVersion, after: DeskVersion) -> list[str]:
    """In what two versions differ, in words; a version whose scenario is not there is said to be lost."""
    texts = [store.works(each.works) for each in (before, after)]
    lost = [each.version for each, text in zip((before, after), texts, strict=True) if text is None]
    if lost:
        return [f"The scenario of version {lost[0]} cannot be read any more."]
    first, second = (text.text for text in texts if text is not None)
    return scenario_changes(first, second)


def offered_words(desk: KeptDesk) -> str:
    """What a link to copy leads to."""
    return (
        f"You are offered a copy of the desk {short(desk.name, 80)}: {short(desk.works_name, 80)}, version "
        f"{desk.version}, last changed {_moment(desk.changed_at)}."
    )


def _moment(text: str) -> str:
    """A moment as the clock of the server shows it."""
    return datetime.fromisoformat(text).astimezone().strftime("%Y-%m-%d %H:%M")

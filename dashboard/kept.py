"""Where a desk is kept: every change of it is a version in the store before the page goes on."""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Callable
from typing import NamedTuple

from linesim.errors import StoreError
from linesim.report.theme.safe import short
from linesim.store import Store, StoredWorks
from linesim.store.desks import (
    LONGEST_NAME,
    LOOK,
    Change,
    DeskVersion,
    desk_name_from,
    keep_desk,
    keep_version,
    link_to,
    newest_version,
    rename_desk,
    version_of,
)
from linesim.store.drafts import KeptDraft, draft_at, drop_draft, keep_draft
from linesim.works import Works, digest, to_yaml, works_from_text

__all__ = ["LONGEST_WORDS", "Kept", "Newer", "seat_digest", "text_at", "works_of_version"]

FIRST_WORDS = "as it was opened"
LONGEST_WORDS = 200


class Newer(NamedTuple):
    """What has become of a desk at other seats since.

    Attributes
    ----------
    version : int
        The newest one.
    works : Works
        Its scenario.
    origin : str
        Where that came from.
    """

    version: int
    works: Works
    origin: str


def seat_digest(seat: str) -> str:
    """By which a version says at which seat it was made; the seat cannot be worked out from it."""
    return hashlib.sha256(f"seat {seat}".encode()).hexdigest()[:32]


def _called_like(name: str) -> str:
    """What a desk is called by the name of its scenario."""
    return desk_name_from(short(name, LONGEST_NAME) or "desk")


def works_of_version(store: Store, version: DeskVersion) -> Works:
    """The works of a version.

    Raises
    ------
    StoreError
        Its scenario is not there.
    """
    stored = store.works(version.works)
    if stored is None:
        raise StoreError(f"{store.location}: the scenario of version {version.version} is not there any more")
    return works_from_text(stored.text, f"version {version.version}")


def text_at(store: Store, key: str, name: str) -> tuple[str, str] | None:
    """A text that was sent to a desk, with the name of its file; None if there is none.

    Parameters
    ----------
    store : Store
        Open.
    key, name : str
        Of the desk, and what the text is kept under.
    """
    kept = draft_at(store, key, seat_digest(name))
    if kept is None:
        return None
    own = json.loads(kept.cells)
    return str(own["text"]), str(own["called"])


class Kept:
    """A desk's way to the store, from one seat.

    Parameters
    ----------
    store : callable
        Gives the store; it may raise StoreError.
    key : str
        Under which the desk is kept, or is going to be with its first change.
    seat : str
        Where its user sits.
    owner : str
        Whose the desk is; empty where nobody is asked.
    take : callable
        Told the desk and the bytes of every version; raises where they are too many.
    link : str
        By which the user came; empty at his own desk.
    way : str
        What the link lets him do; empty at his own desk.
    seen : int
        The version that the seat shows; 0 for a desk that is not kept yet.
    name : str
        What the desk is called; empty before it is kept.
    """

    def __init__(
        self,
        store: Callable[[], Store],
        key: str,
        seat: str,
        owner: str,
        take: Callable[[str, int], None],
        *,
        link: str = "",
        way: str = "",
        seen: int = 0,
        name: str = "",
    ) -> None:
        self.store, self.key, self.seat, self.owner, self.take = store, key, seat, owner, take
        self.link, self.way, self.seen, self.name = link, way, seen, name

    @property
    def address(self) -> str:
        """What stands in the address of the page."""
        return self.link or self.key

    @property
    def is_own(self) -> bool:
        """Whether the user is at his own desk."""
        return not self.link

    @property
    def may_change(self) -> bool:
        """Whether the desk may be changed from this seat."""
        return self.way != LOOK

    @property
    def is_kept(self) -> bool:
        """Whether there is anything of it in the store."""
        return self.seen > 0

    def newest(self) -> int:
        """The number of the newest version; 0 if the address leads nowhere any more."""
        return newest_version(self.store(), self.address)

    def newer(self) -> Newer | None:
        """What has been done at other seats since; None if nothing has."""
        number = self.newest()
        if not self.is_kept or number <= self.seen:
            return None
        version = version_of(self.store(), self.key, number)
        return Newer(number, works_of_version(self.store(), version), version.origin)

    def begin(self, works: Works, origin: str) -> None:
        """Keep the desk as it stands, if it is not kept yet; it is called like its scenario until it gets a name."""
        if not self.is_kept:
            name = _called_like(works.name)
            keep_desk(self.store(), self.key, name, self.owner, self._change(works, origin, FIRST_WORDS))
            self.seen, self.name = 1, name

    def write(self, works: Works, origin: str, words: str) -> None:
        """Write the next version; a desk that is called like its scenario is called like the next one too.

        Raises
        ------
        linesim.store.desks.MovedOnError
            Another seat was sooner; nothing has been written.
        LinesimError
            It cannot be kept.
        """
        seen, self.seen = self.seen, keep_version(self.store(), self.key, self.seen, self._change(works, origin, words))
        if self.name != _called_like(works.name):
            was = self.store().works(version_of(self.store(), self.key, seen).works)
            if was is not None and self.name == _called_like(was.name):
                self.rename(_called_like(works.name))

    def rename(self, name: str) -> None:
        """Give the desk another name."""
        rename_desk(self.store(), self.key, name)
        self.name = desk_name_from(name)

    def keep_typed(self, draft: KeptDraft) -> None:
        """Keep sheets that cannot be read yet; the desk is kept already."""
        self.take(self.key, len(draft.cells))
        keep_draft(self.store(), self.key, seat_digest(self.seat), draft)

    def typed(self) -> KeptDraft | None:
        """Sheets that could not be read yet when they were typed at this seat; None if there are none."""
        return draft_at(self.store(), self.key, seat_digest(self.seat)) if self.is_kept else None

    def drop_typed(self) -> None:
        """Keep nothing any more of what could not be read."""
        if self.is_kept:
            drop_draft(self.store(), self.key, seat_digest(self.seat))

    def note(self, name: str, rows: list[list[str]]) -> None:
        """Keep a table that was typed at this seat and is no part of the scenario; the desk is kept already."""
        text = json.dumps({"rows": rows}, ensure_ascii=False)
        self.take(self.key, len(text))
        keep_draft(self.store(), self.key, seat_digest(f"{self.seat} {name}"), KeptDraft(text, "", is_inch=False))

    def noted(self, name: str) -> list[list[str]]:
        """Such a table as it was kept; empty if there is none."""
        kept = draft_at(self.store(), self.key, seat_digest(f"{self.seat} {name}")) if self.is_kept else None
        return [] if kept is None else json.loads(kept.cells)["rows"]

    def keep_text(self, name: str, text: str, called: str) -> None:
        """Keep a text that was sent to the desk and is no part of the scenario, for all its seats.

        Parameters
        ----------
        name : str
            What it is kept under; what was kept there before goes.
        text, called : str
            The text, and the name of the file.
        """
        cells = json.dumps({"text": text, "called": called}, ensure_ascii=False)
        self.take(self.key, len(cells))
        keep_draft(self.store(), self.key, seat_digest(name), KeptDraft(cells, "", is_inch=False))

    def kept_text(self, name: str) -> tuple[str, str] | None:
        """Such a text with the name of its file; None if there is none."""
        return text_at(self.store(), self.key, name) if self.is_kept else None

    def drop_text(self, name: str) -> None:
        """Keep such a text no more."""
        if self.is_kept:
            drop_draft(self.store(), self.key, seat_digest(name))

    def link_for(self, way: str) -> str:
        """The link to the desk in a way; made if there is none."""
        return link_to(self.store(), self.key, way)

    def _change(self, works: Works, origin: str, words: str) -> Change:
        text = to_yaml(works)
        self.take(self.key, len(text))
        stored = StoredWorks(digest(works), works.name, text)
        seat, step = seat_digest(self.seat), secrets.token_urlsafe(16)
        return Change(stored, short(origin, LONGEST_WORDS), short(words, LONGEST_WORDS), seat, step)

"""Where an address leads: to the user's desk, to a colleague's by a link, or nowhere, and then that is said."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from urllib.parse import urlsplit

import streamlit as st

from dashboard.desk import Desk
from dashboard.kept import Kept, seat_digest, works_of_version
from dashboard.parts.past import store
from dashboard.parts.room import desks, first_desk
from dashboard.parts.who import owner_of
from dashboard.quota import Quota
from linesim.errors import LinesimError
from linesim.store import is_no_store
from linesim.store.desks import COPY, KeptDesk, LedTo, desk_led_to, versions_of
from linesim.store.drafts import is_seat_of
from linesim.works import Works

__all__ = ["Elsewhere", "arrive", "copied_desk", "link_address", "new_desk", "own_desk", "sit_down"]

_DESK, _SEAT = "desk", "seat"
_ADDRESS = "address of the desk"
_MB = 2**20


@dataclass(frozen=True)
class Elsewhere:
    """An address that leads to no desk that can be shown at once.

    Attributes
    ----------
    offered : KeptDesk or None
        The desk of which a copy is offered; None if the address leads nowhere.
    left : Desk or None
        What the user has had in hand, if its link has been withdrawn or the desk taken away.
    """

    offered: KeptDesk | None = None
    left: Desk | None = None


@st.cache_resource(show_spinner=False)
def _quota() -> Quota:
    """How much the desks of all users may write within an hour."""
    return Quota(128 * _MB, 1024 * _MB, what="with this version {who} kept")


def arrive(owner: str = "") -> Desk | Elsewhere:
    """The desk of the user who looks: of this visit, or of the page's address, or a new one where that names none.

    Parameters
    ----------
    owner : str
        Who has signed in; a desk of anybody else is given out by its links alone.

    Raises
    ------
    LinesimError
        The store cannot be read.
    """
    seat = str(st.session_state.get(_DESK) or st.query_params.get(_SEAT, ""))
    address = str(st.session_state.get(_ADDRESS) or st.query_params.get(_DESK, "") or seat)
    here = desks().find(seat or address) if address else None
    if here is not None and here.owner == owner and (_DESK in st.session_state or here.address == address):
        return _still_there(here)
    if not address:
        return sit_down(new_desk(owner))
    led = None if is_no_store() else desk_led_to(store(), address)
    if led is None or (not led.way and led.desk.owner != owner and owner):
        return Elsewhere()
    if led.way == COPY:
        return Elsewhere(led.desk)
    return sit_down(_seat_at(led, address, owner) if led.way else own_desk(led.desk, owner))


def _still_there(here: Desk) -> Desk | Elsewhere:
    """A desk in memory, unless it has been taken away, or its link has been withdrawn."""
    try:
        is_gone = here.kept is not None and here.kept.is_kept and not here.kept.newest()
    except LinesimError:  # what is in memory stays in hand while the store cannot be read
        is_gone = False
    return Elsewhere(left=here) if is_gone else sit_down(here)


def sit_down(desk: Desk) -> Desk:
    """Have this desk on the pages from now on, and in their address."""
    if st.session_state.get(_DESK) not in (None, desk.id):
        st.session_state.clear()  # what stands in fields belongs to the desk before
    st.session_state[_DESK], st.session_state[_ADDRESS] = desk.id, desk.address
    wanted = {_DESK: desk.address} | ({_SEAT: desk.id} if desk.id != desk.address else {})
    for name in (_DESK, _SEAT):
        if name not in wanted:
            st.query_params.pop(name, None)
        elif st.query_params.get(name) != wanted[name]:
            st.query_params[name] = wanted[name]
    return desk


def new_desk(owner: str, whose: str = "") -> Desk:
    """A desk on which nothing has been done yet."""
    return _added(first_desk(), owner, whose)


def copied_desk(works: Works, origin: str, owner: str, whose: str = "") -> Desk:
    """A desk of one's own with a scenario that stands somewhere else; kept at once."""
    desk = _added(Desk(works, origin), owner, whose)
    if desk.kept is not None:
        desk.kept.begin(works, origin)
    return desk


def own_desk(kept: KeptDesk, owner: str) -> Desk:
    """A desk of the user's own, from memory or as the store has it."""
    here = desks().find(kept.key)
    return here if here is not None and here.owner == owner else _restored(kept, kept.key, owner)


def link_address(token: str) -> str:
    """The address to be given to a colleague."""
    here = urlsplit(st.context.url or "")
    return f"{here.scheme}://{here.netloc}/?{_DESK}={token}" if here.netloc else f"/?{_DESK}={token}"


def _added(desk: Desk, owner: str, whose: str) -> Desk:
    desk.owner, desk.whose = owner, whose
    if not is_no_store():
        desk.kept = Kept(store, desk.id, desk.id, owner_of(desk), _quota().take)
    return desks().add(desk)


def _seat_at(led: LedTo, link: str, owner: str) -> Desk:
    """A seat at a colleague's desk; the one that the address names, if it has been one of this desk."""
    before = str(st.query_params.get(_SEAT, ""))
    is_known = bool(before) and is_seat_of(store(), led.desk.key, seat_digest(before))
    return _restored(led.desk, before if is_known else secrets.token_urlsafe(16), owner, link, led.way)


def _restored(kept: KeptDesk, seat: str, owner: str, link: str = "", way: str = "") -> Desk:
    versions = versions_of(store(), kept.key)
    version = next((each for each in versions if each.version == kept.version), versions[0])
    desk = Desk(works_of_version(store(), version), version.origin, seat, owner=owner)
    if not link:
        desk.whose = kept.owner
    desk.kept = Kept(
        store, kept.key, seat, kept.owner, _quota().take, link=link, way=way, seen=version.version, name=kept.name
    )
    desk.remember(versions)
    return desks().add(desk)

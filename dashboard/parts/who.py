"""Who looks: nobody is asked on a server for this machine alone; elsewhere studies have owners, and people may sign in.

Signing in is Streamlit's own (``st.login``), by OpenID Connect. A person is known by issuer and subject, which alone
stay the same and belong to nobody else (OpenID Connect Core 1.0, section 5.7), and is written down as their SHA-256.
Where nobody signs in, whoever has the desk owns its studies.
"""

from __future__ import annotations

import hashlib
import os

import streamlit as st
from streamlit import config

from dashboard.desk import Desk
from dashboard.parts.said import label
from linesim.cli.dashboard import HOME, SIGN_IN
from linesim.cli.sign_in import INSTRUCTORS
from linesim.report.theme.safe import short
from linesim.store import StoredStudy
from linesim.words import say

__all__ = [
    "is_served_to_many", "may_change", "may_teach", "owner_of", "person", "shown_name", "sign_in_first", "signed_in",
]  # fmt: skip


def is_sign_in_on() -> bool:
    """Whether people sign in."""
    return bool(os.environ.get(SIGN_IN))


def is_served_to_many() -> bool:
    """Whether others than the person at this machine may look."""
    return is_sign_in_on() or any(name not in HOME for name in config.get_option("server.allowedHosts"))


def person() -> str:
    """Who has signed in, as nobody else is called; empty where nobody is asked."""
    if not is_sign_in_on() or not st.user.is_logged_in:
        return ""
    return _short_digest(f"{st.user['iss']} {st.user['sub']}")


def owner_of(desk: Desk) -> str:
    """Whose the studies of a desk are; empty on a server for this machine alone."""
    if desk.owner or not is_served_to_many():
        return desk.owner
    return desk.whose or _short_digest(f"desk {desk.id}")


def may_change(desk: Desk, study: StoredStudy) -> bool:
    """Whether the user of a desk may name a study or take it away: his own where a server serves many, else any."""
    return not is_served_to_many() or (study.owner != "" and study.owner == owner_of(desk))


def may_teach() -> bool:
    """Whether the user may look back with trainees and delete them: anybody at his own machine, else instructors alone.

    An instructor is signed in under an address that stands in the file of ``--sign-in`` and that the provider has
    verified (``email_verified``, OpenID Connect Core 1.0, section 5.1).
    """
    if not is_served_to_many():
        return True
    address = str(st.user.get("email") or "").casefold() if person() and st.user.get("email_verified") is True else ""
    listed = st.secrets.get("linesim", {}).get(INSTRUCTORS, []) if address else []
    return address in {str(each).casefold() for each in listed}


def sign_in_first() -> bool:
    """Ask who looks, where people sign in; whether the page may go on."""
    if not is_sign_in_on() or st.user.is_logged_in:
        return True
    st.title("linesim", anchor=False)
    st.write("This server asks who you are before it shows anything. You are sent to your sign-in page, and back here.")
    st.button("Sign in", key="sign in", type="primary", on_click=st.login)
    return False


def shown_name() -> str:
    """The name of who has signed in; empty where nobody is asked, or the provider does not say it."""
    return str(st.user.get("name") or st.user.get("email") or "") if person() else ""


def signed_in() -> None:
    """Say who has signed in, and offer to sign out."""
    if person():
        name = shown_name() or say("frame.you")
        with st.container(horizontal=True, vertical_alignment="center"):
            st.caption(label("frame.signed_in", name=short(name, 60)))
            st.button(label("frame.sign_out"), key="sign out", on_click=st.logout)


def _short_digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:32]

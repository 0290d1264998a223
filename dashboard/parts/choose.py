"""Choices that stay when the page is left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import streamlit as st

from dashboard.desk import Desk
from linesim.report.theme.safe import in_markdown, key_in_picture
from linesim.words import ENGLISH, reader, retell, say
from linesim.works.doing import called_at

__all__ = [
    "choose_against",
    "choose_line",
    "choose_policy",
    "clicked_name",
    "follow_policy",
    "has_clicked",
    "pick",
    "pick_operation",
    "picked_for",
    "policy_in_hand",
]

_TURN = "turn of "
_POLICY = "policy"


def pick(
    desk: Desk, name: str, words: str, among: Sequence[str], usual: str | None = None, clicked: object = None,
    called: Callable[[str], str] = retell,
) -> str:  # fmt: skip
    """One of several names.

    Parameters
    ----------
    desk : Desk
        Keeps the choice.
    name : str
        Of the choice.
    words : str
        What is chosen.
    among : sequence of str
        At least one.
    usual : str, optional
        What is taken before a choice was made; the first unless given.
    clicked : object, optional
        What a click in a picture gave; a name among its points is the choice.
    called : callable
        How a name is shown.

    Returns
    -------
    str
    """
    names = list(among)
    _follow(desk, name, names, clicked)
    now = names[names.index(desk.chosen(name, names, usual))]
    turn = st.session_state.get(_TURN + name, 0)
    key = f"pick {name} {turn}" if turn else f"pick {name}"
    if st.session_state.get(key) not in names:
        st.session_state[key] = now
    shown = words if reader() is ENGLISH else in_markdown(words)
    told = {each: retell(called(each)) for each in names}
    chosen = st.selectbox(shown, names, key=key, format_func=told.__getitem__)
    desk.choices[name] = chosen
    return str(chosen)


def _follow(desk: Desk, name: str, names: Sequence[str], clicked: object) -> bool:
    """Choose what has just been clicked in a picture; whether anything has."""
    pointed = _pointed(clicked, names)
    if pointed is None or st.session_state.get(f"pointed at {name}") == pointed:
        return False
    st.session_state[f"pointed at {name}"] = pointed
    picked_for(desk, name, pointed)
    return True


def clicked_name(desk: Desk, name: str, among: Sequence[str], clicked: object, usual: str) -> str:
    """What has been clicked in a picture last; the usual one before any click.

    Parameters
    ----------
    desk : Desk
        Keeps it.
    name : str
        Of the choice.
    among : sequence of str
        What can be clicked.
    clicked : object
        What a click in the picture gave.
    usual : str
        What is taken before.
    """
    _follow(desk, name, list(among), clicked)
    return desk.chosen(name, list(among), usual)


def has_clicked(picture: str, clicked: object) -> bool:
    """Whether the user has just clicked something in a picture, and not before it was last drawn.

    Parameters
    ----------
    picture : str
        Its name.
    clicked : object
        What a click in it gave.
    """
    key, now = f"clicked in {picture}", str(_points(clicked))
    is_new = bool(_points(clicked)) and st.session_state.get(key) != now
    st.session_state[key] = now
    return is_new


def follow_policy(desk: Desk, clicked: object) -> None:
    """Take the policy in hand whose point was clicked; the whole page follows.

    Parameters
    ----------
    desk : Desk
        Keeps the choice.
    clicked : object
        What a click in a picture gave.
    """
    if _follow(desk, _POLICY, list(desk.works.policies), clicked):
        st.rerun()


def picked_for(desk: Desk, name: str, choice: str) -> None:
    """Make a choice for the user, on a box of its own: what the browser may still say of the old one counts no more.

    Parameters
    ----------
    desk : Desk
        Keeps the choice.
    name : str
        Of the choice.
    choice : str
        What is taken from now on.
    """
    desk.choices[name] = choice
    st.session_state[_TURN + name] = st.session_state.get(_TURN + name, 0) + 1


def pick_operation(
    desk: Desk, name: str, line: str, first: Sequence[str] = (), usual: str | None = None, clicked: object = None
) -> str:
    """One of the operations of a line, or one of the words that stand before them; each by what it does.

    Parameters
    ----------
    desk : Desk
        Keeps the choice.
    name, line : str
        Of the choice, and of the line.
    first : sequence of str
        Words that may be chosen in place of an operation.
    usual : str, optional
        What is taken before a choice was made; the first unless given.
    clicked : object, optional
        What a click in a picture gave.

    Returns
    -------
    str
        The name of the operation, as the scenario has it.
    """
    names = [*first, *desk.works.lines[line].operations]
    return pick(desk, name, say("frame.operation"), names, usual, clicked, partial(called_at, desk.works, line))


def choose_line(desk: Desk) -> str:
    """Which line is looked at; asked only where there are several."""
    names = list(desk.works.lines)
    return names[0] if len(names) == 1 else pick(desk, "line", say("frame.line"), names)


def choose_policy(desk: Desk, words: str) -> str:
    """The policy in hand, in a box; all pages follow it. Today's practice until another one is taken."""
    return pick(desk, _POLICY, words, list(desk.works.policies), desk.works.todays_policy)


def policy_in_hand(desk: Desk) -> str:
    """The policy in hand, where the page has its box elsewhere or none."""
    return desk.chosen(_POLICY, tuple(desk.works.policies), desk.works.todays_policy)


def choose_against(desk: Desk, policy: str) -> str:
    """What a policy is set against: today's practice; where that itself is in hand, the policy named last."""
    today, last = desk.works.todays_policy, list(desk.works.policies)[-1]
    return pick(
        desk,
        f"against {policy}",
        say("frame.set_against"),
        list(desk.works.policies),
        today if policy != today else last,
    )


def _pointed(event: object, names: Sequence[str]) -> str | None:
    """The name that was clicked in a picture."""
    named = {key_in_picture(name): name for name in names}
    for point in _points(event):
        given = point.get("customdata")
        for result in given if isinstance(given, list | tuple) else [given]:
            if isinstance(result, str) and result in named:
                return named[result]
    return None


def _points(event: object) -> Sequence[dict[str, Any]]:
    """What a click in a picture gave, point by point."""
    selection = event.get("selection", {}) if isinstance(event, dict) else getattr(event, "selection", None) or {}
    return list(selection.get("points", []))

"""A trial policy in a table of widgets: kind of rule and interval for each set, errors beside the row."""

from __future__ import annotations

from typing import Any

import streamlit as st

from dashboard.desk import Desk
from dashboard.forms.trial_fields import (
    GROUP,
    NAME,
    TrialLever,
    TrialRow,
    kinds_of,
    levers_as_said,
    trial_errors,
    trial_levers,
    trial_rows,
    with_trial,
)
from dashboard.parts.choose import picked_for
from dashboard.parts.edit import refused
from linesim.errors import ScenarioError
from linesim.report.theme.markup import element
from linesim.report.theme.safe import in_markdown, short
from linesim.works.doing import called_anywhere, set_called

__all__ = ["trial_form"]

_FAULTS = "faults of a trial"
_NAME = "on trial"
_HELP = (
    "Parts, cutting minutes, share of the life or shifts, as the rule says; for looks at the edge the parts from one "
    "look to the next and the share of the wear limit past which the set is changed, such as 12, 0.9; with 12, 0.9, 60 "
    "none is looked at before 60 parts."
)


_LEVER_HELP = (
    "Deeper by: such as 6 um, or centred (the mean of its drift over the interval). Share and dead band: such as "
    "0.5, 3 um; 0 leaves the offset alone. Empty: as the scenario says."
)


def trial_form(desk: Desk, policy: str) -> None:
    """A table of rules to change, and the button that puts them beside the other policies.

    Parameters
    ----------
    desk : Desk
        Whose scenario it is; the trial becomes a policy of it, which can be undone.
    policy : str
        From which the trial sets out.
    """
    rows = trial_rows(desk.works, policy)
    faults, others, given = st.session_state.get(_FAULTS, {}).get((desk.digest, policy), ({}, [], {}))
    group = desk.works.policies[policy].group_past
    with st.form(f"trial {desk.digest} {policy}", border=True):
        written = {row.key: _row(desk, policy, row, given.get(row.key), faults.get(row.key)) for row in rows}
        levers = trial_levers(desk.works, policy)
        beside = _levers(desk, policy, levers, given, faults)
        name = _text(
            "Name of the trial", given.get(NAME, _NAME), f"trial name {desk.digest} {policy}", faults.get(NAME)
        )
        share = given.get(GROUP, "" if group is None else f"{group:g}")
        words = "Change in the same stop what is past this share of its interval (empty: none)"
        share = _text(words, share, f"trial group {desk.digest} {policy}", faults.get(GROUP))
        is_put = st.form_submit_button("Put the trial beside the others", type="primary")
        refused([*faults.values(), *others])
        if is_put:
            _put(desk, policy, rows, written, name, share, (levers, beside))


def _row(desk: Desk, policy: str, row: TrialRow, given: tuple[str, str] | None, fault: str | None) -> tuple[str, str]:
    """Kind and interval of one set, side by side."""
    kind, interval = given or (row.kind, row.interval)
    kinds = kinds_of(row)
    key = f"{row.key} {desk.digest} {policy}"
    called = _called(desk, row.key)
    left, right = st.columns([1, 1], vertical_alignment="bottom")
    with left:
        chosen = st.selectbox(in_markdown(called, 90), kinds, index=kinds.index(kind), key=f"trial kind {key}")
    with right:
        text = st.text_input(
            in_markdown(f"interval, {called}", 100), interval, key=f"trial interval {key}", max_chars=40, help=_HELP
        )
    if fault:
        st.html(element("p", fault, "beside"))
    return str(chosen), text


def _levers(desk: Desk, policy: str, levers: list[TrialLever], given: Any, faults: dict[str, str]) -> dict[str, str]:
    """Aims, corrections and the like, each a text of its own."""
    if not levers:
        return {}
    with st.expander("Aims, corrections, setting anew", expanded=any(lever.written for lever in levers)):
        st.caption(_LEVER_HELP)
        written = {}
        for lever in levers:
            called = f"{lever.label.removesuffix(lever.key)}{_called(desk, lever.key)}"
            key = f"trial {lever.entry} {lever.key} {desk.digest} {policy}"
            text = given.get(lever.label, lever.written)
            written[lever.label] = _text(in_markdown(called, 120), text, key, faults.get(lever.label))
        return written


def _called(desk: Desk, key: str) -> str:
    """A set, a gauge or an operation of a policy, with what is done there."""
    return set_called(desk.works, key) if " / " in key else called_anywhere(desk.works, key)


def _text(words: str, text: str, key: str, fault: str | None) -> str:
    written = st.text_input(words, text, key=key, max_chars=80)
    if fault:
        st.html(element("p", fault, "beside"))
    return written


def _put(
    desk: Desk, policy: str, rows: list[TrialRow], written: dict[str, tuple[str, str]], name: str, share: str,
    levers: tuple[list[TrialLever], dict[str, str]],
) -> None:  # fmt: skip
    """Take the trial into the scenario; what is refused stands beside its row, and nothing is lost."""
    st.session_state.pop(_FAULTS, None)
    try:
        works = with_trial(desk.works, policy, rows, written, name, share, levers_as_said(*levers))
        desk.put(works, f"trial {short(name, 40)}")
        picked_for(desk, "policy", " ".join(name.split()))
    except ScenarioError as error:
        given = {**written, **levers[1], NAME: name, GROUP: share}
        beside = trial_errors(desk.works, rows, name, error.problems, levers[0])
        st.session_state[_FAULTS] = {(desk.digest, policy): (*beside, given)}
    st.rerun()

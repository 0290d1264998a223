"""A trial policy in a table of widgets: kind of rule and interval for each set, errors beside the row."""

from __future__ import annotations

from typing import Any

import streamlit as st

from dashboard.desk import Desk
from dashboard.forms.trial_fields import (
    GROUP,
    NAME,
    TrialRow,
    kind_called,
    kinds_of,
    trial_errors,
    trial_rows,
    with_trial,
)
from dashboard.forms.trial_levers import TrialLever, levers_as_said, trial_levers
from dashboard.parts.choose import picked_for
from dashboard.parts.edit import refused
from dashboard.parts.said import label
from linesim.errors import ScenarioError
from linesim.report.theme.markup import element
from linesim.report.theme.safe import in_markdown, short
from linesim.words import retell, say
from linesim.works.doing import called_anywhere, set_called

__all__ = ["trial_form"]

_FAULTS = "faults of a trial"
_NAME = "on trial"


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
            label("trial_form.name"), given.get(NAME, _NAME), f"trial name {desk.digest} {policy}", faults.get(NAME)
        )
        share = given.get(GROUP, "" if group is None else f"{group:g}")
        share = _text(label("trial_form.group"), share, f"trial group {desk.digest} {policy}", faults.get(GROUP))
        is_put = st.form_submit_button(label("trial_form.put"), type="primary", key=f"put trial {desk.digest} {policy}")
        refused([*faults.values(), *others])
        if is_put:
            _put(desk, policy, rows, written, name, share, (levers, beside))


def _row(desk: Desk, policy: str, row: TrialRow, given: tuple[str, str] | None, fault: str | None) -> tuple[str, str]:
    """Kind and interval of one set, side by side."""
    kind, interval = given or (row.kind, row.interval)
    kinds = kinds_of(row)
    key = f"{row.key} {desk.digest} {policy}"
    called = retell(row.key) if row.is_default else _called(desk, row.key)
    left, right = st.columns([1, 1], vertical_alignment="bottom")
    with left:
        told = {each: kind_called(each) for each in kinds}
        chosen = st.selectbox(
            in_markdown(called, 90), kinds, index=kinds.index(kind), key=f"trial kind {key}",
            format_func=told.__getitem__,
        )  # fmt: skip
    with right:
        text = st.text_input(
            in_markdown(say("trial_form.interval", set=called), 100),
            interval,
            key=f"trial interval {key}",
            max_chars=40,
            help=label("trial_form.interval_help"),
        )
    if fault:
        st.html(element("p", fault, "beside"))
    return str(chosen), text


def _levers(desk: Desk, policy: str, levers: list[TrialLever], given: Any, faults: dict[str, str]) -> dict[str, str]:
    """Aims, corrections and the like, each a text of its own."""
    if not levers:
        return {}
    with st.expander(label("trial_form.levers"), expanded=any(lever.written for lever in levers)):
        st.caption(label("trial_form.levers_help"))
        written = {}
        for lever in levers:
            called = say("trial_form.lever", what=say(f"trial_form.{lever.entry}"), at=_called(desk, lever.key))
            key = f"trial {lever.entry} {lever.key} {desk.digest} {policy}"
            text = given.get(lever.label, lever.written)
            written[lever.label] = _text(in_markdown(called, 120), text, key, faults.get(lever.label))
        return written


def _called(desk: Desk, key: str) -> str:
    """A set, a gauge or an operation of a policy, with what is done there."""
    return retell(set_called(desk.works, key) if " / " in key else called_anywhere(desk.works, key))


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

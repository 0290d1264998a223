"""Going through a shift: to a minute, step by step, or played."""

from __future__ import annotations

import streamlit as st

from dashboard.forms.steps import next_of, played, previous_of
from dashboard.parts.guard import guarded
from dashboard.parts.once import once
from dashboard.parts.room import light
from dashboard.parts.show import note, picture
from linesim.report.views.moment import events_of, floor_picture
from linesim.report.views.shift import clock
from linesim.study.one.shift_record import ShiftRecord
from linesim.words import spoken

__all__ = ["go_to", "replay"]

_AT = "minute"
_PLAY_EVERY_S = 0.6
_PACES = {"2 min a step": 2.0, "5 min a step": 5.0, "15 min a step": 15.0}


def go_to(minute: float) -> None:
    """Have the floor shown at a minute of the shift; before it is drawn."""
    st.session_state[_AT] = minute


def replay(record: ShiftRecord, line: str) -> None:
    """The floor at a moment, and the ways to move that moment."""
    left, right = st.columns([4, 1], vertical_alignment="bottom")
    left.header("The floor at one moment", anchor=False)
    is_played = right.toggle("Play", key="play")
    st.fragment(spoken(guarded(_moment)), run_every=_PLAY_EVERY_S if is_played else None)(record, line, is_played)


def _moment(record: ShiftRecord, line: str, is_played: bool) -> None:
    """One moment; played, it moves on by itself."""
    events, end = once(events_of, record, line), record.length_min
    clock_words, paces = st.columns([1, 1], vertical_alignment="center")
    pace = paces.segmented_control("Pace", list(_PACES), default="5 min a step", required=True, key="pace",
                                   label_visibility="collapsed")  # fmt: skip
    now = min(float(st.session_state.get(_AT, 0.0)), end)
    if is_played:
        now = played(now, _PACES[str(pace)], end)
    back, slider, on = st.columns([1, 6, 1], vertical_alignment="bottom")
    if back.button("Step back", key="back", width="stretch", help="To the change, stop or scrap before"):
        now = previous_of(events, now)
    if on.button("Step on", key="on", width="stretch", help="To the next change, stop or scrap"):
        now = next_of(events, now, end)
    st.session_state[_AT] = now
    with slider:
        st.slider("Minute of the shift", 0.0, end, step=0.5, key=_AT, format="%.1f min")
    with clock_words:
        note(f"{clock(now)} into the shift")
    picture(floor_picture(record, line, float(st.session_state[_AT]), light()), "floor")

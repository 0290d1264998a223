"""The moments of a shift that cost most: each leads to the floor as it was then, and to why."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.choose import picked_for
from dashboard.parts.folded import unfold
from dashboard.parts.once import once
from dashboard.parts.replay import go_to
from dashboard.parts.show import note
from dashboard.parts.ways import offer_way
from linesim.report.theme.safe import in_markdown, short
from linesim.report.views.shift import Moment, clock, dearest_moments
from linesim.study.one.shift_record import ShiftRecord
from linesim.works.doing import called_at

__all__ = ["EDGES", "dearest"]

EDGES = "edges of {line}"
"""Name of the choice whose cutters are followed through the shift."""
_MOST = 5
_LONGEST = 150


def dearest(desk: Desk, record: ShiftRecord, line: str) -> None:
    """The dearest moments, one beneath the other; a click on one goes to it and says where to look for why.

    Parameters
    ----------
    desk : Desk
        Remembers which was looked at.
    record : ShiftRecord
        The shift.
    line : str
        Which line.
    """
    moments = once(dearest_moments, record, line, _MOST)
    if not moments:
        return
    st.header("What cost most", anchor=False)
    choice = f"moment of shift {record.shift} {record.policy} {line}"
    with st.container(key="rows", gap=None):
        for number, moment in enumerate(moments, start=1):
            words = in_markdown(f"{number}.  {short(moment.words, _LONGEST)}", 2 * _LONGEST)
            if st.button(words, key=f"moment {number}", type="tertiary"):
                desk.choices[choice] = moment.minute
                go_to(moment.minute)
    at = next((each for each in moments if each.minute == desk.choices.get(choice)), None)
    if at is None:
        note("A click on one shows the floor as it was then, and the ways to why.")
    else:
        _why(desk, line, at)


def _why(desk: Desk, line: str, at: Moment) -> None:
    """Where the reasons of a moment can be seen."""
    where = called_at(desk.works, line, at.operation)
    note(f"The floor beneath stands at {clock(at.minute)}. More about {where}:")
    with st.container(horizontal=True):
        if st.button("Its cutters through this shift", key="way to edges", type="tertiary"):
            picked_for(desk, EDGES.format(line=line), at.operation)
            unfold("edges")
        offer_way(desk, "What it takes of a part", "line", {f"why of {line}": at.operation})
        offer_way(desk, "Where its money goes", "money", {"where": at.operation, "item": "all"}, "made of")

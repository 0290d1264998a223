"""For who teaches: the class at a glance, one click to each debrief, and one lesson and shift for everybody."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from urllib.parse import urlencode, urlsplit

import streamlit as st

from dashboard.parts.in_hand import go_on, trying
from dashboard.parts.past import store
from dashboard.parts.show import note, table
from dashboard.parts.who import may_teach
from linesim.report.theme.safe import in_markdown
from linesim.report.views.class_view import class_sheet
from linesim.store.looked_back import ended_shifts
from linesim.store.progress import Attempt

__all__ = ["asked_of_class", "class_at_a_glance", "set_for_class"]

_LESSON, _SHIFT = "lesson", "shift"
_HIGHEST = 9999


def class_at_a_glance(attempts: Sequence[Attempt]) -> None:
    """The table of trainees by lessons, and the way to each debrief that is still kept."""
    table(class_sheet(attempts), "class")
    if not may_teach():
        note("Instructors alone look back with trainees here; the manual says under Serving how one is named.")
        return
    ended = ended_shifts(store())
    names = sorted({nickname for nickname, _ in ended})
    if not names:
        return
    chosen = st.selectbox("Look back with", names, key="trainee to look back with")
    with st.container(horizontal=True):
        for (nickname, lesson), key in sorted(ended.items()):
            if nickname == chosen:
                st.button(f"Debrief: {in_markdown(lesson)}", key=f"debrief {key}", on_click=trying, args=(go_on, key))


def set_for_class(titles: Mapping[str, str]) -> None:
    """One lesson and one shift for everybody: an address to give to the class."""
    st.subheader("One lesson and shift for the class", anchor=False)
    left, right = st.columns([3, 1])
    with left:
        lesson = st.selectbox("Lesson for all", list(titles), format_func=lambda key: titles[key], key="class lesson")
    with right:
        shift = st.number_input("Shift for all", 1, _HIGHEST, 1, key="class shift")
    if lesson is None:
        return
    here = urlsplit(st.context.url or "")
    root = f"{here.scheme}://{here.netloc}" if here.netloc else ""
    note("Give this address to the class: all get the same lesson with the same chance, and choose their nicknames.")
    st.code(f"{root}/lesson?{urlencode({_LESSON: lesson, _SHIFT: int(shift)})}", language=None, wrap_lines=True)


def asked_of_class(known: Sequence[str]) -> tuple[str | None, int]:
    """Lesson and shift that the page's address asks for; none and the first where it asks for nothing that there is."""
    lesson, shift = str(st.query_params.get(_LESSON, "")), str(st.query_params.get(_SHIFT, ""))
    is_number = shift.isascii() and shift.isdecimal() and len(shift) <= len(str(_HIGHEST)) and int(shift) > 0
    return (lesson if lesson in known else None), int(shift) if is_number else 1

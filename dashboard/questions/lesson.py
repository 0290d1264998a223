"""Run the shift yourself: a lesson chosen, played on the live floor, and looked back on; the instructor's table."""

from __future__ import annotations

from collections.abc import Mapping

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.brief import brief, cautions, task
from dashboard.parts.class_view import asked_of_class
from dashboard.parts.guard import guarded
from dashboard.parts.in_hand import (
    InHand,
    begin,
    go_on,
    in_hand,
    last_word,
    leave,
    lesson_of,
    shifts_left,
    titles,
    trying,
)  # fmt: skip
from dashboard.parts.looking_back import look_back_on
from dashboard.parts.playing import play
from dashboard.parts.show import answer
from dashboard.parts.trainees import instructors_table, is_own
from linesim.report.theme.markup import element
from linesim.report.theme.safe import in_markdown
from linesim.report.views import lesson as lesson_view
from linesim.store.progress import LONGEST_NICKNAME

__all__ = ["TITLE", "URL", "page"]

TITLE = "Run the shift yourself"
URL = "lesson"

_PARTS = ("Lessons", "Trainees")


def heading() -> tuple[str, str]:
    """Lettering and title: of the lesson in hand and its own shop, never of the line on the desk."""
    held = in_hand()
    if held is None:
        return "linesim / lessons", TITLE
    return f"linesim / lesson / {held.lesson.works.name}", f"{held.lesson.name}: shift {held.shift.number}"


def page(desk: Desk) -> None:
    """Draw the page."""
    held = in_hand()
    _tell_last_word()
    if held is not None:
        _shift(desk, held)
        return
    chosen = st.segmented_control("Show", _PARTS, default=_PARTS[0], required=True, key="training part",
                                  label_visibility="collapsed")  # fmt: skip
    if chosen == _PARTS[1]:
        guarded(instructors_table)()
        return
    guarded(_choose)(desk)


def _tell_last_word() -> None:
    """What the last step has to say."""
    result = last_word()
    if result is not None:
        kind, text = result
        {"error": st.error, "warning": st.warning, "info": st.info}[kind](in_markdown(text, 900))


def _shift(desk: Desk, held: InHand) -> None:
    """A shift in hand: played, or looked back on."""
    name = held.kept.nickname if held.kept is not None else None
    whose = f"played by {name}" if name else "played under no nickname, so that no progress is written down"
    st.html(element("p", f"The lesson's own shop / {whose}", "lettering"))
    if held.shift.is_over:
        guarded(look_back_on)(desk, held)
        with st.container(horizontal=True):
            st.button("Play the same shift again", key="same again", type="primary", on_click=trying,
                      args=(begin, desk, held.lesson, held.shift.number, name or ""))  # fmt: skip
            st.button("To the lessons", key="to lessons", on_click=trying, args=(leave, desk))
    else:
        with st.expander("Your task, and what passes", expanded=True):
            task(held.lesson)
        guarded(play)(desk, held)
    with st.expander("The lesson: what it is about, the task and the pass mark"):
        brief(held.lesson)
    with st.expander("All cautions of this lesson", expanded=held.shift.is_over or held.shift.is_fresh):
        cautions(held.lesson)


def _choose(desk: Desk) -> None:
    """A lesson, a nickname, and the beginning of a shift."""
    answer("Take a shift in hand: change cutters, look, gauge, listen, and see then what each decision earned.")
    known = titles()
    keys = list(known)
    asked, number_asked = asked_of_class(keys)
    key = st.selectbox("Lesson", keys, format_func=lambda key: known[key], key="lesson",
                       index=keys.index(asked or desk.chosen("lesson", keys)))  # fmt: skip
    desk.choices["lesson"] = key
    lesson = lesson_of(key)
    name, number, button = st.columns([3, 1.3, 1.7], vertical_alignment="bottom")
    nickname = name.text_input("Nickname (optional)", desk.choices.get("nickname", ""), key="nickname",
                               max_chars=LONGEST_NICKNAME, placeholder="none: no progress is kept")  # fmt: skip
    shift = number.number_input("Shift", 1, 9999, number_asked, key="shift number", help="It says which chance.")
    button.button("Begin the shift", key="begin", type="primary", width="stretch", on_click=trying,
                  args=(begin, desk, lesson, int(shift), nickname))  # fmt: skip
    if is_own(desk, nickname):
        guarded(_left)(desk, known, nickname)
    brief(lesson)
    cautions(lesson)


def _left(desk: Desk, known: Mapping[str, str], nickname: str) -> None:
    """Shifts that were put down and can be gone on with."""
    for shift in shifts_left(desk, known, nickname):
        words = lesson_view.left_words(shift, known[shift.lesson])
        st.button(in_markdown(words), key=f"go on {shift.key}", on_click=trying, args=(go_on, shift.key))

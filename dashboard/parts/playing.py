"""A shift as it is played: what is seen on the left, what is decided on the right."""

from __future__ import annotations

from typing import Any

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.brief import cautions_of
from dashboard.parts.guard import guarded
from dashboard.parts.in_hand import InHand, back, decide, leave, trying
from dashboard.parts.room import light
from dashboard.parts.show import answer, figure_strip, note
from linesim.report.theme.markup import bullets, element
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_markdown
from linesim.report.views import lesson as lesson_view
from linesim.report.views.gauge import gauge_picture

__all__ = ["play"]

_CONFIG = {"displayModeBar": False, "responsive": True}


def play(desk: Desk, held: InHand) -> None:
    """Draw the shift as it stands."""
    view = held.shift.view()
    answer(lesson_view.moment_words(view), is_open=view["question"] is not None)
    figure_strip(lesson_view.strip(view))
    seen, decided = st.columns([8, 5], gap="large")
    with decided:
        guarded(_decisions)(desk, held, view)
    with seen:
        guarded(_seen)(desk, view)


# --- what is seen ----------------------------------------------------------------------------------------------------


def _seen(desk: Desk, view: dict[str, Any]) -> None:
    for at, machine in enumerate(view["machines"]):
        about = f", {machine['about']}" if machine["about"] else ""
        st.subheader(in_markdown(f"{machine['machine']}{about}", 120), anchor=False)
        note(lesson_view.machine_words(machine))
        if machine["cutters"]:
            _sheet(lesson_view.cutter_sheet(machine, desk.system))
        senses = lesson_view.sense_sheet(machine, desk.system)
        if senses.rows:
            _sheet(senses)
        for number, gauge in enumerate(machine["gauges"]):
            st.html(element("p", f"{gauge['gauge']} on {gauge['feature']}", "lettering"))
            _gauge(gauge_picture(gauge, desk.system, light()), f"gauge {at} {number}")
    st.subheader("The crib, people and the office", anchor=False)
    _sheet(lesson_view.others_sheet(view))
    _sheet(lesson_view.ledger_sheet(view))


def _sheet(sheet: Sheet) -> None:
    """A table without its download: it changes with every step."""
    st.html(sheet.html)


def _gauge(picture: Picture, key: str) -> None:
    note(picture.words.partition(". ")[2])
    if picture.sheet.rows:
        st.plotly_chart(picture.figure, width="stretch", theme=None, key=key, config=_CONFIG, alt=picture.words)
        with st.expander("The last readings"):
            _sheet(picture.sheet)


# --- what is decided -------------------------------------------------------------------------------------------------


def _decisions(desk: Desk, held: InHand, view: dict[str, Any]) -> None:
    groups = lesson_view.grouped(held.shift.choices())
    for number, (words, choice) in enumerate(groups.pop(lesson_view.ANSWERS, {}).items()):
        st.button(in_markdown(words), key=f"answer {number}", type="primary", width="stretch", on_click=trying,
                  args=(decide, held, choice["order"], words))  # fmt: skip
    _run(held)
    _order(desk, held, groups, lesson_view.asked_at(view))
    with st.container(horizontal=True):
        st.button("Take the last step back", key="step back", disabled=not held.shift.history, on_click=trying,
                  args=(back, held))  # fmt: skip
        st.button("Put the shift down", key="put down", on_click=trying, args=(leave, desk),
                  help="It is kept; go on with it whenever you like.")  # fmt: skip
    _hints(held)
    decided = lesson_view.decided_words(held.shift.history)
    with st.expander(f"What you have decided ({len(decided)})"):
        st.html(bullets(decided) or element("p", "Nothing yet: the line runs by the plan.", "note"))


def _run(held: InHand) -> None:
    st.subheader("Let the line run", anchor=False)
    st.button("On to the next decision", key="run on", type="primary", width="stretch", on_click=trying,
              args=(decide, held, {"do": "run"}))  # fmt: skip
    left, right = st.columns(2, vertical_alignment="bottom")
    minutes = left.number_input("Minutes", 1, 480, 30, step=5, key="run minutes")
    right.button("Run so long", key="run so long", width="stretch", on_click=trying,
                 args=(decide, held, {"do": "run", "minutes": minutes}))  # fmt: skip


def _order(desk: Desk, held: InHand, groups: dict[str, dict[str, Any]], asked_at: str) -> None:
    """Choose where and what, fill in how much, and order it."""
    st.subheader("Decide", anchor=False)
    names = list(groups)
    usual = names.index(asked_at) if asked_at in groups else 0
    where = st.selectbox("Where", names, usual, key=f"order where {asked_at}")
    words = st.selectbox("What", list(groups[where]), key=f"order what {where}")
    choice = groups[where][words]
    shown = {field["name"]: _field(desk, field, f"{where} {words}") for field in choice["fields"]}
    order = lesson_view.order_made(choice, shown, desk.system)
    asked = words if where in (lesson_view.RUNNING, words) else f"{where}: {words}"
    st.button("Order this", key="order this", width="stretch", on_click=trying, args=(decide, held, order, asked))
    cautions_of(held.lesson, str(choice["order"]["do"]))


def _field(desk: Desk, field: dict[str, Any], key: str) -> float:
    shown = lesson_view.field_shown(field, desk.system)
    return st.number_input(
        in_markdown(shown["label"]), shown["low"], shown["high"], shown["usual"], step=1 if shown["is_whole"] else None,
        key=f"field {field['name']} {key} {desk.system}",
    )  # fmt: skip


def _hints(held: InHand) -> None:
    hints = held.lesson.file.hints
    with st.expander(f"Hints ({held.hints} of {len(hints)} read)", expanded=held.hints > 0):
        st.html(bullets(hints[: held.hints]) or element("p", "Try it by yourself first; a hint costs nothing.", "note"))
        if held.hints < len(hints):
            st.button("A hint", key="hint", on_click=_next_hint, args=(held,))


def _next_hint(held: InHand) -> None:
    held.hints += 1

"""The tool room's weeks, and what other systems take over."""

from __future__ import annotations

from datetime import date
from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.carry import carried, offer
from dashboard.parts.choose import choose_policy
from dashboard.parts.once import once
from dashboard.parts.said import label
from dashboard.parts.show import answer, listed, rests_on, table
from linesim.report.page.toolroom_page import toolroom_page
from linesim.report.views import office as view
from linesim.study.handover.study import Handover
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.study.toolroom.study import MOST_WEEKS, runs_asked
from linesim.study.toolroom.words import sentences_of
from linesim.words import retell, say

__all__ = ["other_systems", "tool_room"]

_ROOM = "linesim.study.toolroom.study:ToolRoomStudy"
_SYSTEMS = "linesim.study.handover.study:HandoverStudy"
_WEEKS = 8


def tool_room(desk: Desk) -> None:
    """Draw what the coming weeks ask of the tool room."""
    left, right = st.columns([3, 1], vertical_alignment="bottom")
    with left:
        policy = choose_policy(desk, say("frame.by_policy"))
    with right:
        weeks = int(
            st.number_input(
                label("toolroom.weeks_box"), 1, MOST_WEEKS, int(desk.choices.get("weeks", _WEEKS)), key="weeks"
            )
        )
        desk.choices["weeks"] = weeks
    job = ask(desk, "tool room", _ROOM, runs_asked(desk.works, weeks), policy=policy, weeks=weeks)

    def draw(plan: ToolRoomPlan) -> None:
        first, *others = once(_sentences, plan)
        answer(first)
        listed(others)
        page = partial(toolroom_page, plan, date.today())  # noqa: DTZ011 - the day of whoever looks
        options = {"policy": policy, "weeks": weeks}
        offer(desk, "toolroom", lambda: carried(plan, plan.works, page, "toolroom", options), has_words=True)
        table(once(view.weeks_sheet, plan), "tool room weeks")
        if len(plan.orders):
            table(once(view.orders_sheet, plan), "tool room orders")
        table(once(view.room_sets_sheet, plan), "tool room sets")

    show_answer(job, draw, "tool room")
    rests_on(desk, "tool room")


def _sentences(plan: ToolRoomPlan) -> tuple[str, ...]:
    return tuple(sentences_of(plan))


def other_systems(desk: Desk, replications: int) -> None:
    """Draw indicators, change intervals and data of the cutters.

    Parameters
    ----------
    desk : Desk
        Whose line it is.
    replications : int
        Runs of the policy in hand.
    """
    policy = choose_policy(desk, say("frame.by_policy"))
    asked = {"policy": policy, "replications": replications}
    job = ask(desk, "handover", _SYSTEMS, replications, **asked)

    def draw(given: Handover) -> None:
        first, *others = map(retell, given.sentences)
        answer(first)
        listed(others)
        offer(desk, "handover", lambda: carried(given, given.works, None, "handover", asked), has_page=False)
        for key, shown in (
            ("indicators", view.indicators_sheet), ("intervals", view.intervals_sheet), ("tools", view.tools_sheet),
            ("not given", view.not_given_sheet),
        ):  # fmt: skip
            table(once(shown, given), f"handover {key}")

    show_answer(job, draw, "handover")
    rests_on(desk, "handover")

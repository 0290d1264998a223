"""More on how a part is made: the justification sheet, the history of an error, the stock plan, speed and feed."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.carry import offer_files
from dashboard.parts.choose import choose_line, choose_policy, pick
from dashboard.parts.once import once
from dashboard.parts.room import light
from dashboard.parts.show import answer, listed, note, picture, table
from linesim.report.page.sheet_asked import JustificationFiles, sandboxed
from linesim.report.views.life import arising_sheet, life_picture, speed_sheets, stock_sheets
from linesim.routing import History, RoutingAnswer, SpeedAnswer, StockPlan, stock_plan
from linesim.routing.asked import cut_names
from linesim.routing.measured import FOLLOWED
from linesim.words import reading
from linesim.works import Works
from linesim.works.carried import carried

__all__ = ["life", "sheet", "speed", "stock"]

OF_A_LIFE = 4
OF_A_SPEED = 8
_CONDITIONS = 4
_HEIGHT_PX = 920
_FRAME_PX = 24
"""Of the margins around the sheet in its frame, or its foot is cut off."""


def sheet(desk: Desk, result: RoutingAnswer) -> None:
    """The justification sheet: made when it is asked for, shown in a frame of its own, to be downloaded."""
    st.subheader("The sheet that justifies it", anchor=False)
    asked = (desk.digest, result.variants.name, desk.system)
    if desk.choices.get("sheet asked") != asked:
        if st.button("Make the justification sheet", key="make sheet", type="primary"):
            desk.choices["sheet asked"] = asked
            st.rerun()
        note("Every part of one run of each variant is followed for it, which takes half a minute or so.")
        return
    job = ask(desk, "sheet", "linesim.report.page.sheet_asked:sheet_steps", len(result.tried), answer=result,
              is_inch=desk.system == "inch")  # fmt: skip

    def draw(files: JustificationFiles) -> None:
        words = offer_files(desk, "justification", files.html, files.workbook)
        with reading(words):
            page = files.html()
        st.iframe(sandboxed(files.content.title, page, _HEIGHT_PX), height=_HEIGHT_PX + _FRAME_PX)

    show_answer(job, draw, "sheet")


def life(desk: Desk, most: int) -> None:
    """The life history of a feature, from casting to finish."""
    line, feature, policy = _feature(desk, "life")
    if feature is None:
        note(f"No feature of {line} has a size or anything else to follow.")
        return
    among = [component.words for component in FOLLOWED]
    of = "size"
    if feature in carried(desk.works.lines[line]):
        of = pick(desk, f"component of {line}", "What of it", among)
    count = min(most, OF_A_LIFE)
    job = ask(desk, "life", "linesim.routing.asked:LifeGlance", count, feature=feature, line=line, policy=policy,
              of=of, replications=count)  # fmt: skip

    def draw(result: History) -> None:
        first, *others = result.sentences
        answer(first)
        listed(others)
        picture(once(life_picture, result, desk.system, light()), "life")
        table(once(arising_sheet, result), "arising")

    show_answer(job, draw, "life")


def stock(desk: Desk, most: int) -> None:
    """How much to leave for each cut, and the least number of cuts, on paper."""
    del most  # nothing is run
    line, feature, policy = _feature(desk, "stock")
    if feature is None:
        note(f"No feature of {line} has a size, so that there is no stock to plan.")
        return
    wanted = st.number_input("Cpk wanted", 0.5, 3.0, 1.33, 0.01, key="cpk wanted")
    result = _plan(desk.digest, feature, line, policy, wanted, desk.works)
    first, *others = result.sentences
    answer(first, is_open=result.plan.empty)
    listed([*others, *result.warnings])
    for number, each in enumerate(once(stock_sheets, result, desk.system)):
        table(each, f"stock {number}")


def speed(desk: Desk, most: int) -> None:
    """Economic speed and feed of a cut, on paper and in the line."""
    line = choose_line(desk)
    names = cut_names(desk.works, line)
    if not names:
        note(f"No cut of {line} has a speed and a feed.")
        return
    cut = pick(desk, f"cut of {line}", "Cut", names)
    policy = choose_policy(desk, "Cutters are changed by")
    count = min(most, OF_A_SPEED)
    job = ask(desk, "speed", "linesim.routing.speed:CutSpeedStudy", count * _CONDITIONS, cut=cut, line=line,
              policy=policy, replications=count)  # fmt: skip

    def draw(result: SpeedAnswer) -> None:
        first, place = result.sentences
        answer(first)
        note(place)
        for number, each in enumerate(once(speed_sheets, result, desk.system)):
            table(each, f"speed {number}")

    show_answer(job, draw, "speed")


@st.cache_resource(show_spinner="Working it out ...", max_entries=32)
def _plan(digest: str, feature: str, line: str, policy: str, wanted: float, _works: Works) -> StockPlan:
    del digest
    return stock_plan(_works, feature, line, policy, wanted)


def _feature(desk: Desk, name: str) -> tuple[str, str | None, str]:
    """Line, a feature of it with a size, and a policy; for a life history also one of which something else is asked."""
    line = choose_line(desk)
    more = carried(desk.works.lines[line]) if name == "life" else frozenset()
    sized = [
        feature for feature, of in desk.works.lines[line].features.items() if of.size is not None or feature in more
    ]
    left, right = st.columns(2)
    with right:
        policy = choose_policy(desk, "Cutters are changed by")
    with left:
        return line, pick(desk, f"feature of {line}", "Feature", sized) if sized else None, policy

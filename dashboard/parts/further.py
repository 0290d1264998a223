"""Further questions about the cutters, each with its own study; the longer ones begin when a button is pressed."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.forms.trial_fields import with_policy
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.choose import pick, picked_for, policy_in_hand
from dashboard.parts.once import once
from dashboard.parts.room import light
from dashboard.parts.show import answer, note, picture, table
from linesim.report.views.further import drivers_picture, numbers_sheet, numbers_taken, worth_picture
from linesim.report.views.intervals import best_picture, best_words, curve_picture, levers_sheet, verdict_sheet
from linesim.study.questions.worth import Worth
from linesim.study.search import BestIntervals, Circulation, Drivers, SearchPlan, goal_of
from linesim.study.search.choices import goals_for, set_names
from linesim.study.search.common.budget import USUAL_PLAN
from linesim.study.search.intervals.best import BEST
from linesim.study.search.intervals.one_set import SHARES, SetCurve
from linesim.study.search.intervals.ranges import runs_for
from linesim.works import changed
from linesim.works.doing import set_called

__all__ = ["drives", "how_many", "minute", "one_set", "search"]

OF_ONE_SET = 12
OF_A_MINUTE = 8
OF_THE_SEARCH = USUAL_PLAN
OF_THE_NUMBERS = (8, 16, 1500)
OF_THE_DRIVERS = 4
_MOST_INPUTS = 120


def one_set(desk: Desk, most: int) -> None:
    """Cost per good part against the interval of one set, and its flat range."""
    names = set_names(desk.works)
    if not names:
        note("No cutter set of this scenario dulls or breaks, so that no interval is better than another.")
        return
    policy = _held(desk, "All other sets keep to")
    key = pick(desk, "set", "Cutter set", names, called=partial(set_called, desk.works))
    count = min(most, OF_ONE_SET)
    job = ask(desk, "one set", "linesim.study.search.intervals.one_set:SetStudy", count * (len(SHARES) + 1),
              key=key, policy=policy, replications=count)  # fmt: skip

    def draw(result: SetCurve) -> None:
        _sentences(result.sentences)
        picture(once(curve_picture, result, light()), "one set")

    show_answer(job, draw, "one set")


def minute(desk: Desk, most: int) -> None:
    """Value of a minute at each machine."""
    policy = _held(desk, "Cutters are changed by")
    places = sum(2 * len(line.operations) for line in desk.works.lines.values())
    count = min(most, OF_A_MINUTE)
    job = ask(desk, "minute", "linesim.study.questions.worth:WorthStudy", count * (places + 1), policy=policy,
              replications=count)  # fmt: skip

    def draw(result: Worth) -> None:
        _sentences(result.sentences, is_open=not bool(result.table["is_told"].iloc[0]))
        picture(once(worth_picture, result, light()), "minute")

    show_answer(job, draw, "minute")


def search(desk: Desk, most: int) -> None:
    """The best intervals of all sets together, which can be taken over."""
    plan = replace(OF_THE_SEARCH, replications=min(most, OF_THE_SEARCH.replications))
    goals, left, right = goals_for(desk.works), *st.columns(2)
    with left:
        words = pick(desk, "goal", "What to seek", list(goals))
    with right:
        money = desk.works.currency
        cap = st.number_input(
            f"Quality loss no more than, {money} a part", min_value=0.01, value=None, key="cap", placeholder="no cap"
        )
    asked = (words, cap)
    if not _wanted(desk, "search", "Look for the best intervals", asked):
        note("The search runs the line some thousand times, tells how far it is, and can be stopped at any time; it "
             "then gives its verdict on the best so far, in fresh runs.")  # fmt: skip
        return
    goal = goal_of(desk.works, goals[words], cap)
    job = ask(desk, "search", "linesim.study.search.intervals.best_intervals:IntervalStudy", plan.runs,
              goal=goal, plan=plan)  # fmt: skip

    def draw(result: BestIntervals) -> None:
        _sentences(once(best_words, result), is_open=result.verdict is None)
        if not result.setting.parts:
            return
        verdict = once(verdict_sheet, result)
        if verdict is not None:
            table(verdict, "verdict")
        picture(once(best_picture, result, light()), "best", is_open=True)
        levers = once(levers_sheet, result)
        if levers is not None:
            table(levers, "levers")
        if st.button("Take these intervals over", key="take over", type="primary"):
            works, name = with_policy(desk.works, BEST, result.policy)
            desk.put(works, f"taking over {BEST}")
            picked_for(desk, "policy", name)
            st.toast(f"The scenario has them as the policy {name}.")
            st.rerun()

    show_answer(job, draw, "search")
    if job.is_over and job.answer is not None:
        _ranges(desk, job.answer, plan)


def _ranges(desk: Desk, best: BestIntervals, plan: SearchPlan) -> None:
    """How far each interval and lever may be moved alone: a question of its own, as it takes longer than the search."""
    if not _wanted(desk, "ranges", "Find out how far each may be moved", (best.goal, best.base, best.setting)):
        note(f"Each interval alone, up and down, until it costs more than {100.0 * plan.tolerance:g} %.")
        return
    job = ask(desk, "ranges", "linesim.study.search.intervals.ranges:RangeStudy", runs_for(best, plan), goal=best.goal,
              base=best.base, against=best.against, setting=best.setting, plan=plan)  # fmt: skip

    def draw(result: BestIntervals) -> None:
        if not result.flat:
            return
        picture(once(best_picture, result, light()), "ranges", is_open=True)
        levers = once(levers_sheet, result)
        if levers is not None:
            table(levers, "levers with ranges")

    show_answer(job, draw, "ranges")


def how_many(desk: Desk, most: int) -> None:
    """How many sets, tool grinders and setters."""
    policy = _held(desk, "Cutters are changed by")
    if not _wanted(desk, "numbers", "Find out how many there should be", (policy,)):
        note("One more and one fewer of every set, grinder and setter is tried, until no change gains.")
        return
    replications, fresh, runs = OF_THE_NUMBERS
    job = ask(desk, "numbers", "linesim.study.search.numbers.circulation:NumberStudy", runs, policy=policy,
              replications=min(most, replications), fresh=fresh, most_runs=runs)  # fmt: skip

    def draw(result: Circulation) -> None:
        if not result.steps:
            note("So far:")
        else:
            _sentences(result.sentences)
        table(once(numbers_sheet, result), "numbers")
        if result.changes and st.button("Take these numbers over", key="take numbers"):
            desk.put(changed(desk.works, result.changes, "the best numbers"), "taking over the best numbers")
            st.toast(numbers_taken(result))
            st.rerun()

    show_answer(job, draw, "numbers")


def drives(desk: Desk, most: int) -> None:
    """What the result depends on most, and so what to measure first."""
    policy = _held(desk, "Cutters are changed by")
    together = st.toggle("Take inputs of a kind as one", value=True, key="together")
    if not _wanted(desk, "drivers", "Find out what drives the result", (policy, together)):
        note("Each input that a shop knows least is moved over the range in which the truth may well lie.")
        return
    job = ask(desk, "drivers", "linesim.study.search.sensitivity.drivers:DriverStudy",
              OF_THE_DRIVERS * (2 * _MOST_INPUTS + 1), policy=policy,
              are_together=together, replications=min(most, OF_THE_DRIVERS))  # fmt: skip

    def draw(result: Drivers) -> None:
        if result.one_at_a_time.empty:
            note("So far only the line as it stands has been run.")
            return
        _sentences(result.sentences)
        picture(once(drivers_picture, result, light()), "drivers")

    show_answer(job, draw, "drivers")


def _held(desk: Desk, words: str) -> str:
    """The policy in hand, whose box stands above on this page."""
    policy = policy_in_hand(desk)
    note(f'{words} "{policy}", the policy in hand.')
    return policy


def _sentences(sentences: tuple[str, ...], is_open: bool = False) -> None:
    """The first sentence as the answer, the others beneath."""
    first, *others = sentences
    answer(first, is_open)
    for text in others:
        note(text)


def _wanted(desk: Desk, name: str, words: str, asked: tuple[object, ...]) -> bool:
    """Whether this very question has been put; the button puts it."""
    key, question = f"{name} asked", (desk.digest, *asked)
    if desk.choices.get(key) == question:
        return True
    if st.button(words, key=f"{name} begin", type="primary"):
        desk.choices[key] = question
        st.rerun()
    return False

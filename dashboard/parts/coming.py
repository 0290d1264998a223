"""The coming shift: how the line stands now, what will be due when, who and what is wanted, and the setter's sheet."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import Any

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.carry import Carried, offer
from dashboard.parts.choose import choose_policy, pick, picked_for
from dashboard.parts.once import once
from dashboard.parts.said import label
from dashboard.parts.show import answer, listed, rests_on, table
from dashboard.parts.standing import carry_on, standing_table
from linesim.report.page.coming_page import coming_page
from linesim.report.theme.shown import System
from linesim.report.views import coming as coming_view
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.study import runs_asked
from linesim.study.coming.words import sentences_of
from linesim.words import keep, say
from linesim.works import Works
from linesim.works.doing import set_called
from linesim.works.now import MomentNow
from linesim.works.staffing import DAYS

__all__ = ["coming_shift"]

_STUDY = "linesim.study.coming.study:ForecastStudy"
_NOTHING: str = keep("coming.as_planned")
_CARRIED = "coming shift carried on"
"""How often that was done: each time the box for the time of day is another one, which is empty."""


def coming_shift(desk: Desk) -> None:
    """Draw the coming shift of the line in hand."""
    policy = choose_policy(desk, say("frame.by_policy"))
    rows = standing_table(desk)
    when = _when(desk)
    sets = dict.fromkeys(f"{row.operation} / {row.cutter}" for row in rows if row.cutter and row.operation)
    left_in = pick(desk, "left in", say("coming.what_if"), [_NOTHING, *sets],
                   called=partial(_called, desk.works))  # fmt: skip
    leave = None if left_in == _NOTHING else left_in
    runs = runs_asked(desk.works, when["shifts"], leave is not None)
    job = ask(desk, "coming shift", _STUDY, runs, policy=policy, rows=rows, leave=leave, **when)
    show_answer(job, partial(_draw, desk), "coming shift")


def _called(works: Works, name: str) -> str:
    """A set that may be left in, by what is done there; nothing left in as it stands."""
    return name if name == _NOTHING else set_called(works, name)


def _sentences(forecast: Forecast) -> tuple[str, ...]:
    return tuple(sentences_of(forecast))


def _when(desk: Desk) -> dict[str, Any]:
    """Which shifts are foretold."""
    calendar = desk.works.calendar
    columns = st.columns(5, vertical_alignment="bottom")
    usual = MomentNow() if desk.works.now is None else desk.works.now.at
    carried = desk.choices.get(_CARRIED, 0)
    with columns[0]:
        day = pick(
            desk,
            "coming day",
            say("coming.day"),
            DAYS[: calendar.days_per_week],
            usual.day,
            called=lambda name: say(f"days.{name}"),
        )
    with columns[1]:
        numbers = [str(1 + number) for number in range(calendar.shifts_per_day)]
        shift = pick(desk, "coming shift of the day", say("coming.shift"), numbers, str(usual.shift))
    with columns[2]:
        at = st.text_input(
            label("coming.now"), str(desk.choices.get("coming at", "")), max_chars=5, key=f"coming at {carried}",
            placeholder=say("coming.into_it", minutes=usual.after) if usual.after else say("coming.start"),
        )  # fmt: skip
    with columns[3]:
        first = st.text_input(
            label("coming.first_shift"),
            str(desk.choices.get("coming clock", "06:00")),
            max_chars=5,
            key="coming clock",
        )
    with columns[4]:
        shifts = int(
            st.number_input(
                label("coming.shifts_box"), 1, 6, int(desk.choices.get("coming shifts", 1)), key="coming shifts"
            )
        )
    desk.choices |= {"coming at": at, "coming clock": first, "coming shifts": shifts}
    if not at and (day, shift) == (usual.day, str(usual.shift)):
        return {"first": first, "shifts": shifts}  # as the scenario stands, which may be within a shift
    return {"day": day, "shift": int(shift), "at": at or None, "first": first, "shifts": shifts}


def _draw(desk: Desk, forecast: Forecast) -> None:
    """What the runs say, and what is taken away."""
    first, *others = once(_sentences, forecast)
    answer(first)
    listed(others)
    rests_on(desk, "coming", [say("coming.rests")])
    _take_away(desk, forecast)
    for key, view in (
        ("due", coming_view.due_sheet), ("who is wanted", coming_view.hours_sheet),
        ("sharp sets", coming_view.sets_sheet), ("output", coming_view.output_sheet),
        ("standstill", coming_view.standstill_sheet),
    ):  # fmt: skip
        table(once(view, forecast), key)


def _take_away(desk: Desk, forecast: Forecast) -> None:
    offer(desk, "coming-shift", partial(_carried, forecast, desk.system), has_words=True)
    if st.button(label("coming.carry_on"), key="carry on"):
        day, shift = forecast.of.clock.shift_at(forecast.of.end_min)
        picked_for(desk, "coming day", DAYS[day])
        picked_for(desk, "coming shift of the day", str(shift + 1))
        desk.choices |= {"coming at": "", _CARRIED: int(desk.choices.get(_CARRIED, 0)) + 1}
        carry_on(desk, forecast.at_end)


def _carried(forecast: Forecast, system: System) -> Carried:
    today = date.today()  # noqa: DTZ011 - the day of whoever looks
    page = partial(coming_page, forecast, today, system=system)
    return Carried("coming-shift", forecast.tables, forecast.provenance, page, None, forecast.summed)

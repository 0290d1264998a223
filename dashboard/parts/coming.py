"""The coming shift: how the line stands now, what will be due when, who and what is wanted, and the setter's sheet."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import Any

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.carry import Carried, offer
from dashboard.parts.choose import choose_policy, pick
from dashboard.parts.once import once
from dashboard.parts.show import answer, listed, rests_on, table
from dashboard.parts.standing import carry_on, standing_table
from linesim.report.page.coming_page import coming_page
from linesim.report.theme.shown import System
from linesim.report.views import coming as coming_view
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.study import runs_asked
from linesim.works.doing import set_called
from linesim.works.staffing import DAYS

__all__ = ["coming_shift"]

_STUDY = "linesim.study.coming.study:ForecastStudy"
_NOTHING = "nothing: as planned"


def coming_shift(desk: Desk) -> None:
    """Draw the coming shift of the line in hand."""
    policy = choose_policy(desk, "Cutters are changed by this policy")
    rows = standing_table(desk)
    when = _when(desk)
    sets = dict.fromkeys(f"{row.operation} / {row.cutter}" for row in rows if row.cutter and row.operation)
    left_in = pick(desk, "left in", "What if we leave in until the end", [_NOTHING, *sets],
                   called=partial(set_called, desk.works))  # fmt: skip
    leave = None if left_in == _NOTHING else left_in
    runs = runs_asked(desk.works, when["shifts"], leave is not None)
    job = ask(desk, "coming shift", _STUDY, runs, policy=policy, rows=rows, leave=leave, **when)
    show_answer(job, partial(_draw, desk), "coming shift")


def _when(desk: Desk) -> dict[str, Any]:
    """Which shifts are foretold."""
    calendar = desk.works.calendar
    columns = st.columns(4, vertical_alignment="bottom")
    with columns[0]:
        day = pick(desk, "coming day", "Day", DAYS[: calendar.days_per_week])
    with columns[1]:
        shift = pick(desk, "coming shift of the day", "Shift", [str(1 + at) for at in range(calendar.shifts_per_day)])
    with columns[2]:
        first = st.text_input(
            "First shift of a day begins",
            str(desk.choices.get("coming clock", "06:00")),
            max_chars=5,
            key="coming clock",
        )
    with columns[3]:
        shifts = int(st.number_input("Shifts", 1, 6, int(desk.choices.get("coming shifts", 1)), key="coming shifts"))
    desk.choices |= {"coming clock": first, "coming shifts": shifts}
    return {"day": day, "shift": int(shift), "first": first, "shifts": shifts}


def _draw(desk: Desk, forecast: Forecast) -> None:
    """What the runs say, and what is taken away."""
    first, *others = forecast.sentences
    answer(first)
    listed(others)
    rests_on(
        desk, "coming", ["Each run begins from the counts above; only runs in which every edge has lasted so long."]
    )
    _take_away(desk, forecast)
    for key, view in (
        ("due", coming_view.due_sheet), ("who is wanted", coming_view.hours_sheet),
        ("sharp sets", coming_view.sets_sheet), ("output", coming_view.output_sheet),
        ("standstill", coming_view.standstill_sheet),
    ):  # fmt: skip
        table(once(view, forecast), key)


def _take_away(desk: Desk, forecast: Forecast) -> None:
    offer(desk, "coming-shift", partial(_carried, forecast, desk.system), has_words=True)
    if st.button("Carry on from the end of this forecast", key="carry on"):
        carry_on(desk, forecast.at_end)


def _carried(forecast: Forecast, system: System) -> Carried:
    today = date.today()  # noqa: DTZ011 - the day of whoever looks
    page = partial(coming_page, forecast, today, system=system)
    return Carried("coming-shift", forecast.tables, forecast.provenance, page, None, forecast.summed)

"""The coming shift on paper: one sheet where it fits, and further ones that say whose they are."""

from __future__ import annotations

from datetime import date

import pytest

from linesim.report.page.coming_page import coming_page
from linesim.study.coming.study import ForecastStudy
from linesim.study.options import StudyOptions
from tests.floors import a_shop, a_tool


@pytest.mark.parametrize(("machines", "goes_on"), [(2, False), (24, True)])
def test_further_sheets_of_a_shift_name_their_day_and_list_the_sets_across(machines: int, goes_on: bool) -> None:
    """Some sixty stops cannot stand on one sheet, however small the lettering; three can."""
    names = [f"Op {10 * (at + 1)}" for at in range(machines)]
    works = a_shop(
        {name: {"minutes": 1, "sets": [f"tool of {name}"]} for name in names},
        cutters={f"tool of {name}": a_tool(life=130, life_cv=0, breaking="never", change=1) for name in names},
        rule={"life": 1.0},
        calendar={"shift": 480, "shifts_per_day": 1},
    )
    forecast = ForecastStudy(works, options=StudyOptions(replications=39)).run()
    page = coming_page(forecast, date(2031, 4, 1))
    assert (len(forecast.due) > 40) is goes_on
    assert ("<small>Monday, shift 1" in page) is goes_on
    assert ('class="stacked"' in page) is goes_on
    assert ('class="two"' in page) is not goes_on

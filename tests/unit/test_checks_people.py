"""What is said of people's attendance and does not fit is refused, each with where and what was expected."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.works import works_from_dict, works_from_text

TEXT = """
name: people
run: {{length: 100, warm_up: 0}}
calendar: {{shift: 480, shifts_per_day: 2, days_per_week: 5}}
people:
  operators: {{{operators}}}
lines:
  line:
    operations:
      Op 10: {{minutes: 2, load: 1, {operation}}}
policies: {{as stated: {{default: run out}}}}
"""


def problems(operators: str = "count: 1", operation: str = "machines: 3") -> str:
    with pytest.raises(ScenarioError) as caught:
        works_from_text(TEXT.format(operators=operators, operation=operation))
    return str(caught.value)


def test_what_fits_is_taken() -> None:
    people = "by_shift: [2, 1], by_day: {friday: [1, 0]}, breaks: [{after: 2 h, minutes: 15 min}], at_bell: hands over"
    works = works_from_text(TEXT.format(operators=people, operation="attended: {by: operators, walk: 12 s}"))
    assert works.calendar.attending(works.people["operators"]) == [2, 1, 2, 1, 2, 1, 2, 1, 1, 0]


@pytest.mark.parametrize(
    ("operators", "told"),
    [
        ("by_shift: [1]", "1 numbers stand here; one for each of the 2 shifts of a day was expected"),
        ("by_day: {friday: [1, 1, 0]}", "3 numbers stand here; one for each of the 2 shifts of a day was expected"),
        ("by_day: {saturday: [1, 0]}", "saturday is not worked; the worked days of this calendar are"),
        ("by_shift: [0, 0]", 'nobody of "operators" ever attends'),
        ("by_shift: [-1, 1]", "0 to 10 000 in each shift were expected"),
        (
            "breaks: [{after: 200, minutes: 30}, {after: 220, minutes: 5}]",
            "the break begins after 220 min, and the one before it ends after 230 min",
        ),
        ("breaks: [{after: 470, minutes: 15}]", "the break ends 485 min after the start of the shift"),
        (
            "count: 3, breaks: [{after: 440, minutes: 15, relieved: true}]",
            "ends 485 min after the start of the shift, one after another for 3 people; the shift has 480 min",
        ),
    ],
)
def test_attendance_fits_the_calendar(operators: str, told: str) -> None:
    text = problems(operators)
    assert told in text
    assert "line 6" in text


def test_a_wrong_day_or_word_is_told_with_the_nearest() -> None:
    assert '"friday"' in problems("by_day: {fryday: [1, 1]}")
    assert '"hands over"' in problems("at_bell: hands ovr")


def test_a_calendar_that_cannot_be_is_all_that_is_told_of_shifts_that_hang_on_it() -> None:
    people = "by_shift: [1, 0], by_day: {friday: [1]}"
    with pytest.raises(ScenarioError) as caught:
        works_from_text(TEXT.format(operators=people, operation="").replace("shifts_per_day: 2", "shifts_per_day: [0]"))
    assert "shifts_per_day" in str(caught.value)
    assert "numbers stand here" not in str(caught.value)


def test_who_attends_is_a_pool_that_there_is() -> None:
    text = problems(operation="attended: {by: operatrs}")
    assert '"operators"' in text
    assert "line 10" in text


def test_a_batch_is_not_attended() -> None:
    text = problems(operation="batch: {most: 4}, attended: {by: operators}")
    assert "a station that takes several parts at once cannot be attended" in text


def test_jobs_are_those_that_are_known() -> None:
    content: dict[str, Any] = {
        "name": "people",
        "people": {"operators": {}},
        "lines": {"line": {"operations": {"Op 10": {"minutes": 1, "attended": {"by": "operators", "jobs": []}}}}},
        "policies": {"as stated": {"default": "run out"}},
    }
    with pytest.raises(ScenarioError) as caught:
        works_from_dict(content, "people")
    assert "jobs" in str(caught.value)
    assert '"unload"' in problems(operation="attended: {by: operators, jobs: [unlod]}")

"""Points of a frontier that leave the cutters as they are: overhauls, batches, sequences, people."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import StudyError
from linesim.report.page.type_sheet import type_sheet
from linesim.study import StudyOptions
from linesim.study.questions.frontier import FrontierStudy
from linesim.study.questions.frontier_grid import grid_of
from linesim.works import Works
from tests.floors import a_shop

NAMES = [
    *(f"Op 10 overhauled every {hours} h of cutting" for hours in (10, 14, 28, 40)),
    *(f"line in batches of {sizes}" for sizes in ("4 A and 2 B", "6 A and 3 B", "11 A and 6 B", "16 A and 8 B")),
    "Op 10: same type first", "Op 10: least changeover", "Op 10: in turn",
    "one more in fitters", "one more in operators, shift 1", "one more in operators, shift 2",
]  # fmt: skip


def mixed(**people: Any) -> Works:
    """Two types in batches of 8 and 4 on a machine that is overhauled after 20 hours of cutting."""
    overhaul = {"every": 1200, "minutes": 300}
    operation = {
        "minutes": 1,
        "fitters": "fitters",
        "breakdowns": {"between": {"exponential": {"mean": 400}}, "repair": 20, "overhaul": overhaul},
        "changeover": {"minutes": 5},
        "load": 0.1,
        "attended": {"by": "operators"},
    }
    return a_shop(
        {"Op 10": operation},
        line={"worth": 10, "parts": {"A": {"batch": 8}, "B": {"batch": 4}}},
        people={"fitters": {}, "operators": {"by_shift": [1, 0], "paid": "attendance", "rate": 30}, **people},
        calendar={"shift": 480, "shifts_per_day": 2},
        length=19_200,
    )


def test_one_thing_beside_the_cutters_is_changed_at_a_time_and_runs() -> None:
    works = mixed()
    grid = grid_of(works, ("overhauls", "batches", "sequences", "people"), with_own=True)
    assert [each.name for each in grid] == ["as stated", *NAMES]
    by_name = {each.name: each for each in grid}
    more = by_name["one more in operators, shift 2"]
    assert more.works.people["operators"].by_shift == [1, 1]
    changed = by_name["line in batches of 4 A and 2 B"]
    assert changed.works.policies[changed.policy].batches == {"line": {"A": 4, "B": 2}}
    few = [by_name[name] for name in ("as stated", more.name, changed.name, NAMES[0])]
    answer = FrontierStudy(few, StudyOptions(4)).run()
    rates = answer.table.set_index("policy")["good_per_hour"]
    assert rates[more.name] > 1.8 * rates["as stated"]  # somebody attends the second shift as well
    assert rates[changed.name] < rates["as stated"]  # twice as many changeovers
    assert rates[NAMES[0]] < rates["as stated"]
    sheet = type_sheet(answer.comparison)
    assert sheet is not None
    assert sheet.heads == ["policy", ("A, an hour", "n"), ("difference", "n"), ("B, an hour", "n"), ("difference", "n")]
    shown = {row[0]: row[1:] for row in sheet.rows}
    best = shown[more.name]
    assert (best[1], best[3]) == (("", "n"), ("", "n"))
    (per_hour, _), (less, mark) = shown["as stated"][:2]
    assert float(per_hour) < float(best[0][0])
    assert less.startswith(("-", "−"))
    assert mark == "n"


@pytest.mark.parametrize("kind", ["overhauls", "batches", "sequences", "people"])
def test_what_a_works_does_not_have_cannot_be_tried(kind: str) -> None:
    with pytest.raises(StudyError, match=f'no "{kind}" to try'):
        grid_of(a_shop({"Op 10": {"minutes": 1}}), (kind,))

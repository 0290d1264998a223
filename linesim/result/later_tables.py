"""Table of what came of surfaces later: tests on the line, their repairs, and failures in the field."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pandas as pd

from linesim.cutting.component import Component
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import Tally
from linesim.works.model import Works

__all__ = ["LaterHead", "later_columns", "later_heads", "later_table"]


class LaterHead(NamedTuple):
    """A test or a failure in the field, and one of the things that it is charged to."""

    line: str
    test: str
    where: str
    what: str


def later_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each test or failure in the field, and for what it is charged to.

    Returns
    -------
    DataFrame
        line, test (the operation that tests, or the failure's name), where ("test" or "field"), what ("top face,
        roughness", or "other causes"); tested (parts), turned_down, repairs and scrapped (given up, no repair being
        left), for what they are charged to; failures, expected in the field.
    """
    heads = later_heads(works, plan)
    table = pd.DataFrame(heads, columns=list(LaterHead._fields), index=range(len(plan.test_terms.feature)))
    return table.assign(**later_columns(plan, tally))


def later_columns(plan: Plan, tally: Tally) -> dict[str, Ints | Floats]:
    """What is counted of each row of `later_table`."""
    return {
        "tested": tally.tested[_of_tests(plan)],
        "turned_down": tally.turned_down,
        "repairs": tally.repairs,
        "scrapped": tally.given_up,
        "failures": tally.field_chance,
    }


def later_heads(works: Works, plan: Plan) -> list[LaterHead]:
    """What each row of `later_table` is of."""
    lines, names, is_field = _lines(works), plan.names.tests, plan.tests.operation == NONE
    return [
        LaterHead(lines[test], names[test], "field" if is_field[test] else "test", _what(plan, term))
        for term, test in enumerate(_of_tests(plan).tolist())
    ]


def _of_tests(plan: Plan) -> Ints:
    """The test of each term."""
    tests = plan.tests
    return np.repeat(np.arange(len(tests.operation)), tests.end_term - tests.first_term)


def _lines(works: Works) -> list[str]:
    """The line of each test and failure, in the order of the plan."""
    names = []
    for name, line in works.lines.items():
        tested = sum(operation.test is not None for operation in line.operations.values())
        names += [name] * (tested + len(line.later.field))
    return names


def _what(plan: Plan, term: int) -> str:
    feature = int(plan.test_terms.feature[term])
    if feature == NONE:
        return "other causes"
    return f"{plan.names.features[feature]}, {Component(int(plan.test_terms.component[term])).words}"

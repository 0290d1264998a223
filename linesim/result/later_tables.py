"""Table of what came of surfaces later: tests on the line, their repairs, and failures in the field."""

from __future__ import annotations

import numpy as np
import pandas as pd

from linesim.cutting.component import Component
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Tally
from linesim.works.model import Works

__all__ = ["later_table"]


def later_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each test or failure in the field, and for what it is charged to.

    Returns
    -------
    DataFrame
        line, test (the operation that tests, or the failure's name), where ("test" or "field"), what ("top face,
        roughness", or "other causes"); tested (parts), turned_down, repairs and scrapped (given up, no repair being
        left), for what they are charged to; failures, expected in the field.
    """
    tests, terms = plan.tests, plan.test_terms
    of_test = np.repeat(np.arange(len(tests.operation)), tests.end_term - tests.first_term).tolist()
    lines = _lines(works)
    return pd.DataFrame(
        {
            "line": [lines[test] for test in of_test],
            "test": [plan.names.tests[test] for test in of_test],
            "where": ["field" if tests.operation[test] == NONE else "test" for test in of_test],
            "what": [_what(plan, term) for term in range(len(of_test))],
            "tested": tally.tested[of_test],
            "turned_down": tally.turned_down,
            "repairs": tally.repairs,
            "scrapped": tally.given_up,
            "failures": tally.field_chance,
        },
        index=range(len(terms.feature)),
    )


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

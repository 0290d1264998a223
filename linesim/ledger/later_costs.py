"""What surfaces cost later: repairs of parts that a test turned down, failures in the field, parts out of the drawing.

Amounts stand under the operation that cut the feature last, as quality loss does; other causes under the test or the
whole line.
"""

from __future__ import annotations

import numpy as np

from linesim.cutting.component import Component
from linesim.ledger.entries import WHOLE_LINE, Cost, Head, Item, Location, Priced
from linesim.ledger.part_types import heads_of_types, of_types
from linesim.ledger.stations import last_to_cut, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import Tally
from linesim.works.consequences import Consequence
from linesim.works.model import Line, Works
from linesim.works.operations import Operation
from linesim.works.types_of import worths, worths_shipped_out

__all__ = ["field_failures", "out_of_drawing", "repairs"]

OTHER_CAUSES = "other causes"


def repairs(works: Works, plan: Plan) -> Cost:
    """Repairs of parts that tests turned down, by cause, feature and component; people stand under their pools."""
    repaired = [operation.test.repair if operation.test else None for operation in _all(works)]
    costs = [0.0 if repair is None else repair.cost for repair in repaired]
    price = [0.0 if operation == NONE else costs[operation] for operation in plan.tests.operation.tolist()]
    of_test = _test_of_term(plan)
    heads = _heads(works, plan, Item.REPAIRS, "repair")
    return Priced(heads, np.append(price, 0.0)[of_test], lambda tally: tally.repairs.astype(np.float64))


def field_failures(works: Works, plan: Plan) -> Cost:
    """Expected failures of shipped parts with the customer, by cause, feature and component."""
    costs = iter([failure.cost for line in works.lines.values() for failure in line.later.field.values()])
    price = [next(costs) if operation == NONE else 0.0 for operation in plan.tests.operation.tolist()]
    heads = _heads(works, plan, Item.FIELD, "failure")
    return Priced(heads, np.append(price, 0.0)[_test_of_term(plan)], lambda tally: tally.field_chance)


def out_of_drawing(works: Works, plan: Plan) -> Cost:
    """What parts shipped out of the drawing bring less than good ones."""
    heads = [
        Head(Location(line, WHOLE_LINE), Item.OUT_OF_DRAWING, "shipped out of the drawing", what, "part")
        for line, what in heads_of_types(works, "worth given up")
    ]
    lines = list(works.lines.values())
    good, out = ([each for line in lines for each in values(line)] for values in (worths, worths_shipped_out))

    def quantity(tally: Tally) -> Floats:
        return of_types(plan, tally.parts_out, tally.out_of_type)

    return Priced(heads, np.array(good, dtype=np.float64) - np.array(out, dtype=np.float64), quantity)


def _all(works: Works) -> list[Operation]:
    return [operation for line in works.lines.values() for operation in line.operations.values()]


def _test_of_term(plan: Plan) -> Ints:
    return np.repeat(np.arange(len(plan.tests.operation)), plan.tests.end_term - plan.tests.first_term)


def _heads(works: Works, plan: Plan, item: Item, unit: str) -> list[Head]:
    """One head for each term of each test."""
    named = [(line, name) for line, row in works.lines.items() for name in row.features]
    specs = [spec for line in works.lines.values() for spec in _specs(line)]
    lines = [line for line, row in works.lines.items() for _ in _specs(row)]
    stations, last, terms = stations_of(works, plan), last_to_cut(plan), plan.test_terms
    heads = []
    for term, test in enumerate(_test_of_term(plan).tolist()):
        operation, feature = int(plan.tests.operation[test]), int(terms.feature[term])
        location = Location(lines[test], WHOLE_LINE) if operation == NONE else stations[operation].location
        what = OTHER_CAUSES
        if feature != NONE:
            location = stations[last[feature]].location if feature in last else location
            what = f"{named[feature][1]}, {Component(int(terms.component[term])).words}"
        heads.append(Head(location, item, specs[test].cause, f"{plan.names.tests[test]}: {what}", unit))
    return heads


def _specs(line: Line) -> list[Consequence]:
    """Tests of a line's operations and its failures in the field, in the order of the plan."""
    tests = [operation.test for operation in line.operations.values() if operation.test is not None]
    return [*tests, *line.later.field.values()]

"""From the tests and field failures of a scenario to the plan's tables."""

from __future__ import annotations

import numpy as np

from linesim.cutting.component import Component
from linesim.plan.columns import Rows
from linesim.plan.tables import NONE, Operations, Tests, TestTerms
from linesim.plan.times import TimeTable
from linesim.quality.consequences import strength_of
from linesim.quality.limits import limits_um
from linesim.works.checks_later import MOST_CAUSES
from linesim.works.consequences import Consequence, Repair, Test
from linesim.works.features import Feature
from linesim.works.model import Line, Works

__all__ = ["TestTable", "distances_um", "with_tests"]


class TestTable:
    """Fills the tables of tests and of their terms."""

    def __init__(self, works: Works, times: TimeTable) -> None:
        self.times = times
        self.rows, self.terms = Rows(Tests), Rows(TestTerms)
        self.names: list[str] = []
        self._pool_number = {name: number for number, name in enumerate(works.people)}
        self._lines = 0

    def add_line(self, line: Line, features: dict[str, int], first_operation: int) -> None:
        """Enter the tests of a line's operations, then its failures in the field."""
        self._line, self._features = line, features
        self._operations = {name: number for number, name in enumerate(line.operations, first_operation)}
        self._causes: dict[str, int] = {}
        for name, operation in line.operations.items():
            if operation.test is not None:
                self._add(name, operation.test, self._operations[name])
        for name, failure in line.later.field.items():
            self._add(name, failure, NONE)
        self._lines += 1

    def _add(self, name: str, spec: Consequence, operation: int) -> None:
        cause = self._causes.setdefault(spec.cause, len(self._causes))
        mean, spread = strength_of(spec.at_limit, spec.at_twice)
        repair = (spec.repair if isinstance(spec, Test) else None) or Repair(tries=1)
        is_repaired = isinstance(spec, Test) and spec.repair is not None
        first = len(self.terms)
        self._add_terms(spec)
        self.names.append(name)
        self.rows.add(
            operation=operation,
            cause=cause,
            draw=self._lines * MOST_CAUSES + cause,
            strength=mean,
            strength_sd=spread,
            floor=spec.floor,
            first_term=first,
            end_term=len(self.terms),
            repair_time=self.times.add(repair.minutes) if is_repaired else NONE,
            people=NONE if repair.people is None else self._pool_number[repair.people],
            succeeds=repair.succeeds,
            tries=repair.tries if is_repaired else 0,
            back_to=operation if repair.back_to is None else self._operations[repair.back_to],
            benches=repair.benches if is_repaired else 0,
        )

    def _add_terms(self, spec: Consequence) -> None:
        for feature, row in spec.weights.items():
            for component, weight in row.items():
                of = Component[component.upper()]
                aim, below, above = distances_um(self._line.features[feature], of)
                number = self._features[feature]
                self.terms.add(
                    feature=number, component=int(of), weight=weight, aim_um=aim, below_um=below, above_um=above
                )
        self.terms.add(feature=NONE, component=NONE, weight=0.0, aim_um=0.0, below_um=1.0, above_um=1.0)


def with_tests(operations: Operations, tests: Tests) -> Operations:
    """Operations that know their tests."""
    of_operations = np.flatnonzero(tests.operation != NONE)
    column = operations.test.copy()
    column[tests.operation[of_operations]] = of_operations
    return operations._replace(test=column)


def distances_um(feature: Feature, of: Component) -> tuple[float, float, float]:
    """Aim of a component, and how far its limits lie below and above it, µm.

    A limit that lies on the aim counts as far away as the other one; without a limit the distance is infinite.
    """
    low, high = limits_um(feature, of)
    aim = feature.roughness.best if of is Component.ROUGHNESS and feature.roughness is not None else 0.0
    below, above = aim - low, high - aim
    return aim, below if below > 0.0 else above, above if above > 0.0 else below
